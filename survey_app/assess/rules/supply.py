"""Whether everything gets the supply that it needs, over cables that may carry it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from survey_app.assess.feeding import inputs_of, misfit, needs_supply
from survey_app.assess.findings import Draft, cure, work_on_site
from survey_app.assess.graph import device_type, things_joined
from survey_app.assess.record import Cure
from survey_app.assess.rules.boxes import CODES as BOX_CODES
from survey_app.assess.rules.boxes import RULES as BOX_RULES
from survey_app.assess.rules.cables import CODES as CABLE_CODES
from survey_app.assess.rules.cables import RULES as CABLE_RULES
from survey_app.assess.rules.each import about_each
from survey_app.assess.rules.sources import CODES as SOURCE_CODES
from survey_app.assess.rules.sources import RULES as SOURCE_RULES
from survey_app.assess.rules.spots import at_thing, on_sheet_of, several
from survey_app.assess.rules.view import View
from survey_app.assess.supply import Fed
from survey_app.assess.wires import cable_type
from survey_app.physics.supply import load_voltage_v
from survey_app.site.gear_type import CableType, DeviceType

__all__ = ["CODES", "RULES"]

CODES = {
    "no-power-there": "No supply leads here",
    "no-volts": "Too few volts at the end of the cable",
    "wrong-supply": "Supply does not fit",
    "fed-twice": "Fed from two places",
    **BOX_CODES,
    **CABLE_CODES,
    **SOURCE_CODES,
}

_NEAR_MINIMUM = 1.1
_ROOM_TAKEN = 0.5
_SLACK_W = 1e-6
_HUNG = frozenset({"existing", "hung", "accepted"})


# --- no supply at all -------------------------------------------------------------------------------------------


@about_each("unfed")
def no_power_there(view: View, place: str) -> Iterator[Draft]:
    """Loads from which no chain leads to a source, one finding a place."""
    things, roots = view.unfed[place]
    yield _unfed(view, place, things, roots)


def _status(view: View, thing_id: str) -> str:
    job = view.job
    thing = job.radios.get(thing_id) or job.cameras.get(thing_id) or job.devices.get(thing_id)
    return thing.status if thing else "planned"


def _unfed(view: View, subject: str, things: tuple[str, ...], roots: tuple[str, ...]) -> Draft:
    watts = math.fsum(view.supplies[key].load_w for key in things if key in view.supplies)
    hangs = all(_status(view, key) in _HUNG for key in things)
    one = len(things) == 1
    message = (
        f"{several(things)} {'runs' if one else 'run'} already, but from where {'it is' if one else 'they are'} fed is "
        "not drawn."
        if hangs
        else f"No source of power leads to {several(things)}, {watts:.1f} W by night."
    )
    cures = [row for root in roots for row in _feeding_cures(view, root)]
    return Draft(
        code="no-power-there",
        severity="note" if hangs else "stop",
        subject=subject,
        message=message,
        source="PRACTICE",
        value=watts,
        unit="W",
        radio=next((key for key in things if key in view.job.radios), None),
        place=at_thing(view, things[0]),
        cures=(*cures, *_supply_words(view, subject)),
    )


def _feeding_cures(view: View, root: str) -> Iterator[Cure]:
    """What in the drawing could feed it: a source of the same place, or a wire that is there already."""
    job, forest = view.job, view.network.supplied.forest
    device = job.devices.get(root)
    inputs = inputs_of(job, root)
    if device is not None and any(given.scheme == "mains" for given in inputs):
        mount = job.mounts.get(device.mount or "")
        structure = device.structure or (mount.structure if mount else None)
        for key, supply in sorted(job.supplies.items()):
            if supply.kind == "mains" and structure is not None and supply.structure == structure:
                yield cure(f"Feed {root} from {key}.", "change", thing_id=root, fed_from=key)
                return
    for wire_id in job.wires_at.get(root, ()):
        wire = job.wires[wire_id]
        a, b = things_joined(job, wire)
        if wire.power != "none" or wire.medium != "copper":
            continue
        giver, way = (b, "b_to_a") if root == a else (a, "a_to_b")
        kind = device_type(job, giver)
        fits = kind is not None and any(misfit(o, given) is None for o in kind.power_outputs for given in inputs)
        if fits and (giver in forest.source or not needs_supply(job, giver)):
            yield cure(f"Let {wire_id} carry the supply from {giver}.", "change", thing_id=wire_id, power=way)
            return


def _supply_words(view: View, subject: str) -> tuple[Cure, ...]:
    mount = view.job.mounts.get(subject)
    power = mount.power if mount else None
    if power is not None and power.mains == "yes" and power.switched_at_night in ("never", "unknown"):
        return (work_on_site(f"Take it from {power.board or 'the mains at the place'}, and draw that board."),)
    if power is not None and power.mains == "by_spur":
        length = f" of {power.spur_m:.0f} m" if power.spur_m is not None else ""
        return (work_on_site(f"Have a spur{length} laid from {power.board or 'the nearest board'}."),)
    return (work_on_site("Have a spur laid, feed it from a neighbouring mount, or set up a battery with its charge."),)


def switched_off(view: View) -> Iterator[Draft]:
    """Sources that are switched off part of the day."""
    forest = view.network.supplied.forest
    behind: dict[str, int] = {}
    for source in forest.source.values():
        behind[source] = behind.get(source, 0) + 1
    for key, count in sorted(behind.items()):
        state = view.job.supplies[key].switched_at_night
        if state == "never":
            continue
        words = {"dead_by_day": "is dead by day", "dead_by_night": "is dead by night"}.get(state, "may be switched off")
        yield Draft(
            code="no-power-there",
            severity="warn" if state == "unknown" else "stop",
            subject=key,
            message=f"Its circuit {words}, and with it what hangs on it: {count} thing{'s' if count > 1 else ''}.",
            source="PRACTICE",
            place=at_thing(view, key),
            cures=(
                cure("Take a circuit that is never switched off.", "change", thing_id=key, switched_at_night="never"),
                work_on_site("Or a battery that lasts until it comes on again."),
            ),
        )


# --- too few volts ----------------------------------------------------------------------------------------------


def no_volts(view: View) -> Iterator[Draft]:
    """Below the lowest voltage at the plug, close to it, or no voltage at all at which cable and load agree."""
    things = view.network.supplied.things
    for key, fed in things.items():
        given = fed.feed.input
        above = things.get(fed.feed.parent)
        if fed.feed.problem is not None or given is None or fed.starts is None:
            continue
        if above is not None and above.starts is False:
            continue  # one finding for the whole branch, where it begins
        if not fed.starts:
            yield _will_not_start(view, key, fed)
            continue
        volts, least = fed.volts_v or 0.0, given.volts_min_v
        near = _near_least(fed, volts, least)
        if volts < least or near or not fed.starts_together:
            yield _few_volts(view, key, fed, volts, least)


def _near_least(fed: Fed, volts: float, least: float) -> bool:
    """Whether less than a tenth is left over the lowest voltage, and the cable has taken more than half of the room."""
    if fed.feed.wire is None or fed.source_v is None or volts >= _NEAR_MINIMUM * least:
        return False
    return fed.source_v - volts > _ROOM_TAKEN * (fed.source_v - least)


def _will_not_start(view: View, key: str, fed: Fed) -> Draft:
    most = f": at most {fed.most_w:.1f} W can come through" if fed.most_w is not None else ""
    return Draft(
        code="no-volts",
        severity="stop",
        subject=key,
        message=f"It will not start: {fed.load_w:.1f} W are drawn over this cable{most}.",
        source="IEEE8023",
        value=fed.load_w,
        limit=fed.most_w,
        unit="W",
        radio=on_sheet_of(view, key),
        place=at_thing(view, key),
        cures=_volt_cures(view, key, fed),
    )


def _few_volts(view: View, key: str, fed: Fed, volts: float, least: float) -> Draft:
    hot = view.job.defaults.cable_temp_c
    below = volts < least
    if below or _near_least(fed, volts, least):
        message = f"{volts:.1f} V arrive by night with the cable at {hot:.0f} °C, it needs {least:g} V."
    else:
        message = f"{volts:.1f} V arrive, but it may not start when everything behind its source starts at once."
    return Draft(
        code="no-volts",
        severity="stop" if below else "warn",
        subject=key,
        message=message,
        source="IEEE8023",
        value=volts,
        limit=least,
        unit="V",
        radio=on_sheet_of(view, key),
        place=at_thing(view, key),
        cures=_volt_cures(view, key, fed),
    )


def _volt_cures(view: View, key: str, fed: Fed) -> tuple[Cure, ...]:
    return (
        *_thicker(view, fed),
        *_other_source(view, key, fed),
        work_on_site("Bring the supply to the foot of the mount, or take a shorter way."),
    )


def _thicker(view: View, fed: Fed) -> Iterator[Cure]:
    """A cable of the site's gear with which enough arrives."""
    output, given, wire_id = fed.feed.output, fed.feed.input, fed.feed.wire
    run = view.network.runs.get(wire_id or "")
    if output is None or given is None or wire_id is None or run is None or run.loop_ohm is None:
        return
    wire = view.job.wires[wire_id]
    present = cable_type(view.job, wire)
    now = present.ohm_per_km if present and present.ohm_per_km else 93.8
    source_v = output.volts_v * (1.0 - output.tolerance_percent / 100.0)
    fixed = wire.extra_ohm
    for item in sorted(view.job.gear.values(), key=lambda row: row.id):
        if not isinstance(item, CableType) or item.medium != wire.medium or not item.ohm_per_km:
            continue
        if item.ohm_per_km >= now or (wire.outdoors and not item.outdoor):
            continue
        loop = fixed + (run.loop_ohm - fixed) * item.ohm_per_km / now
        if float(load_voltage_v(source_v, loop, fed.load_w)) >= _NEAR_MINIMUM * given.volts_min_v:
            yield cure(f"Take {item.name} for {wire_id}.", "change", thing_id=wire_id, gear=item.id)
            return


def _other_source(view: View, key: str, fed: Fed) -> Iterator[Cure]:
    """A feeder of the site's gear that fits and gives a higher voltage."""
    run = view.network.runs.get(fed.feed.wire or "")
    given = fed.feed.input
    if given is None or run is None or run.loop_ohm is None:
        return
    for item in _fitting_feeders(view, key, fed.feed.parent, fed.load_w):
        outputs = [row for row in item.power_outputs if misfit(row, given) is None]
        source_v = outputs[0].volts_v * (1.0 - outputs[0].tolerance_percent / 100.0)
        if float(load_voltage_v(source_v, run.loop_ohm, fed.load_w)) >= _NEAR_MINIMUM * given.volts_min_v:
            yield cure(f"Take {item.name} for {fed.feed.parent}.", "change", thing_id=fed.feed.parent, gear=item.id)
            return


def _fitting_feeders(view: View, key: str, feeder: str, watts: float) -> list[DeviceType]:
    """Types that could stand in a feeder's place: they take its supply, and feed all that hangs on it."""
    job, supplied = view.job, view.network.supplied
    present = device_type(job, feeder)
    if present is None:
        return []
    fed, children = supplied.things.get(feeder), supplied.forest.children.get(feeder, ())
    above = fed.feed.output if fed is not None else None
    found = []
    for item in sorted(job.gear.values(), key=lambda row: row.id):
        if not isinstance(item, DeviceType) or item.id == present.id or item.kind != present.kind:
            continue
        if above is not None and not any(misfit(above, given) is None for given in item.power_inputs):
            continue
        if all(_feeds(item, inputs_of(job, child), watts if child == key else 0.0) for child in children):
            found.append(item)
    return found


def _feeds(item: DeviceType, inputs: Iterable[object], watts: float) -> bool:
    return any(
        misfit(output, given) is None and output.watts_w >= watts  # type: ignore[arg-type]  # inputs of a thing
        for output in item.power_outputs
        for given in inputs
    )


# --- a supply that does not fit ---------------------------------------------------------------------------------


def wrong_supply(view: View) -> Iterator[Draft]:
    """Kind, voltage, pairs or power of a port that do not fit what hangs on it; a budget that is passed."""
    supplied = view.network.supplied
    loaded: set[str] = set()
    for key, fed in supplied.things.items():
        if fed.feed.problem is not None:
            yield _misfit(view, key, fed)
        elif fed.limit_w is not None and fed.port_w > fed.limit_w + _SLACK_W:
            loaded.add(fed.feed.parent)
            yield _port_passed(view, key, fed)
    for key, feeder in sorted(supplied.feeders.items()):
        if feeder.limit_w is not None and feeder.out_w > feeder.limit_w + _SLACK_W and key not in loaded:
            yield _budget_passed(view, key)


def _misfit(view: View, key: str, fed: Fed) -> Draft:
    others = _fitting_feeders(view, key, fed.feed.parent, fed.load_w)
    cures = [
        cure(f"Take {i.name} for {fed.feed.parent}.", "change", thing_id=fed.feed.parent, gear=i.id) for i in others[:1]
    ]
    return Draft(
        code="wrong-supply",
        severity="stop",
        subject=key,
        second_subject=fed.feed.parent,
        message=f"{fed.feed.parent} {fed.feed.problem}.",
        source="IEEE8023",
        radio=on_sheet_of(view, key),
        place=at_thing(view, key),
        cures=(*cures, work_on_site("Put a converter between, or take a source of the right kind.")),
    )


def _port_passed(view: View, key: str, fed: Fed) -> Draft:
    others = _fitting_feeders(view, key, fed.feed.parent, fed.port_w)
    cures = [
        cure(f"Take {i.name} for {fed.feed.parent}.", "change", thing_id=fed.feed.parent, gear=i.id) for i in others[:1]
    ]
    return Draft(
        code="wrong-supply",
        severity="stop",
        subject=key,
        second_subject=fed.feed.parent,
        message=f"{fed.port_w:.1f} W are drawn from a port of {fed.feed.parent} that gives {fed.limit_w:.1f} W.",
        source="PRACTICE",
        value=fed.port_w,
        limit=fed.limit_w,
        unit="W",
        radio=on_sheet_of(view, key),
        place=at_thing(view, key),
        cures=(*cures, work_on_site("Feed one of the things behind it from elsewhere.")),
    )


def _budget_passed(view: View, key: str) -> Draft:
    feeder = view.network.supplied.feeders[key]
    hot = ""
    if feeder.nominal_w is not None and feeder.limit_w is not None and feeder.limit_w < feeder.nominal_w - _SLACK_W:
        hot = f" ({feeder.nominal_w:.0f} W less what {feeder.temperature_c:.0f} °C in its box take)"
    return Draft(
        code="wrong-supply",
        severity="stop",
        subject=key,
        message=f"{feeder.out_w:.1f} W hang on it by night, it gives {feeder.limit_w:.1f} W in all{hot}.",
        source="PRACTICE",
        value=feeder.out_w,
        limit=feeder.limit_w,
        unit="W",
        radio=on_sheet_of(view, key),
        place=at_thing(view, key),
        cures=(work_on_site("Feed some of it from a second supply, or take a stronger type."),),
    )


def fed_twice(view: View) -> Iterator[Draft]:
    """A thing with two feeders: one is bought for nothing, or they fight."""
    for key, others in sorted(view.network.supplied.forest.again.items()):
        feed = view.network.supplied.forest.feeds[key]
        yield Draft(
            code="fed-twice",
            severity="note",
            subject=key,
            message=f"{feed.parent} feeds it, and so does {several(others)}: one of them is not needed.",
            source="PRACTICE",
            radio=on_sheet_of(view, key),
            place=at_thing(view, key),
            cures=(work_on_site("Let one of the wires carry data only."),),
        )


RULES = (
    no_power_there,
    switched_off,
    no_volts,
    wrong_supply,
    fed_twice,
    *BOX_RULES,
    *CABLE_RULES,
    *SOURCE_RULES,
)
