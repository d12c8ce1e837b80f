"""What a line or a letter stands for, and the pen that draws it.

Widths follow the row 0.13, 0.18, 0.25, 0.35, 0.5, 0.7 mm; dashes tell kinds of limits apart. The ink is a name that
each painter looks up in its own palette.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

__all__ = ["PENS", "Pen", "Role"]


class Role(Enum):
    """What a shape is."""

    BUILDING = "building"
    LOW_BUILDING = "low building"
    HATCH = "hatch"
    POLE = "pole"
    TREES = "trees"
    TREE_STAR = "tree star"
    OBSTACLE = "obstacle"
    ENVELOPE = "moving envelope"
    OVERHEAD_LINE = "overhead line"
    BANK = "bank"
    LINING = "water lining"
    GROUND = "ground"
    GROUND_HATCH = "ground hatch"
    RADIO = "radio"
    RADIO_SOLID = "radio, filled"
    HOP = "hop"
    HOP_THIN = "hop of another station"
    HOP_BEHIND_CUT = "hop behind the cut"
    HOP_UNCHECKED = "hop nobody checked"
    LIMIT = "3 dB limit"
    AIM = "aim"
    AIM_HEAD = "aim, arrow head"
    SIGHT = "sight to a landmark"
    LANDMARK = "landmark"
    TURN = "turn from a landmark"
    DIMENSION = "dimension"
    LEVEL_LINE = "level"
    FINE = "fine"
    THIN = "thin"
    SOLID = "filled"
    BLANK = "cleared"
    STOP = "stop"
    WARN = "warn"
    NOTE = "note"
    WORDS = "words"
    WORDS_LIGHT = "words on ink"


@dataclass(frozen=True, slots=True)
class Pen:
    """How a role is drawn.

    Attributes
    ----------
    width_mm : float
        0 for no line. [mm]
    ink : str
        Name in the painter's palette.
    dash_mm : tuple of float
        Lengths of line and gap in turn; empty for a continuous line. [mm]
    fill : str
        Name in the painter's palette, or empty for none.
    round_ends : bool
        Whether ends and corners are round.
    """

    width_mm: float
    ink: str
    dash_mm: tuple[float, ...] = ()
    fill: str = ""
    round_ends: bool = False


_CHAIN = (5.0, 0.8, 0.5, 0.8)
_DOUBLE_CHAIN = (5.0, 0.8, 0.5, 0.8, 0.5, 0.8)

PENS: dict[Role, Pen] = {
    Role.BUILDING: Pen(0.5, "ink", fill="building"),
    Role.LOW_BUILDING: Pen(0.35, "ink", fill="building"),
    Role.HATCH: Pen(0.18, "ink"),
    Role.POLE: Pen(0.35, "ink", fill="paper"),
    Role.TREES: Pen(0.25, "trees", fill="paper"),
    Role.TREE_STAR: Pen(0.18, "trees"),
    Role.OBSTACLE: Pen(0.35, "ink", fill="paper"),
    Role.ENVELOPE: Pen(0.25, "ink", _DOUBLE_CHAIN),
    Role.OVERHEAD_LINE: Pen(0.25, "ink"),
    Role.BANK: Pen(0.35, "water"),
    Role.LINING: Pen(0.13, "water"),
    Role.GROUND: Pen(0.5, "ink"),
    Role.GROUND_HATCH: Pen(0.18, "ink"),
    Role.RADIO: Pen(0.5, "radio", fill="paper"),
    Role.RADIO_SOLID: Pen(0.0, "radio", fill="radio"),
    Role.HOP: Pen(0.5, "radio"),
    Role.HOP_THIN: Pen(0.25, "radio"),
    Role.HOP_BEHIND_CUT: Pen(0.35, "radio", (2.0, 1.25)),
    Role.HOP_UNCHECKED: Pen(0.18, "radio"),
    Role.LIMIT: Pen(0.18, "radio", _CHAIN),
    Role.AIM: Pen(1.0, "ink"),
    Role.AIM_HEAD: Pen(0.0, "ink", fill="ink"),
    Role.SIGHT: Pen(0.25, "ink", _CHAIN),
    Role.LANDMARK: Pen(0.25, "ink", fill="paper"),
    Role.TURN: Pen(0.25, "ink"),
    Role.DIMENSION: Pen(0.25, "ink"),
    Role.LEVEL_LINE: Pen(0.25, "ink", (2.0, 0.9)),
    Role.FINE: Pen(0.25, "ink"),
    Role.THIN: Pen(0.18, "ink"),
    Role.SOLID: Pen(0.0, "ink", fill="ink"),
    Role.BLANK: Pen(0.0, "paper", fill="paper"),
    Role.STOP: Pen(0.0, "stop", fill="stop"),
    Role.WARN: Pen(0.5, "ink", fill="warn"),
    Role.NOTE: Pen(0.25, "ink", fill="paper"),
    Role.WORDS: Pen(0.0, "ink"),
    Role.WORDS_LIGHT: Pen(0.0, "paper"),
}
