"""Whether something may and can hang where it is drawn."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from survey_app.assess.findings import Draft, cure, work_on_site
from survey_app.assess.rules.view import View

__all__ = ["CODES", "RULES"]

CODES = {
    "permission-missing": "Owner has not agreed",
    "mount-refused": "Mount refused on the walk",
    "datum-mixed": "Height above the top of its structure",
    "label-clash": "Two units with one label",
    "needs-engineer": "Wants an engineer",
    "weather-unfit": "Not made for this weather",
    "overhead-line-near": "Overhead line near the mount",
}

_FREE_MAST_M = 3.0
_LINE_M = 10.0


def permission_missing(view: View) -> Iterator[Draft]:
    """Refused, or not asked, or not answered; one finding a mount that carries something."""
    for mount_id, row in view.mounts.items():
        if not row.radios and not row.cameras:
            continue
        state = row.permission
        if state in ("granted", "not_needed"):
            continue
        owner = view.job.mounts[mount_id].owner or "the owner"
        words = {
            "refused": f"{owner} has refused.",
            "not_asked": f"{owner} has not been asked.",
            "asked": f"{owner} has been asked and has not answered.",
        }
        yield Draft(
            code="permission-missing",
            severity="stop" if state == "refused" else "warn",
            subject=mount_id,
            message=words[state][0].upper() + words[state][1:],
            source="PRACTICE",
            radio=row.radios[0] if row.radios else None,
            cures=(
                work_on_site("Use another mount.") if state == "refused" else work_on_site("Ask, and note the answer."),
            ),
        )


def mount_refused(view: View) -> Iterator[Draft]:
    """A mount that the walk found unfit."""
    for mount_id, row in view.mounts.items():
        if view.job.mounts[mount_id].usable == "refused" and (row.radios or row.cameras):
            yield Draft(
                code="mount-refused",
                severity="stop",
                subject=mount_id,
                message="The walk found that nothing can hang here.",
                source="PRACTICE",
                radio=row.radios[0] if row.radios else None,
                cures=(work_on_site("Use another mount."),),
            )


def datum_mixed(view: View) -> Iterator[Draft]:
    """A mount drawn above the tip of its pole or mast: heights of two kinds were mixed."""
    for mount_id, row in view.mounts.items():
        if row.below_top_m is None or row.below_top_m >= -0.01 or not (row.radios or row.cameras):
            continue
        mount = view.job.mounts[mount_id]
        yield Draft(
            code="datum-mixed",
            severity="stop",
            subject=mount_id,
            message=f"It is drawn {-row.below_top_m:.1f} m above the top of {row.structure_name}: which height was meant?",
            source="PRACTICE",
            value=-row.below_top_m,
            limit=0.0,
            unit="m",
            radio=row.radios[0] if row.radios else None,
            cures=(
                cure(
                    "Bring it 0.2 m under the top.", "raise_mount", mount=mount.id, by_m=round(row.below_top_m - 0.2, 3)
                ),
            ),
        )


def label_clash(view: View) -> Iterator[Draft]:
    """Two radios with the same label, address, serial or hardware address."""
    for field, word in (
        ("label", "label"),
        ("address", "address"),
        ("serial", "serial number"),
        ("hardware_address", "hardware address"),
    ):
        values = {
            key: getattr(radio, field) or (key if field == "label" else "") for key, radio in view.job.radios.items()
        }
        counts = Counter(value for value in values.values() if value)
        for key, value in values.items():
            if value and counts[value] > 1 and key == max(k for k, v in values.items() if v == value):
                yield Draft(
                    code="label-clash",
                    severity="warn",
                    subject=key,
                    second_subject=field,
                    message=f"Its {word} '{value}' stands on {counts[value]} units.",
                    source="PRACTICE",
                    value=float(counts[value]),
                    limit=1.0,
                    radio=key,
                    place=view.at_radio(key),
                    cures=(cure(f"Clear its {word}.", "change", id=key, **{field: ""}),),
                )


def needs_engineer(view: View) -> Iterator[Draft]:
    """A free mast over 3 m, or a large dish: said, never computed as safe."""
    for structure in view.job.structures.values():
        if structure.kind != "mast" or structure.guyed or structure.height_m <= _FREE_MAST_M:
            continue
        carried = [row for row in view.mounts.values() if row.structure == structure.id and row.radios]
        if not carried or structure.status in ("existing", "accepted"):
            continue
        yield Draft(
            code="needs-engineer",
            severity="note",
            subject=structure.id,
            message=f"A free mast of {structure.height_m:.1f} m carries a radio: its strength wants an engineer's answer.",
            source="PRACTICE",
            value=structure.height_m,
            limit=_FREE_MAST_M,
            unit="m",
            radio=carried[0].radios[0],
            cures=(work_on_site("Ask a structural engineer, with the wind areas of the tally."),),
        )


def _second_digit(ingress: str) -> int:
    digits = [mark[-1] for mark in ingress.replace("IP", " ").replace("+", " ").split() if mark[-1].isdigit()]
    return max((int(digit) for digit in digits), default=0)


def weather_unfit(view: View) -> Iterator[Draft]:
    """A radio or camera outdoors that is not closed against weather, or outside its temperatures."""
    defaults = view.job.defaults
    things: list[tuple[str, str, str, str | None]] = [
        (radio.id, radio.gear, view.job.mounts[radio.mount].environment, radio.id) for radio in view.job.radios.values()
    ]
    things += [(camera.id, camera.gear, camera.environment, None) for camera in view.job.cameras.values()]
    for thing, gear, environment, radio in things:
        found = view.job.gear.get(gear)
        if found is None or environment == "indoors":
            continue
        message, value, limit = "", None, None
        if environment == "outdoors" and found.body.ingress and _second_digit(found.body.ingress) < 4:
            message = f"{found.name} ({found.body.ingress}) is not closed against rain."
        elif found.body.temp_min_c is not None and defaults.air_temp_min_c < found.body.temp_min_c:
            value, limit = defaults.air_temp_min_c, found.body.temp_min_c
            message = f"{found.name} works down to {limit:.0f} °C, the site may have {value:.0f} °C."
        elif found.body.temp_max_c is not None and defaults.air_temp_max_c > found.body.temp_max_c:
            value, limit = defaults.air_temp_max_c, found.body.temp_max_c
            message = f"{found.name} works up to {limit:.0f} °C, the site may have {value:.0f} °C."
        if message:
            yield Draft(
                code="weather-unfit",
                severity="stop" if value is None else "warn",
                subject=thing,
                message=message,
                source="IEC60529" if value is None else "PRACTICE",
                value=value,
                limit=limit,
                unit="°C" if value is not None else "",
                radio=radio,
                cures=(work_on_site("Take a type made for this place, or bring it indoors."),),
            )


def overhead_line_near(view: View) -> Iterator[Draft]:
    """An overhead line recorded within ten metres of a mount that somebody will climb to."""
    for mount_id, row in view.mounts.items():
        distance = row.overhead_line_m
        if distance is None or distance >= _LINE_M or not (row.radios or row.cameras):
            continue
        yield Draft(
            code="overhead-line-near",
            severity="warn",
            subject=mount_id,
            message=f"An overhead line is recorded {distance:.1f} m away: ask its operator before anyone climbs.",
            source="PRACTICE",
            value=distance,
            limit=_LINE_M,
            unit="m",
            radio=row.radios[0] if row.radios else None,
            cures=(work_on_site("Ask the line's operator for the distance to keep, or use another mount."),),
        )


RULES = (
    permission_missing,
    mount_refused,
    datum_mixed,
    label_clash,
    needs_engineer,
    weather_unfit,
    overhead_line_near,
)
