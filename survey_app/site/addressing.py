"""Addresses of a site's network: two blocks, kept apart, from which things take theirs."""

import ipaddress
from typing import Annotated

from pydantic import AfterValidator

from survey_app.site.record import Name, Record, said

__all__ = ["AddressPlan", "Block", "block_of"]

Block = ipaddress.IPv4Network
_LEAST_PREFIX, _MOST_PREFIX = 8, 30


def block_of(text: str) -> Block:
    """Return a block that is written as address and length, such as `10.20.0.0/24`.

    Raises
    ------
    ValueError
        It is no such block, it is larger than /8 or smaller than /30, or its address is not its first one.
    """
    try:
        block = ipaddress.IPv4Network(text.strip(), strict=False)
    except ValueError:
        raise ValueError(f"'{text[:40]}' is no block of addresses, write one such as 10.20.0.0/24") from None
    if "/" not in text or not _LEAST_PREFIX <= block.prefixlen <= _MOST_PREFIX:
        raise ValueError(f"'{text[:40]}' has no length from /{_LEAST_PREFIX} to /{_MOST_PREFIX}")
    if str(block.network_address) != text.strip().partition("/")[0]:
        raise ValueError(f"'{text[:40]}' does not begin at its first address, {block} does")
    return block


def _block(text: str) -> str:
    if text:
        block_of(text)
    return text


class AddressPlan(Record):
    """From which blocks addresses are taken, and how things are named in the network."""

    management: Annotated[
        Name, said("Block of radios, switches and other boxes, such as 10.20.0.0/24"), AfterValidator(_block)
    ] = ""
    video: Annotated[Name, said("Block of cameras and recorders, such as 10.20.1.0/24"), AfterValidator(_block)] = ""
    reserved: Annotated[
        int, said("Addresses at the start of each block that are left to routers and laptops", ge=0, le=4000)
    ] = 10
    name_pattern: Annotated[
        Name, said("Name of a thing in the network; {id}, {kind} and {mount} stand for its own")
    ] = "{kind}-{id}"
