"""Labels and serial numbers that stand on two units."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from survey_app.assess.findings import Draft, cure
from survey_app.assess.rules.view import View
from survey_app.assess.rules.words import joined
from survey_app.site.radio import Radio

__all__ = ["CODES", "RULES"]

CODES = {"label-clash": "Two units with one label"}

_FIELDS: tuple[tuple[str, str, Callable[[Radio], str]], ...] = (
    ("label", "label", lambda radio: radio.label or radio.id),
    ("serial", "serial number", lambda radio: radio.serial),
    ("hardware_address", "hardware address", lambda radio: radio.hardware_address),
)


def label_clash(view: View) -> Iterator[Draft]:
    """Two radios with the same label, serial or hardware address; the last of them is named."""
    for field, word, read in _FIELDS:
        holders: dict[str, list[str]] = {}
        for key, radio in view.job.radios.items():
            holders.setdefault(read(radio).strip().casefold(), []).append(key)
        for value, keys in holders.items():
            if not value or len(keys) < 2:
                continue
            # a label that is only the id gives way last: the id stays
            last = next((key for key in reversed(keys) if getattr(view.job.radios[key], field)), keys[-1])
            others = [key for key in keys if key != last]
            shown = read(view.job.radios[last])
            yield Draft(
                code="label-clash",
                severity="warn",
                subject=last,
                second_subject=field,
                message=f"Its {word} '{shown}' is also that of {joined(others)}.",
                source="PRACTICE",
                value=float(len(keys)),
                limit=1.0,
                radio=last,
                place=view.at_radio(last),
                cures=(cure(f"Clear its {word}.", "change", thing_id=last, **{field: ""}),),
                concerns=tuple(others),
            )


RULES = (label_clash,)
