"""Which step of the plan a scale calls for; each step has ten per cent of hysteresis."""

from __future__ import annotations

__all__ = ["LAYERS", "tier_of"]

LAYERS = (
    "picture", "ground heights", "water", "graticule", "wedges", "shadows", "views", "trees", "buildings", "obstacles",
    "overhead", "hops", "wires", "cameras", "radios", "landmarks", "notes", "names", "flags",
)  # fmt: skip
"""Layers that can be switched off, low to high."""

_LIMITS = (8.0, 2.0, 0.8, 0.25)
_HYSTERESIS = 0.10


def tier_of(px_per_m: float, before: int | None = None) -> int:
    """Return the step: 0 shows everything, 4 outlines, hops, flags, ids and landmarks.

    Parameters
    ----------
    px_per_m : float
        Scale at an interface of 100 %. [px/m]
    before : int or None
        The step shown until now; it is left only when a limit is passed by ten per cent.

    Examples
    --------
    >>> tier_of(4.0), tier_of(7.9, before=0), tier_of(7.0, before=0)
    (1, 0, 1)
    """
    plain = sum(px_per_m < limit for limit in _LIMITS)
    if before is None or plain == before:
        return plain
    factor = 1.0 - _HYSTERESIS if plain > before else 1.0 + _HYSTERESIS
    steps = sum(px_per_m < limit * factor for limit in _LIMITS)
    return max(steps, before) if plain > before else min(steps, before)
