"""What the title block says of a site and its assessment, in words."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from survey_app.site.site import Design
from survey_app.site.thing import Thing

if TYPE_CHECKING:
    from survey_app.assess.record import Assessment, HopRow, RadioRow

__all__ = ["TitleField", "title_fields"]

_NOT_YET = "not yet"
_THIN = "\N{THIN SPACE}"


@dataclass(frozen=True)
class TitleField:
    """One field of the block.

    Attributes
    ----------
    head, value : str
        Name of the field and what stands in it.
    is_stale : bool
        Whether the value is of an earlier state of the site.
    subject, quantity : str
        Whose number it is and which, for whoever asks why; empty where it is no number of the assessment.
    """

    head: str
    value: str
    is_stale: bool = False
    subject: str = ""
    quantity: str = ""

    @property
    def shown(self) -> str:
        """The value as it is shown: in brackets while it is not yet true."""
        return f"({self.value})" if self.is_stale else self.value


def title_fields(
    design: Design, assessment: Assessment | None, scale: float | None, *, is_fresh: bool
) -> tuple[tuple[TitleField, ...], ...]:
    """Return the rows of the block.

    Parameters
    ----------
    design : Design
        The design as it is now.
    assessment : Assessment or None
        The newest assessment, of this design or of an earlier state.
    scale : float or None
        The plan is drawn as 1 : scale; None = not known.
    is_fresh : bool
        Whether the assessment is of this design.

    Returns
    -------
    tuple of rows
        Site; datum, scale; counts; busiest cell, thinnest margin; revision, checksum.
    """
    stale = not is_fresh
    cells = _NOT_YET if assessment is None else str(len(assessment.cells))
    checksum = _NOT_YET if assessment is None else assessment.checksum
    return (
        (TitleField("SITE", design.name),),
        (TitleField("DATUM", _datum(design)), TitleField("SCALE", _scale(scale))),
        (
            TitleField("RADIOS", _count(design.radios)),
            TitleField("HOPS", _count(design.hops)),
            TitleField("CELLS", cells, stale),
            TitleField("CAMERAS", _count(design.cameras)),
        ),
        (_busiest(assessment, stale=stale), _thinnest(assessment, stale=stale)),
        (TitleField("REV.", design.revision), TitleField("CHECKSUM", checksum, stale)),
    )


def _count(things: tuple[Thing, ...]) -> str:
    """Count what stands or will be built now."""
    return str(sum(thing.status not in ("removed", "later") for thing in things))


def _datum(design: Design) -> str:
    words = design.plane.datum or "not named"
    return words if design.plane.anchor is not None else f"{words}, no anchor"


def _scale(scale: float | None) -> str:
    if scale is None:
        return "not known"
    whole = round(scale) if scale < 100 else round(scale / 10.0) * 10 if scale < 2000 else round(scale / 50.0) * 50
    return f"1 : {whole:,}".replace(",", _THIN)


def _busiest(assessment: Assessment | None, *, stale: bool) -> TitleField:
    head = "AIRTIME, BUSIEST CELL"
    if assessment is None:
        return TitleField(head, _NOT_YET, stale)
    used = [(row.airtime_used_fraction, row) for row in assessment.cells if row.airtime_used_fraction is not None]
    if not used:
        return TitleField(head, "none" if not assessment.cells else "unknown", stale)
    fraction, row = max(used, key=lambda one: (one[0], one[1].id))
    limit = "" if row.airtime_limit_fraction is None else f" of {row.airtime_limit_fraction:.2f}"
    label = _label(assessment.radios, row.access_point)
    return TitleField(head, f"{label} {fraction:.2f}{limit}", stale, row.id, "airtime_used_fraction")


def _thinnest(assessment: Assessment | None, *, stale: bool) -> TitleField:
    head = "THINNEST MARGIN"
    if assessment is None:
        return TitleField(head, _NOT_YET, stale)
    margins = [(margin, row) for row in assessment.hops if (margin := _margin(row)) is not None]
    if not margins:
        return TitleField(head, "none" if not assessment.hops else "unknown", stale)
    margin, row = min(margins, key=lambda one: (one[0], one[1].id))
    figure = f"{margin:.1f}".replace("-", "\N{MINUS SIGN}")
    return TitleField(head, f"{row.id} {figure} dB", stale, row.id, "margin_at_needed_rate_db")


def _margin(row: HopRow) -> float | None:
    both = (row.directions.to_access_point, row.directions.to_station)
    known = [one.margin_at_needed_rate_db for one in both if one.margin_at_needed_rate_db is not None]
    return min(known, default=None)


def _label(radios: Iterable[RadioRow], radio_id: str) -> str:
    return next((row.label for row in radios if row.id == radio_id), radio_id)
