"""The plan of addresses: things with one address, outside of their block, blocks that are too small or overlap."""

from __future__ import annotations

import ipaddress
from collections.abc import Iterator

from survey_app.assess.findings import Draft, cure, work_on_site
from survey_app.assess.rules.spots import at_thing
from survey_app.assess.rules.view import View
from survey_app.assess.rules.words import joined
from survey_app.site.addressing import block_of
from survey_app.site.edits.addressing import addressed_things

__all__ = ["CODES", "RULES"]

CODES = {
    "address-clash": "Two things with one address",
    "address-outside": "Address outside of its block",
    "addresses-short": "More things than addresses",
    "blocks-overlap": "Management and video share addresses",
}


def _blocks(view: View) -> dict[str, ipaddress.IPv4Network]:
    plan = view.job.design.addressing
    if plan is None:
        return {}
    return {name: block_of(text) for name, text in (("management", plan.management), ("video", plan.video)) if text}


def address_clash(view: View) -> Iterator[Draft]:
    """Radios, cameras and boxes with the same address; the last of them is named."""
    holders: dict[str, list[str]] = {}
    for _, thing in addressed_things(view.job.site):
        if thing.address.strip():
            holders.setdefault(thing.address.strip().casefold(), []).append(thing.id)
    for address, keys in holders.items():
        if len(keys) > 1:
            yield Draft(
                code="address-clash",
                severity="warn",
                subject=keys[-1],
                message=f"Its address {address} is also that of {joined(keys[:-1])}.",
                source="PRACTICE",
                value=float(len(keys)),
                limit=1.0,
                radio=keys[-1] if keys[-1] in view.radios else None,
                place=at_thing(view, keys[-1]),
                cures=(cure("Clear it; a free one can be given then.", "change", thing_id=keys[-1], address=""),),
                concerns=tuple(keys[:-1]),
            )


def address_outside(view: View) -> Iterator[Draft]:
    """Addresses that are none, or that lie outside of the block that the plan has for such a thing."""
    blocks = _blocks(view)
    plan = view.job.design.addressing
    for network, thing in addressed_things(view.job.site):
        block, address = blocks.get(network), thing.address.strip()
        if block is None or plan is None or not address:
            continue
        try:
            number = int(ipaddress.IPv4Address(address))
        except ValueError:
            why = "is no address"
        else:
            first, last = int(block.network_address) + 1, int(block.broadcast_address) - 1
            if first + plan.reserved <= number <= last:
                continue
            kept = first <= number < first + plan.reserved
            why = f"is among the {plan.reserved} that are kept free" if kept else f"lies outside of {network} {block}"
        yield Draft(
            code="address-outside",
            severity="warn",
            subject=thing.id,
            message=f"Its address {address[:40]} {why}.",
            source="PRACTICE",
            radio=thing.id if thing.id in view.radios else None,
            place=at_thing(view, thing.id),
            cures=(cure("Clear its address; a free one can be given then.", "change", thing_id=thing.id, address=""),),
        )


def addresses_short(view: View) -> Iterator[Draft]:
    """Blocks with fewer addresses than things that need one."""
    plan = view.job.design.addressing
    for network, block in _blocks(view).items():
        things = [thing.id for name, thing in addressed_things(view.job.site) if name == network]
        room = max(0, block.num_addresses - 2 - (plan.reserved if plan is not None else 0))
        if len(things) > room:
            yield Draft(
                code="addresses-short",
                severity="warn",
                subject="site",
                second_subject=network,
                message=(
                    f"The {network} block {block} has {room} address{'' if room == 1 else 'es'} to give, "
                    f"{len(things)} things need one."
                ),
                source="PRACTICE",
                value=float(len(things)),
                limit=float(room),
                cures=(work_on_site("Ask for a larger block, or keep fewer addresses free."),),
            )


def blocks_overlap(view: View) -> Iterator[Draft]:
    """Blocks of management and video that are not apart."""
    blocks = _blocks(view)
    if len(blocks) > 1 and blocks["management"].overlaps(blocks["video"]):
        yield Draft(
            code="blocks-overlap",
            severity="warn",
            subject="site",
            message=f"Management {blocks['management']} and video {blocks['video']} overlap: they are one network.",
            source="PRACTICE",
            cures=(work_on_site("Take two blocks that are apart, so that cameras cannot reach the radios."),),
        )


RULES = (address_clash, address_outside, addresses_short, blocks_overlap)
