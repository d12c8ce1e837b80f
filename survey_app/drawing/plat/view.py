"""One view of the plat, and what is found in it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

from survey_app.drawing.plat.felt import Felt

__all__ = ["HeardLine", "Hit", "PlatView", "Wish"]


@dataclass(frozen=True, slots=True)
class HeardLine:
    """A radio that waits for another, and the level at which it hears it. [dBm]"""

    hearer: str
    sender: str
    level_dbm: float


@dataclass(frozen=True, slots=True)
class PlatView:
    """A window of the plane on a screen.

    Attributes
    ----------
    window_m : (x_min, y_min, x_max, y_max)
        The part of the plane that is shown. [m]
    px_per_m : float
        Scale. [px/m]
    px_per_mm : float
        Screen pixels of a millimetre on paper: 4, times the interface scale. [px/mm]
    tier : int
        Step of what is shown, 0 (everything) to 4 (outlines, hops, flags, ids); see `tiers`.
    """

    window_m: tuple[float, float, float, float]
    px_per_m: float
    px_per_mm: float = 4.0
    tier: int = 0

    @property
    def mm_per_m(self) -> float:
        """Millimetres of paper for a metre of the plane."""
        return self.px_per_m / self.px_per_mm


@dataclass(frozen=True, slots=True)
class Wish:
    """What a person asked to see.

    Attributes
    ----------
    hidden : frozenset of str
        Layers that are switched off, by the names in `LAYERS`.
    selection : tuple of str
        Selected things: they keep all they have at every scale.
    lifted : frozenset of str
        Things that are left out, with all that hangs on them, for something else draws them.
    hop_words : str
        "bearing" (bearing, distance, tilts), "level" (level and rate besides) or "load" (what each hop and wire carries
        of what it can).
    feet : bool
        Lengths in words in feet instead of metres.
    kept_free : tuple of (x, y, half_width, half_height)
        Boxes from the lower left corner of the view in which no words stand: scale bar and north arrow. [mm]
    every_shadow : bool
        Shadows of all wedges and rings that are drawn, not of the selected radios alone.
    heard : tuple of HeardLine
        Which radios wait for which, drawn as lines.
    felt : Felt or None
        What an event does, if one is supposed.
    """

    hidden: frozenset[str] = field(default_factory=frozenset)
    selection: tuple[str, ...] = ()
    lifted: frozenset[str] = field(default_factory=frozenset)
    hop_words: str = "bearing"
    feet: bool = False
    kept_free: tuple[tuple[float, float, float, float], ...] = ()
    every_shadow: bool = False
    heard: tuple[HeardLine, ...] = ()
    felt: Felt | None = None

    @property
    def kept(self) -> frozenset[str]:
        """Things that keep symbol and words at every scale: what is selected, and what feels an event."""
        chosen = frozenset(self.selection)
        return chosen if self.felt is None else chosen | self.felt.named

    @property
    def silent(self) -> frozenset[str]:
        """Hops and wires that carry nothing while an event is supposed."""
        return frozenset() if self.felt is None else self.felt.silent

    def word(self, thing_id: str) -> str:
        """Return what is written at a thing that feels an event; empty where there is none."""
        return "" if self.felt is None else self.felt.words.get(thing_id, "")


class Hit(NamedTuple):
    """Something under a point."""

    id: str
    kind: str
    """Field of the design that holds it: `structures`, `radios`, …; or `findings`."""
    part: str = ""
    """`corner 3`, `edge 2`, `boresight`, `symbol`, `line`, `area`, `words`; empty where it is one whole."""
    distance_m: float = 0.0
