"""Whether every camera's video comes home, and what the network and the head end make of it."""

from __future__ import annotations

from collections.abc import Iterator

from survey_app.assess.failures import MANY_CAMERAS
from survey_app.assess.findings import Draft, cure, work_on_site
from survey_app.assess.graph import device_type, things_joined
from survey_app.assess.loops import guarded, rings
from survey_app.assess.record import Cure, RouteRow
from survey_app.assess.routes import demand_by_wire, wire_speed_mbps
from survey_app.assess.rules.head_end import CODES as HEAD_END_CODES
from survey_app.assess.rules.head_end import RULES as HEAD_END_RULES
from survey_app.assess.rules.places import CODES as PLACE_CODES
from survey_app.assess.rules.places import RULES as PLACE_RULES
from survey_app.assess.rules.spots import at_thing, several
from survey_app.assess.rules.view import View
from survey_app.assess.wires import mount_of

__all__ = ["CODES", "RULES"]

CODES = {
    "no-way-home": "Video does not come home",
    "port-thin": "Port nearly full",
    "no-through-bridge": "Station carries one device only",
    "isolation-kills-relay": "Stations kept apart, but one needs another",
    "single-point": "Many cameras behind one hop",
    "growth": "Little room to grow",
    **HEAD_END_CODES,
    **PLACE_CODES,
}

_THIN_FRACTION = 0.60
_FEW_MORE = 2


# --- no way home ------------------------------------------------------------------------------------------------


def no_way_home(view: View) -> Iterator[Draft]:
    """Cameras without a route, one finding for all that hang together; rings; wires slower than their load."""
    lost = [key for key, row in view.routes.items() if row.head_end is None]
    if lost and not view.job.head_ends:
        yield Draft(
            code="no-way-home",
            severity="stop",
            subject=min(lost),
            message=f"No head end is drawn: the video of {several(sorted(lost))} has nowhere to go.",
            source="PRACTICE",
            value=float(len(lost)),
            place=at_thing(view, min(lost)),
            cures=(work_on_site("Draw the recorder and make it the head end."),),
        )
    elif lost:
        yield from _lost(view, lost)
    yield from _rings(view)
    yield from _slow_wires(view)


def _lost(view: View, lost: list[str]) -> Iterator[Draft]:
    together: dict[str, list[str]] = {}
    part_of: dict[str, str] = {}
    for camera_id in sorted(lost):
        if camera_id not in part_of:
            for thing in _hanging_together(view, camera_id):
                part_of[thing] = camera_id
        together.setdefault(part_of[camera_id], []).append(camera_id)
    for first, cameras in together.items():
        reason, cures = _why_lost(view, first, [key for key, part in part_of.items() if part == first])
        yield Draft(
            code="no-way-home",
            severity="stop",
            subject=first,
            message=f"The video of {several(cameras)} does not come home: {reason}.",
            source="PRACTICE",
            value=float(len(cameras)),
            place=at_thing(view, first),
            radio=next((key for key, part in part_of.items() if part == first and key in view.job.radios), None),
            cures=cures,
        )


def _hanging_together(view: View, start: str) -> set[str]:
    """Things that hang together with one, none of which reaches a head end."""
    legs, reached = view.network.graph.legs, view.network.graph.reached
    found, stack = {start}, [start]
    while stack:
        here = stack.pop()
        for leg in legs.get(here, ()):
            far = leg.other(here)
            if far not in found and far not in reached:
                found.add(far)
                stack.append(far)
    return found


def _why_lost(view: View, first: str, things: list[str]) -> tuple[str, tuple[Cure, ...]]:
    job, graph = view.job, view.network.graph
    inside = set(things)
    for wire_id, full in sorted(graph.without_port.items()):
        if inside & set(things_joined(job, job.wires[wire_id])):
            words = "Put a switch there, or take a type with more ports."
            return f"{wire_id} finds no free port on {full}", (work_on_site(words),)
    camera = job.cameras[first]
    if camera.analogue and len(things) == 1:
        return "an analogue camera needs an encoder", (work_on_site("Wire it to an encoder's video input."),)
    if not graph.legs.get(first):
        near = _reached_near(view, first)
        join = (cure(f"Wire it to {near}.", "wire", a=first, b=near),) if near else ()
        return "no wire leads away from it", (*join, work_on_site("Draw its wire to a switch."))
    ends = {leg.other(key) for key in things for leg in graph.legs.get(key, ())} & graph.reached.keys()
    if ends:
        stop = min(ends)
        return f"{stop} passes nothing on", (work_on_site(f"Lead it past {stop}."),)
    last = max(things, key=lambda key: (key in job.radios, key in job.devices, key))
    return f"nothing leads on from {last}", (work_on_site(f"Draw the hop or wire that leads on from {last}."),)


def _reached_near(view: View, thing_id: str) -> str | None:
    """A switch of the same mount that has a way home."""
    mount = mount_of(view.job, thing_id)
    reached = view.network.graph.reached
    for key in sorted(view.job.devices):
        kind = device_type(view.job, key)
        if key in reached and kind is not None and kind.kind == "switch" and mount_of(view.job, key) == mount:
            return key
    return None


def _rings(view: View) -> Iterator[Draft]:
    job = view.job
    used = {leg.id for row in view.routes.values() for leg in row.legs}
    for ring in rings(job, view.network.graph, without_guards=True):
        switches = [key for key in ring.things if (kind := device_type(job, key)) is not None and kind.kind == "switch"]
        cures: list[Cure] = []
        for key in switches:
            kind = device_type(job, key)
            if kind is not None and kind.spanning_tree and not guarded(job, key):
                cures.append(cure(f"Switch loop protection of {key} on.", "change", thing_id=key, spanning_tree=True))
        idle = [leg for leg in ring.legs if leg not in used and leg in job.wires] or [
            leg for leg in ring.legs if leg not in used
        ]
        cures += [cure(f"Take {idle[-1]} away.", "remove", thing_id=idle[-1])] if idle else []
        yield Draft(
            code="no-way-home",
            severity="stop",
            subject=(switches or list(ring.things))[0],
            second_subject=ring.legs[0],
            message=f"{several(ring.legs)} form a ring and no switch in it opens it: packets will run in it for ever.",
            source="PRACTICE",
            value=float(len(ring.legs)),
            place=at_thing(view, ring.things[0]),
            cures=(*cures, work_on_site("Take one leg away, or a switch with loop protection.")),
        )


def _slow_wires(view: View) -> Iterator[Draft]:
    for wire_id, load in sorted(demand_by_wire(view.job, view.network.graph).items()):
        speed = wire_speed_mbps(view.job, wire_id)
        if speed is None or load <= _THIN_FRACTION * speed:
            continue
        full = load > speed
        yield Draft(
            code="no-way-home" if full else "port-thin",
            severity="stop" if full else "warn",
            subject=wire_id,
            message=f"{load:.0f} Mbit/s have to pass, the slower of its ports and cable carries {speed:.0f} Mbit/s.",
            source="PRACTICE",
            value=load,
            limit=speed if full else _THIN_FRACTION * speed,
            unit="Mbit/s",
            place=at_thing(view, things_joined(view.job, view.job.wires[wire_id])[0]),
            cures=(work_on_site("Take faster ports there, or share the load over two ways."),),
        )


# --- bridging ---------------------------------------------------------------------------------------------------


def no_through_bridge(view: View) -> Iterator[Draft]:
    """More than one device behind a station that carries only one."""
    for radio_id, radio in view.job.radios.items():
        found = view.job.radio_type(radio)
        single = radio.bridge == "single" or (found is not None and not found.transparent_bridge)
        if radio.role != "station" or (not single and radio.bridge != "unknown"):
            continue
        behind = _devices_behind(view, radio_id)
        if len(behind) < 2:
            continue
        able = found is not None and found.transparent_bridge
        cures = (
            [cure("Set it to bridge transparently.", "change", thing_id=radio_id, bridge="transparent")] if able else []
        )
        others = [
            item
            for item in sorted(view.job.gear.values(), key=lambda row: row.id)
            if item.kind == "radio" and item.transparent_bridge and item.indoor == (found.indoor if found else False)
        ]
        if not able and others:
            cures.append(cure(f"Take {others[0].name}.", "change", thing_id=radio_id, gear=others[0].id))
        word = "carries one device only" if single else "may carry one device only, which is not noted"
        yield Draft(
            code="no-through-bridge",
            severity="stop" if single else "warn",
            subject=radio_id,
            message=f"As a station it {word}, and {several(sorted(behind))} stand behind it.",
            source="IEEE80211",
            value=float(len(behind)),
            limit=1.0,
            hop=next((hop.id for hop in view.job.hops_of[radio_id]), None),
            radio=radio_id,
            place=at_thing(view, radio_id),
            cures=(*cures, work_on_site("Take a unit or mode that carries several devices (4-address).")),
        )


def _devices_behind(view: View, radio_id: str) -> set[str]:
    """Things with an address of their own on a station's wired side; the search ends at two."""
    job, legs = view.job, view.network.graph.legs
    found: set[str] = set()
    seen, stack = {radio_id}, [leg.other(radio_id) for leg in legs.get(radio_id, ()) if leg.kind == "wire"]
    while stack and len(found) < 2:
        here = stack.pop()
        if here in seen:
            continue
        seen.add(here)
        kind = device_type(job, here)
        addressed = kind is not None and kind.kind in ("recorder", "encoder")
        if addressed or here in job.radios or (here in job.cameras and not job.cameras[here].analogue):
            found.add(here)
        stack.extend(leg.other(here) for leg in legs.get(here, ()))
    return found


def isolation_kills_relay(view: View) -> Iterator[Draft]:
    """Stations of an access point are kept apart, but a route goes from one to another."""
    through: dict[str, list[str]] = {}
    for route in view.routes.values():
        for access_point in _relayed_at(view, route):
            if view.job.radios[access_point].isolation:
                through.setdefault(access_point, []).append(route.camera)
    for radio_id, cameras in sorted(through.items()):
        yield Draft(
            code="isolation-kills-relay",
            severity="stop",
            subject=radio_id,
            message=f"It keeps its stations apart, but {several(cameras)} go from one of them to another.",
            source="PRACTICE",
            value=float(len(cameras)),
            limit=0.0,
            radio=radio_id,
            place=at_thing(view, radio_id),
            cures=(cure("Let its stations reach each other.", "change", thing_id=radio_id, isolation=False),),
        )


def _relayed_at(view: View, route: RouteRow) -> Iterator[str]:
    for leg, following in zip(route.legs, route.legs[1:], strict=False):
        if leg.direction == "to_access_point" and following.direction == "to_station":
            access_point = view.job.hops[leg.id].access_point
            if view.job.hops[following.id].access_point == access_point:
                yield access_point


# --- growth and single points -----------------------------------------------------------------------------------


def single_point(view: View) -> Iterator[Draft]:
    """Many cameras lost together when one hop fails, none of which records by itself."""
    for hop_id in sorted(view.job.hops):
        row = view.failures.get(hop_id)
        bare = row.unrecorded if row is not None else ()
        if len(bare) < MANY_CAMERAS:
            continue
        yield Draft(
            code="single-point",
            severity="note",
            subject=hop_id,
            message=f"{len(bare)} cameras that do not record by themselves hang on this one hop.",
            source="PRACTICE",
            value=float(len(bare)),
            limit=float(MANY_CAMERAS),
            hop=hop_id,
            place=view.at_hop(hop_id) if hop_id in view.hops else None,
            cures=(work_on_site("Let the cameras record by themselves, or give it a second way."),),
        )


def growth(view: View) -> Iterator[Draft]:
    """Cells and recorders that take few more cameras."""
    for cell in view.cells.values():
        shared = cell.load_with_others_fraction
        warned = shared is None or shared > view.job.defaults.load_warn_fraction
        if cell.more_cameras is None or cell.more_cameras > _FEW_MORE or warned or cell.demand_mbps <= 0:
            continue
        more = cell.more_cameras
        yield Draft(
            code="growth",
            severity="note",
            subject=cell.id,
            message=f"{more or 'No'} more camera{'s' if more != 1 else ''} of the usual kind before "
            f"{100 * view.job.defaults.load_warn_fraction:.0f} % of the cell's air are used.",
            source="PRACTICE",
            value=float(more),
            limit=float(_FEW_MORE),
            radio=cell.access_point,
            place=view.at_radio(cell.access_point),
            cures=(work_on_site("Nothing need be done; plan a second cell before cameras are added."),),
        )
    for row in view.head_ends.values():
        if row.channels is not None and row.channels_used == row.channels:
            yield Draft(
                code="growth",
                severity="note",
                subject=row.id,
                message=f"All {row.channels} inputs of the recorder are taken.",
                source="PRACTICE",
                value=float(row.channels_used),
                limit=float(row.channels),
                place=at_thing(view, row.device),
                cures=(work_on_site("Nothing need be done; the next camera wants a second recorder."),),
            )


RULES = (
    no_way_home,
    no_through_bridge,
    isolation_kills_relay,
    single_point,
    growth,
    *HEAD_END_RULES,
    *PLACE_RULES,
)
