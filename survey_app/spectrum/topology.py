"""What a radio is in its cell, which decides the power that it may send; the antenna does not."""

from __future__ import annotations

from typing import Literal

from survey_app.spectrum.rules import Topology

__all__ = ["TOPOLOGY_WORDS", "topology_of"]

TOPOLOGY_WORDS: dict[Topology, str] = {
    "multipoint_hub": "Point to multipoint",
    "point_to_point": "Fixed point to point",
    "client": "Station of a multipoint cell",
}
"""How people call each of them."""


def topology_of(
    role: Literal["access_point", "station"],
    stations: int,
    *,
    link_rule: Literal["by_topology", "certified_point_to_point"] = "by_topology",
    certificate: str = "",
    omnidirectional: bool = False,
) -> Topology:
    """Topology by which a radio's power is judged.

    An access point with exactly one station is fixed point to point, and so is that station. With more stations, or
    none yet, the access point is a multipoint hub and its stations are clients.

    Parameters
    ----------
    role : {"access_point", "station"}
        The radio's role in its cell.
    stations : int
        How many stations the cell has, the radio itself included where it is one.
    link_rule : {"by_topology", "certified_point_to_point"}
        The second makes a station of a multipoint cell fixed point to point, but only together with `certificate`; it
        never changes a hub.
    certificate : str
        What names the equipment's certification as fixed point to point; blank = none, and the station stays a client.
    omnidirectional : bool
        The access point's antenna looks all round. The relief for point to point leaves out omnidirectional
        applications, so such a cell is multipoint even with one station.

    Returns
    -------
    Topology
        "multipoint_hub", "point_to_point" or "client".

    Raises
    ------
    ValueError
        The role is neither of the two, or `stations` is negative.

    Notes
    -----
    Source: [CFR15407]_, text of 2024-02-06, (a)(1)(iii) and (a)(3)(i).

    Examples
    --------
    >>> topology_of("access_point", 1), topology_of("access_point", 2), topology_of("station", 2)
    ('point_to_point', 'multipoint_hub', 'client')
    """
    if role not in ("access_point", "station"):
        raise ValueError(f"a radio is an access point or a station, not {role!r}")
    if stations < 0:
        raise ValueError("a cell cannot have fewer than no stations")
    if stations == 1 and not omnidirectional:
        return "point_to_point"
    if role == "access_point":
        return "multipoint_hub"
    if link_rule == "certified_point_to_point" and certificate.strip():
        return "point_to_point"
    return "client"
