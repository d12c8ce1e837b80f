"""Whether a level that was read on site is right: the reading held against the window of its end."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np

from survey_app.assess.record import HopEndRow, HopRow
from survey_app.physics import window
from survey_app.physics.decibels import dbm_to_mw, mw_to_dbm
from survey_app.site.evidence import Reading

__all__ = ["ShownLimits", "Verdict", "judge_reading", "shown_limits"]

_WHAT_TO_DO: Final = {
    "wrong path": "something else is received: a side lobe, the wrong polarisation, a blocked path or another far end",
    "not accepted": "do not leave it so: aim again, then look at cable, power and what stands between",
    "low": "look at clearance, cable and tilt",
    "too strong": "power or antenna are not what the design says",
}


class ShownLimits(NamedTuple):
    """The window of one end as its unit shows levels: whole decibels, as the mounting sheet prints them.

    Attributes
    ----------
    expected_dbm, good_low_dbm, good_high_dbm, low_dbm, wrong_dbm : float
        As `physics.window.AcceptanceWindow` has them. [dBm]
    """

    expected_dbm: float
    good_low_dbm: float
    good_high_dbm: float
    low_dbm: float
    wrong_dbm: float


class Verdict(NamedTuple):
    """What a reading is.

    Attributes
    ----------
    word : str
        One of `physics.window.VERDICTS`; empty where nothing can be said.
    sentence : str
        The same for people, with what was expected and what to do.
    """

    word: str
    sentence: str


def _shift_db(end: HopEndRow) -> float:
    """Return what the unit's own display adds to a level that is combined over chains. [dB]"""
    shown = end.expected_as_shown_dbm if end.expected_as_shown_dbm is not None else end.expected_reading_dbm
    return 0.0 if shown is None or end.window is None else shown - end.window.expected_dbm


def shown_limits(end: HopEndRow, *, automatic: bool = False) -> ShownLimits | None:
    """Return the limits in the unit's own convention; None where no level is expected.

    Parameters
    ----------
    end : HopEndRow
        The end at which it is read.
    automatic : bool, default False
        Whether the power is set by the units themselves while reading; else it is the fixed aiming power.
    """
    found = end.window_auto if automatic else end.window
    if found is None:
        return None
    shift = _shift_db(end)
    wrong_dbm = float(window.acceptance_window(found.expected_dbm, found.sigma_db).wrong_dbm)
    limits = (found.expected_dbm, found.good_low_dbm, found.good_high_dbm, found.low_dbm, wrong_dbm)
    # whole figures: what the sheet prints as good must be good here too
    return ShownLimits(*(float(round(value + shift)) for value in limits))


def judge_reading(hop: HopRow, reading: Reading) -> Verdict:
    """Judge a reading by the window of its end, in the unit's own convention and for the power state it was read in.

    Parameters
    ----------
    hop : HopRow
        The hop, as it is assessed now.
    reading : Reading
        What was read. Where it has levels of the chains alone, they are added up.

    Notes
    -----
    Limits and the difference of chains: common practice, [PRACTICE]_.
    """
    end: HopEndRow = getattr(hop.ends, reading.end)
    shown = _shown_dbm(end, reading)
    if shown is None:
        return Verdict("", "No level was read: there is nothing to judge.")
    automatic = reading.power_mode == "automatic"
    limits = shown_limits(end, automatic=automatic)
    if limits is None:
        return Verdict("", f"{shown:.0f} dBm at {end.radio} cannot be judged: no level is expected there{_why(hop)}.")
    expected, good_low, good_high, low, wrong = (np.asarray(value) for value in limits)
    kept = window.AcceptanceWindow(expected, np.asarray(0.0), good_low, good_high, low, wrong)
    word = str(window.reading_verdict(shown, kept))
    return Verdict(word, _sentence(end.radio, shown, word, limits, automatic=automatic) + _chains(reading))


def _shown_dbm(end: HopEndRow, reading: Reading) -> float | None:
    if reading.level_dbm is not None:
        return reading.level_dbm
    if not reading.level_per_chain_dbm:
        return None
    combined = float(mw_to_dbm(np.sum(dbm_to_mw(reading.level_per_chain_dbm))))
    return combined + _shift_db(end)


def _why(hop: HopRow) -> str:
    for reason in hop.null_reasons:
        if reason.field.endswith("expected_reading_dbm"):
            return f" ({reason.sentence.rstrip('.')})"
    return ""


def _sentence(radio: str, shown_dbm: float, word: str, limits: ShownLimits, *, automatic: bool) -> str:
    state = "automatic power" if automatic else "fixed power"
    known = f"{limits.expected_dbm:.0f} dBm is expected at {state}"
    good = f"{limits.good_low_dbm:.0f} to {limits.good_high_dbm:.0f} dBm is good"
    said = "far too low" if word == "wrong path" else word
    advice = f"; {_WHAT_TO_DO[word]}" if word in _WHAT_TO_DO else ""
    under = f", under {limits.low_dbm:.0f} dBm is not accepted" if word in ("low", "not accepted", "wrong path") else ""
    return f"{shown_dbm:.0f} dBm at {radio} is {said}: {known}, {good}{under}{advice}."


def _chains(reading: Reading) -> str:
    levels = reading.level_per_chain_dbm
    apart = max(levels) - min(levels) if len(levels) > 1 else 0.0
    if apart <= window.CHAIN_DIFFERENCE_DB:
        return ""
    return (
        f" Its chains differ by {apart:.0f} dB, {window.CHAIN_DIFFERENCE_DB:.0f} dB is the most: one polarisation, "
        f"connector or antenna is not right (over water {window.CHAIN_DIFFERENCE_OVER_WATER_DB:.0f} dB may stand)."
    )
