"""Things of the network on paper: name, role, address, channel and mount of all that has an address."""

from __future__ import annotations

from collections.abc import Mapping

from survey_app.paper.flag_notes import flags_of
from survey_app.paper.ledger import Cell, Column, Empty, Group, Table, Words
from survey_app.paper.sources import Sources
from survey_app.site.addressing import AddressPlan
from survey_app.site.edits.addressing import Addressed, NetworkOf, addressed_things
from survey_app.site.network import Device
from survey_app.site.network_names import kind_of
from survey_app.site.radio import Radio

__all__ = ["THING_CODES", "thing_sentences", "thing_table"]

THING_CODES = frozenset({"address-clash", "address-outside", "addresses-short", "blocks-overlap"})
"""Findings about addresses."""

_NETWORKS: tuple[tuple[NetworkOf, str], ...] = (("management", "Management network"), ("video", "Video network"))
_NONE = Words("none")
_ALL = 20


def thing_table(sources: Sources) -> Table | None:
    """Return the table of things, those of the management network first; None where nothing needs an address."""
    names = sources.network_names
    kinds = {key: item.kind for key, item in sources.gear.items()}
    things = list(addressed_things(sources.site))
    if not things:
        return None
    return Table(
        columns=(
            Column(("NAME IN THE NETWORK",), 47, bold=True),
            Column(("ID",), 25, rule=True),
            Column(("ROLE",), 28),
            Column(("LABEL",), 36),
            Column(("ADDRESS",), 36, rule=True),
            Column(("CHANNEL",), 18, "right", rule=True),
            Column(("MOUNT OR PLACE",), 47, rule=True, wraps=True),
            Column(("FLAGS",), 12, "middle", rule=True),
        ),
        groups=tuple(
            Group(_head(sources, network, words), rows)
            for network, words in _NETWORKS
            if (rows := tuple(_row(sources, thing, names, kinds) for name, thing in things if name == network))
        ),
        row_mm=6.2,
        head_mm=7.6,
        title="THINGS OF THE NETWORK",
        note="an empty box: no address is given yet",
    )


def _head(sources: Sources, network: NetworkOf, words: str) -> str:
    plan = sources.design.addressing or AddressPlan()
    block = plan.management if network == "management" else plan.video
    if not block:
        return f"{words}: no block is given"
    kept = "1 address is" if plan.reserved == 1 else f"{plan.reserved} addresses are"
    return f"{words} {block}: the first {kept} kept for routers and laptops" if plan.reserved else f"{words} {block}"


def _row(sources: Sources, thing: Addressed, names: dict[str, str], kinds: Mapping[str, str]) -> tuple[Cell, ...]:
    address = thing.address.strip()
    return (
        Words(names[thing.id]),
        Words(thing.id),
        Words(_role(thing, kinds)),
        Words(sources.name(thing.id)),
        Words(address) if address else Empty(32),
        _channel(sources, thing),
        _where(sources, thing),
        flags_of(sources, THING_CODES, {thing.id}),
    )


def _role(thing: Addressed, kinds: Mapping[str, str]) -> str:
    word = (thing.role if isinstance(thing, Radio) else kind_of(thing, kinds)).replace("_", " ")
    return f"{word}, later" if thing.status == "later" else word


def _channel(sources: Sources, thing: Addressed) -> Cell:
    if not isinstance(thing, Radio):
        return _NONE
    row = sources.radios.get(thing.id)
    if row is None or row.channel is None:
        return Empty(12)
    return Words(f"{row.channel}/{row.width_mhz:g}")


def _where(sources: Sources, thing: Addressed) -> Cell:
    """Where people find it: its mount, and the structure where neither name tells the other."""
    structure = thing.structure if isinstance(thing, Device) else None
    mount = sources.mounts.get(thing.mount) if thing.mount is not None else None
    if mount is None:
        return Words("no mount" if structure is None else sources.name(structure), lines=_ALL)
    name, on = mount.name, mount.structure_name
    if name.lower() in on.lower():
        return Words(on, lines=_ALL)
    return Words(name if not on or on.lower() in name.lower() else f"{name}, {on}", lines=_ALL)


def thing_sentences(sources: Sources) -> list[str]:
    """Return how names are formed, and what fills the empty boxes."""
    plan = sources.design.addressing
    things = list(addressed_things(sources.site))
    if not things:
        return []
    pattern = (plan or AddressPlan()).name_pattern
    found = [f"Things: names in the network follow the pattern {pattern}."]
    blocks = {"management": plan.management, "video": plan.video} if plan is not None else {}
    bare = [name for name, thing in things if not thing.address.strip()]
    if bare and all(blocks.get(name) for name in bare):
        found.append("Things, empty box under ADDRESS: give addresses from the site's blocks, or write it in.")
    elif bare:
        found.append("Things, empty box under ADDRESS: give the site a block for each network, or write it in.")
    return found
