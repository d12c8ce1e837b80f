"""Lengths as a section letters them: metres or feet, with one place, a true minus sign and thin spaces."""

from __future__ import annotations

import math
from dataclasses import dataclass

__all__ = ["FEET", "METRES", "Lengths"]

_MINUS, _THIN = "\N{MINUS SIGN}", "\N{THIN SPACE}"


@dataclass(frozen=True)
class Lengths:
    """A unit of length.

    Attributes
    ----------
    unit : str
        "m" or "ft".
    unit_m : float
        One of it. [m]
    """

    unit: str
    unit_m: float

    def figure(self, value_m: float, places: int = 1) -> str:
        """Return a length as a figure without its unit; half rounds away from zero.

        Examples
        --------
        >>> METRES.figure(-1690.04), FEET.figure(3.048)
        ('−1\u2009690.0', '10.0')
        """
        scale = 10**places
        size = int(abs(value_m) / self.unit_m * scale + 0.5 + 1e-9)
        whole = f"{size // scale:,}".replace(",", _THIN)
        text = f"{whole}.{size % scale:0{places}d}" if places else whole
        return f"{_MINUS}{text}" if value_m < 0 and size else text

    def words(self, value_m: float, places: int = 1) -> str:
        """Return a length with its unit."""
        return f"{self.figure(value_m, places)} {self.unit}"

    def step(self, least_m: float) -> float:
        """Return the least round step (1, 2, 5 times a power of ten of the unit) that is not less than `least_m`. [m]

        Examples
        --------
        >>> METRES.step(13.0), round(FEET.step(13.0) / 0.3048)
        (20.0, 50)
        """
        least = least_m / self.unit_m
        power = 10.0 ** math.floor(math.log10(least))
        return next(step * power for step in (1.0, 2.0, 5.0, 10.0) if step * power >= least * (1 - 1e-9)) * self.unit_m

    def places(self, step_m: float) -> int:
        """Return how many places a tick of this step needs."""
        return max(0, -math.floor(math.log10(step_m / self.unit_m) + 1e-9))


METRES = Lengths("m", 1.0)
FEET = Lengths("ft", 0.3048)
