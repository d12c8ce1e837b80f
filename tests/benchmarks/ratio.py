"""A measured ratio to a named reference that ran beside it."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass

__all__ = ["Ratio", "best_of"]


@dataclass(frozen=True)
class Ratio:
    """One line of a benchmark: what, how it compares, and the bar that it should pass."""

    what: str
    value: float
    unit: str
    at_least: float | None = None
    at_most: float | None = None
    ours_s: float | None = None
    reference_s: float | None = None

    @property
    def passed(self) -> bool | None:
        """Whether the bar is passed; None without a bar."""
        if self.at_least is None and self.at_most is None:
            return None
        return (self.at_least is None or self.value >= self.at_least) and (
            self.at_most is None or self.value <= self.at_most
        )

    def words(self) -> str:
        """Return the line as people read it."""
        bar = ""
        if self.passed is not None:
            sign, limit = ("<=", self.at_most) if self.at_least is None else (">=", self.at_least)
            bar = f" (bar {sign} {limit:g}: {'passed' if self.passed else 'MISSED'})"
        seconds = f" [{self.ours_s:.4f} s against {self.reference_s:.4f} s]" if self.ours_s and self.reference_s else ""
        return f"{self.what}: {self.value:.2f} {self.unit}{bar}{seconds}"


def best_of(work: Callable[[], object], times: int) -> float:
    """Return the shortest of several runs, in seconds."""
    best = float("inf")
    for _ in range(times):
        start = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - start)
    return best
