"""Ways that exist twice, lead in a circle, or leave a unit to be managed from one side; sign-in over the network."""

from __future__ import annotations

from collections.abc import Iterator

from survey_app.assess.findings import Draft, cure, work_on_site
from survey_app.assess.graph import device_type, things_joined
from survey_app.assess.loops import guarded, rings
from survey_app.assess.record import Cure
from survey_app.assess.rules.spots import at_thing, several
from survey_app.assess.rules.view import View

__all__ = ["CODES", "RULES"]

CODES = {
    "second-way": "Two ways lead home",
    "no-free-port": "Wire without a port",
    "managed-from-one-end": "Managed from one side only",
    "no-sign-in": "Nobody to sign in at",
}


def second_way(view: View) -> Iterator[Draft]:
    """Rings that loop protection opens: which of both ways is in use is its choice, not the plan's."""
    graph = view.network.graph
    endless = {leg for ring in rings(view.job, graph, without_guards=True) for leg in ring.legs}
    for ring in rings(view.job, graph, without_guards=False):
        cameras = [key for key, row in view.routes.items() if {leg.id for leg in row.legs} & set(ring.legs)]
        guards = [key for key in ring.things if guarded(view.job, key)]
        if not guards or not cameras or endless & set(ring.legs):
            continue
        used = {leg.id for row in view.routes.values() for leg in row.legs}
        idle = [leg for leg in ring.legs if leg not in used]
        yield Draft(
            code="second-way",
            severity="note",
            subject=guards[0],
            second_subject=(idle or list(ring.legs))[0],
            message=f"{several(sorted(cameras))} have two ways home. The shorter is planned, {several(idle)} wait: "
            f"which of them works is decided by the loop protection of {several(guards)}.",
            source="IEEE8021Q",
            value=float(len(cameras)),
            place=at_thing(view, guards[0]),
            cures=(work_on_site(f"Set the costs of its ports so that {several(idle)} stay idle while all is well."),),
        )


def no_free_port(view: View) -> Iterator[Draft]:
    """Wires beyond the ports of a thing; a camera that is wired to two places."""
    for wire_id, full in sorted(view.network.graph.without_port.items()):
        ends = things_joined(view.job, view.job.wires[wire_id])
        cameras = {key for key in ends if key in view.job.cameras}
        if any(view.routes[key].head_end is None for key in cameras):
            continue  # told by what does not come home
        camera = full in view.job.cameras
        yield Draft(
            code="no-free-port",
            severity="stop",
            subject=wire_id,
            second_subject=full,
            message=f"{full} is wired already and has one port: {wire_id} leads in a circle."
            if camera
            else f"{full} has no port left for {wire_id}.",
            source="PRACTICE",
            place=at_thing(view, full),
            cures=(
                cure(f"Take {wire_id} away.", "remove", thing_id=wire_id),
                *(() if camera else (work_on_site("Put a switch there, or take a type with more ports."),)),
            ),
        )


def managed_from_one_end(view: View) -> Iterator[Draft]:
    """An access point that is reached over one of its own stations: that station gone, nobody can set it."""
    graph = view.network.graph
    for radio_id in view.job.cells:
        step = graph.reached.get(radio_id)
        if step is None or step.edge is None or step.edge.kind != "hop" or len(view.job.hops_of[radio_id]) < 2:
            continue
        yield Draft(
            code="managed-from-one-end",
            severity="note",
            subject=radio_id,
            second_subject=step.nearer,
            message=f"It stands between its stations and is managed over {step.nearer} alone: with that hop down "
            "nobody reaches it from home.",
            source="PRACTICE",
            hop=step.edge.id,
            radio=radio_id,
            place=view.at_radio(radio_id),
            cures=(work_on_site("Set it up on the bench, and note how it is reached from its foot."),),
        )


def no_sign_in(view: View) -> Iterator[Draft]:
    """Radios that sign in at a server which the site does not have, or which their access point does not reach."""
    job, graph = view.job, view.network.graph
    servers = sorted(
        key for key in job.devices if (kind := device_type(job, key)) is not None and kind.kind == "sign_in_server"
    )
    for radio_id in job.cells:
        radio = job.radios[radio_id]
        wanting = [
            key for key in (radio_id, *job.far_ends(radio_id)) if job.radios[key].protection == "wpa2_enterprise"
        ]
        if not wanting or any(_joined(view, radio_id, key) for key in servers):
            continue
        near = next((key for key in servers if key in graph.legs), None)
        found = job.radio_type(radio)
        shared = next((word for word in found.protections if word in _SHARED), None) if found is not None else None
        cures: list[Cure] = [
            cure("Sign in with a shared phrase instead.", "change", thing_id=key, protection=shared)
            for key in (wanting if shared is not None and len(wanting) == 1 else ())
        ]
        yield Draft(
            code="no-sign-in",
            severity="stop",
            subject=radio_id,
            second_subject=near,
            message=f"{several(wanting)} sign in at a server, and "
            + (f"no way leads from it to {several(servers)}." if servers else "the site has none."),
            source="IEEE80211",
            value=float(len(wanting)),
            radio=radio_id,
            place=view.at_radio(radio_id),
            cures=(*cures, work_on_site("Draw the server and its wire, or sign in with a shared phrase.")),
        )


_SHARED = frozenset({"wpa3_sae", "wpa2_aes"})


def _joined(view: View, radio_id: str, server: str) -> bool:
    """Whether an access point reaches a server over its wires and the hops of others."""
    legs, job = view.network.graph.legs, view.job
    own = {hop.id for hop in job.hops_of[radio_id]}
    seen, stack = {radio_id}, [radio_id]
    while stack:
        here = stack.pop()
        if here == server:
            return True
        kind = device_type(job, here)
        if here in job.cameras or (kind is not None and kind.kind in ("recorder", "encoder", "supply_unit")):
            continue
        for leg in legs.get(here, ()):
            # a station is let in by the server: its own hops are no way there
            if leg.id not in own and leg.other(here) not in seen:
                seen.add(leg.other(here))
                stack.append(leg.other(here))
    return False


RULES = (second_way, no_free_port, managed_from_one_end, no_sign_in)
