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
    COURTYARD = "courtyard"
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
    HEARD = "line to a radio that is heard"
    HOP_REST = "rest of a hop behind the cut"
    LIMIT = "3 dB limit"
    AIM = "aim"
    AIM_HEAD = "aim, arrow head"
    SIGHT = "sight to a landmark"
    LANDMARK = "landmark"
    TURN = "turn from a landmark"
    DIMENSION = "dimension"
    LEVEL_LINE = "level"
    INNER_WALL = "inner wall"
    FINE = "fine"
    THIN = "thin"
    SOLID = "filled"
    BLANK = "cleared"
    STOP = "stop"
    WARN = "warn"
    NOTE = "note"
    WORDS = "words"
    WORDS_LIGHT = "words on ink"
    WORDS_ON_WARN = "words on a warn"
    WORDS_SOFT = "words of little weight"
    WORDS_RADIO = "words of a radio"
    WORDS_CAMERA = "words of a camera"
    WORDS_WIRE = "words of a wire"
    WORDS_TREES = "words of trees"
    WORDS_WATER = "words of water"
    WATER = "water"
    GRATICULE = "graticule cross"
    CONTOUR = "contour"
    SPOT = "spot height"
    WEDGE = "wedge"
    REACH = "end of reach"
    AXIS = "axis of a wedge"
    NEAR_IN = "near-in ring"
    CAMERA = "camera"
    CAMERA_SOLID = "camera, filled"
    VIEW = "camera view"
    VIEW_LIMIT = "limit of a camera view"
    VIEW_FAR = "far edge of a camera view"
    WIRE = "wire"
    HEAD_END = "head end"
    SUPPLY = "supply"
    MOUNT = "mount"
    LATER = "outline of what will come"
    STRUCK = "stroke through what is removed"
    SURVEY_NOTE = "survey note"
    ZONE = "edge of a zone"
    BOUNDARY = "boundary of the site"
    DEVICE = "powered box"
    RATE_ARC = "end of another rate"
    LEADER = "leader of a flag"
    SHADOW = "what an antenna cannot see"
    COVERED = "edge of where a rate is to be had"
    FRESNEL = "first Fresnel zone"
    FRESNEL_EDGE = "edge of the first Fresnel zone"
    SIXTY = "60 % line"
    RAY = "ray of a section"
    GROWN = "crown in years to come"
    EARTH = "earth under the ground line"
    RULE = "rule of a row, grid of a section"
    CARD = "box of words on a drawing"
    DATUM = "datum"
    SELECTED = "selected"
    HOVER = "under the pointer"
    GRIP = "grip"
    GHOST = "old place of what is dragged"
    TRAIL = "trail of a drag"
    RUBBER = "rubber line"
    SNAP = "what was caught"


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
    Role.COURTYARD: Pen(0.5, "ink", fill="paper"),
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
    Role.HOP_REST: Pen(0.5, "radio", (2.0, 1.25)),
    Role.HEARD: Pen(0.18, "radio", (1.0, 2.0)),
    Role.LIMIT: Pen(0.18, "radio", _CHAIN),
    Role.AIM: Pen(1.0, "ink"),
    Role.AIM_HEAD: Pen(0.0, "ink", fill="ink"),
    Role.SIGHT: Pen(0.25, "ink", _CHAIN),
    Role.LANDMARK: Pen(0.25, "ink", fill="paper"),
    Role.TURN: Pen(0.25, "ink"),
    Role.DIMENSION: Pen(0.25, "ink"),
    Role.LEVEL_LINE: Pen(0.25, "ink", (2.0, 0.9)),
    Role.INNER_WALL: Pen(0.35, "ink"),
    Role.FINE: Pen(0.25, "ink"),
    Role.THIN: Pen(0.18, "ink"),
    Role.SOLID: Pen(0.0, "ink", fill="ink"),
    Role.BLANK: Pen(0.0, "paper", fill="paper"),
    Role.STOP: Pen(0.0, "stop", fill="stop"),
    Role.WARN: Pen(0.5, "ink", fill="warn"),
    Role.NOTE: Pen(0.25, "ink", fill="paper"),
    Role.WORDS: Pen(0.0, "ink"),
    Role.WORDS_LIGHT: Pen(0.0, "paper"),
    Role.WORDS_ON_WARN: Pen(0.0, "on warn"),
    Role.WORDS_SOFT: Pen(0.0, "ink 2"),
    Role.WORDS_RADIO: Pen(0.0, "radio"),
    Role.WORDS_CAMERA: Pen(0.0, "camera"),
    Role.WORDS_WIRE: Pen(0.0, "wire"),
    Role.WORDS_TREES: Pen(0.0, "trees"),
    Role.WORDS_WATER: Pen(0.0, "water"),
    Role.WATER: Pen(0.0, "water", fill="water fill"),
    Role.GRATICULE: Pen(0.18, "ink 3"),
    Role.CONTOUR: Pen(0.13, "ink 3", (3.0, 0.8)),
    Role.SPOT: Pen(0.18, "ink 2"),
    Role.WEDGE: Pen(0.0, "radio", fill="radio tint"),
    Role.REACH: Pen(0.18, "radio"),
    Role.AXIS: Pen(0.13, "radio", (10.0, 0.8, 0.5, 0.8)),
    Role.NEAR_IN: Pen(0.13, "radio", (1.2, 0.8)),
    Role.CAMERA: Pen(0.25, "camera", fill="paper"),
    Role.CAMERA_SOLID: Pen(0.0, "camera", fill="camera"),
    Role.VIEW: Pen(0.0, "camera", fill="camera tint"),
    Role.VIEW_LIMIT: Pen(0.18, "camera", (2.0, 0.9)),
    Role.VIEW_FAR: Pen(0.18, "camera", (0.3, 0.9), round_ends=True),
    Role.WIRE: Pen(0.35, "wire"),
    Role.HEAD_END: Pen(0.35, "ink", fill="paper"),
    Role.SUPPLY: Pen(0.35, "ink", fill="paper"),
    Role.MOUNT: Pen(0.25, "ink", fill="paper"),
    Role.LATER: Pen(0.25, "ink", (1.2, 0.8)),
    Role.STRUCK: Pen(0.35, "ink"),
    Role.SURVEY_NOTE: Pen(0.25, "ink 2"),
    Role.ZONE: Pen(0.25, "ink", (3.0, 0.8, 0.5, 0.8, 0.5, 0.8)),
    Role.BOUNDARY: Pen(0.18, "ink 3", (8.0, 1.5, 1.5, 1.5)),
    Role.DEVICE: Pen(0.35, "ink", fill="paper"),
    Role.RATE_ARC: Pen(0.13, "radio"),
    Role.LEADER: Pen(0.18, "ink"),
    Role.SHADOW: Pen(0.13, "radio"),
    Role.COVERED: Pen(0.35, "radio"),
    Role.FRESNEL: Pen(0.0, "radio", fill="zone tint"),
    Role.FRESNEL_EDGE: Pen(0.25, "radio"),
    Role.SIXTY: Pen(0.25, "radio", (2.0, 0.9)),
    Role.RAY: Pen(0.7, "radio"),
    Role.GROWN: Pen(0.25, "trees", (0.3, 0.9), round_ends=True),
    Role.EARTH: Pen(0.0, "ink", fill="building"),
    Role.RULE: Pen(0.18, "hair"),
    Role.CARD: Pen(0.25, "ink", fill="card"),
    Role.DATUM: Pen(0.18, "ink", _CHAIN),
    Role.SELECTED: Pen(3.2, "selection"),
    Role.HOVER: Pen(0.5, "hover"),
    Role.GRIP: Pen(0.25, "ink", fill="grip"),
    Role.GHOST: Pen(0.25, "ink 2", (1.2, 0.8)),
    Role.TRAIL: Pen(0.25, "ink", (1.5, 0.8)),
    Role.RUBBER: Pen(0.25, "ink"),
    Role.SNAP: Pen(0.5, "hover"),
}
