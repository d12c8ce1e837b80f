"""Addresses of the network: taken from the plan's blocks, once; what has one keeps it."""

from __future__ import annotations

import ipaddress
from collections.abc import Iterator
from typing import Literal

from survey_app.errors import UsageError
from survey_app.site.addressing import AddressPlan, Block, block_of
from survey_app.site.edits.edit import Edit, finished
from survey_app.site.edits.sharing import find, rebuilt, with_rows
from survey_app.site.edits.site_wide import change_design
from survey_app.site.network import Camera, Device
from survey_app.site.radio import Radio
from survey_app.site.site import Site

__all__ = ["Addressed", "NetworkOf", "addressed_things", "fill_addresses", "free_addresses", "set_address_plan"]

NetworkOf = Literal["management", "video"]
Addressed = Radio | Camera | Device

_VIDEO_BOXES = frozenset({"recorder", "encoder"})
_BOXES = frozenset({"switch", "sign_in_server"})


def addressed_things(site: Site) -> Iterator[tuple[NetworkOf, Addressed]]:
    """Yield what needs an address and in which network: radios and switches, then cameras, encoders, recorders."""
    design = site.design
    kinds = {row.id: row.kind for row in design.gear}
    for radio in design.radios:
        if radio.status != "removed":
            yield "management", radio
    for device in design.devices:
        if device.status != "removed" and kinds.get(device.gear) in _BOXES:
            yield "management", device
    for device in design.devices:
        if device.status != "removed" and kinds.get(device.gear) in _VIDEO_BOXES:
            yield "video", device
    for camera in design.cameras:
        if camera.status != "removed" and not camera.analogue:
            yield "video", camera


def free_addresses(block: Block, reserved: int, taken: frozenset[str]) -> Iterator[str]:
    """Yield the addresses of a block that may still be given, in order; first, last and reserved ones are not."""
    first, last = int(block.network_address) + 1 + reserved, int(block.broadcast_address)
    for number in range(first, last):
        address = str(ipaddress.IPv4Address(number))
        if address not in taken:
            yield address


def set_address_plan(
    site: Site, management: str = "", video: str = "", reserved: int = 10, name_pattern: str = "{kind}-{id}"
) -> Edit:
    """Say from which blocks addresses are taken; addresses that things have are kept.

    Raises
    ------
    UsageError
        A block is none.
    """
    plan = rebuilt(
        AddressPlan(),
        "addresses",
        management=management,
        video=video,
        reserved=reserved,
        name_pattern=name_pattern,
    )
    return change_design(site, addressing=plan)._replace(label="Set the plan of addresses", merge_key="")


def fill_addresses(site: Site) -> Edit:
    """Give an address to everything that needs one and has none, in the order of the file.

    An address that is given stays: what is added later takes the next free one, so no bench sheet goes stale.

    Raises
    ------
    UsageError
        There is no plan, or a block has not enough addresses left; nothing is given then.
    """
    plan = site.design.addressing
    if plan is None or not (plan.management or plan.video):
        raise UsageError(
            "the site has no plan of addresses", remedy="give it a block for management and one for video first"
        )
    taken = frozenset(thing.address.strip() for _, thing in addressed_things(site) if thing.address.strip())
    free = {
        name: free_addresses(block_of(text), plan.reserved, taken)
        for name, text in (("management", plan.management), ("video", plan.video))
        if text
    }
    puts: dict[str, dict[int, Addressed]] = {}
    given: list[str] = []
    used: set[str] = set()
    for network, thing in addressed_things(site):
        if thing.address.strip() or network not in free:
            continue
        # blocks may overlap: an address that the other network has just taken is not free
        address = next((one for one in free[network] if one not in used), None)
        if address is None:
            block = plan.management if network == "management" else plan.video
            raise UsageError(
                f"the {network} block {block} has no address left for {thing.id}",
                remedy="take a larger block, or reserve fewer addresses",
            )
        used.add(address)
        found = find(site, thing.id)
        puts.setdefault(found.collection.name, {})[found.number] = rebuilt(thing, found.title, address=address)
        given.append(thing.id)
    if not given:
        return Edit("Give addresses", site, site, ())
    after = site
    for name, put in puts.items():
        after = with_rows(after, "design", name, put=put)
    return finished(f"Give {len(given)} address{'' if len(given) == 1 else 'es'}", site, after, tuple(given))
