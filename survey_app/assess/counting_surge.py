"""Counts surge protectors and what bonds them; no conductor sizes: those are the electrician's."""

from __future__ import annotations

from survey_app.assess.counting import Article, Book, Counted, gear_article, state_of, sundry_article
from survey_app.site.gear_type import ProtectorType

__all__ = ["count_surge"]

_GROUP = "Surge and earth"
_BOND_A_PROTECTOR_M, _LUGS_A_PROTECTOR = 1, 2
_BOND_A_MOUNT_M, _LUGS_A_MOUNT = 2, 2
_COUNT_WORDS = {1: "one end", 2: "two ends"}


def count_surge(book: Book, counted: Counted) -> None:
    """Count two protectors a copper run outdoors, a short bond for each, and a bond for each mount outdoors."""
    job = counted.job
    types = [item for item in job.gear.values() if isinstance(item, ProtectorType)]
    how = "two a copper run outdoors"
    protector = (
        gear_article(counted, min(types, key=lambda item: item.id), _GROUP, how)
        if types
        else Article(_GROUP, "surge protector for data cable", how)
    )
    wire_m = sundry_article(counted, "bond_wire", "bond wire", _GROUP, "1 m a protector, 2 m a mount", by="electrician")
    lug = sundry_article(counted, "lug", "ring lug", _GROUP, "two a bond", by="electrician")
    for row in counted.wires:
        wire = job.wires[row.id]
        if not row.protectors:
            continue
        rule = f"two protectors per outdoor run; {row.id} {_COUNT_WORDS[row.protectors]}"
        book.add(protector, state_of(wire), row.id, row.protectors, rule)
        if state_of(wire) == "buy":
            count = row.protectors
            book.add(wire_m, "buy", row.id, count * _BOND_A_PROTECTOR_M, f"{_BOND_A_PROTECTOR_M} m a protector")
            book.add(lug, "buy", row.id, count * _LUGS_A_PROTECTOR, "two a bond")
    _mounts(book, counted, wire_m, lug)


def _mounts(book: Book, counted: Counted, wire_m: Article, lug: Article) -> None:
    job = counted.job
    clamp = sundry_article(counted, "earth_clamp", "earth clamp", _GROUP, "one a mount outdoors", by="electrician")
    for row in counted.mounts:
        new = any(state_of(job.radios[key]) == "buy" for key in row.radios)
        if row.environment != "outdoors" or not new or job.mounts[row.id].status in ("existing", "hung", "accepted"):
            continue
        book.add(clamp, "buy", row.id, 1, "one a mount outdoors")
        book.add(wire_m, "buy", row.id, _BOND_A_MOUNT_M, f"{_BOND_A_MOUNT_M} m a mount outdoors")
        book.add(lug, "buy", row.id, _LUGS_A_MOUNT, "two a bond")
