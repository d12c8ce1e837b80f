"""The step of the coordinate net and how its numbers are written."""

from __future__ import annotations

import math

__all__ = ["LETTERED_PX", "letters_of", "multiples", "step_m", "subdivision"]

LETTERED_PX = 80.0
"""Lettered ticks lie at least this far apart, and at most two and a half times as far. [px]"""

_THIN_SPACE = "\N{THIN SPACE}"


def step_m(px_per_m: float, least_px: float = LETTERED_PX) -> float:
    """Return the distance of lettered ticks: 1, 2 or 5 times a power of ten.

    Examples
    --------
    >>> step_m(2.28), step_m(12_000.0)
    (50.0, 0.01)
    """
    least = least_px / px_per_m
    power = 10.0 ** math.floor(math.log10(least))
    for factor in (1.0, 2.0, 5.0, 10.0):
        if factor * power >= least * (1.0 - 1e-9):
            return _exact(factor * power)
    return _exact(10.0 * power)


def _exact(value: float) -> float:
    return float(f"{value:.6g}")


def subdivision(step: float) -> int:
    """Return how many small ticks a step is parted into."""
    leading = round(step / 10.0 ** math.floor(math.log10(step) + 1e-9))
    return 4 if leading == 2 else 5


def multiples(low_m: float, high_m: float, step: float) -> range:
    """Return the whole numbers k for which k steps lie from `low_m` to `high_m`."""
    return range(math.ceil(low_m / step - 1e-9), math.floor(high_m / step + 1e-9) + 1)


def letters_of(k: int, step: float, positive: str, negative: str, *, with_letter: bool = True) -> str:
    """Return a coordinate as it is lettered, such as "100 E"; what is negative always has its letter.

    Examples
    --------
    >>> letters_of(2, 50.0, "E", "W"), letters_of(-1, 0.5, "N", "S"), letters_of(1, 50.0, "E", "W", with_letter=False)
    ('100 E', '0.5 S', '50')
    """
    value = k * step
    decimals = max(0, -math.floor(math.log10(step) + 1e-9))
    figures = f"{abs(value):,.{decimals}f}".replace(",", _THIN_SPACE)
    if value < 0:
        return f"{figures} {negative}"
    return f"{figures} {positive}" if with_letter else figures
