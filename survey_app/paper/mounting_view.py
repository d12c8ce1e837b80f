"""What stands on a mounting sheet: strings and drawings, rounded and worded as the installer reads them.

A figure that cannot be known is None and comes with the sentence that says what would make it known; the sheet prints
an empty ruled box for it. What does not apply says "none".
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from survey_app.drawing.elevation import ElevationScene
from survey_app.drawing.level_scale import LevelWindow
from survey_app.drawing.plan_scene import PlanScene
from survey_app.drawing.section import SectionScene

__all__ = [
    "AimFigure",
    "Caution",
    "FactColumn",
    "Flag",
    "LevelBlock",
    "MountingView",
    "SideFigure",
    "StationRow",
    "Stop",
    "SweepBlock",
    "TiltFigure",
    "TitleBlock",
    "WriteBox",
]


@dataclass(frozen=True, slots=True)
class Flag:
    """A finding's number and shape, with its words."""

    number: int
    severity: Literal["stop", "warn", "note"]
    text: str
    accepted: str = ""


@dataclass(frozen=True, slots=True)
class Stop:
    """The black band of a sheet that must not be mounted."""

    number: int
    text: str


@dataclass(frozen=True, slots=True)
class AimFigure:
    """One way to aim across: a turn from a landmark, a magnetic, a true or a plan bearing, or words.

    Attributes
    ----------
    kind : str
        "left" or "right" for a turn; "bearing"; "words" (ALL ROUND); "none" where there is nothing to set.
    head, note : str
        Field head in capitals and what follows it in plain letters.
    value : str or None
        The figure; None prints an empty ruled box.
    unknown : str
        What would make it known, or why there is none.
    lines : tuple of str
        What stands beside or under the figure; the first is bold.
    dial : (bearing, north) or None
        Small compass rose: the bearing [deg] and the letters of the north that it counts from.
    rose : tuple of (label, bearing)
        For an all-round antenna: where its stations stand, from true or plan north. [deg]
    """

    kind: Literal["left", "right", "bearing", "words", "none"]
    head: str
    note: str
    value: str | None
    unknown: str = ""
    lines: tuple[str, ...] = ()
    dial: tuple[float, str] | None = None
    rose: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True, slots=True)
class TiltFigure:
    """The bracket's tilt: what the installer sets."""

    value: str | None
    word: Literal["UP", "DOWN", "LEVEL", "NO TILT", "UNKNOWN"]
    unknown: str
    lines: tuple[str, str]


@dataclass(frozen=True, slots=True)
class SideFigure:
    """A height or a side of the mount, with a second line under it; `side_deg` draws the glyph of the side. [deg]"""

    head: str
    value: str | None
    second: str = ""
    unknown: str = ""
    side_deg: float | None = None


@dataclass(frozen=True, slots=True)
class SweepBlock:
    """How far to sweep while looking for the peak, or how close is enough."""

    head: str
    value: str | None
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LevelBlock:
    """The level to expect when aimed."""

    power: str
    value: str | None
    unknown: str
    lights: int | None
    lights_total: int
    lights_words: str
    lines: tuple[str, ...]
    window: LevelWindow | None
    rule: str


@dataclass(frozen=True, slots=True)
class StationRow:
    """One station in the list of an access point's sheet; `held` crosses its box out."""

    station: str
    true: str
    turn: str
    tilt: str
    expect: str
    held: bool = False


@dataclass(frozen=True, slots=True)
class FactColumn:
    """A head and its rows of name and value; a None value prints an empty ruled box."""

    head: str
    rows: tuple[tuple[str, str | None], ...]


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution: which sign, its head, its words."""

    sign: Literal["overhead", "fall", "radio", "storm"]
    head: str
    text: str


@dataclass(frozen=True, slots=True)
class WriteBox:
    """A box to write in with a marker pen."""

    head: str
    unit: str
    width_mm: float


@dataclass(frozen=True, slots=True)
class TitleBlock:
    """The lower edge of every sheet."""

    site: str
    document: str
    sheet: str
    revision: str
    checksum: str
    drawn_from: str
    subject: str
    language: str
    status: str
    owner: str
    program: str
    footer: str


@dataclass(frozen=True, slots=True)
class MountingView:
    """One mounting sheet.

    Attributes
    ----------
    radio, role, structure : str
        Label, role in words, "on" and where.
    looks : tuple of str
        Plain, bold, plain: "looks at", "A1", "access point on MAST M1, 295 m. First up: A1, then this."
    climb : str
        Order of the climb, and which other radios hang at the same one.
    aims : tuple of three AimFigure
        In the order in which the installer will use them; the first is printed largest.
    way : tuple of str
        What comes nearest to the ray, then what it was held against; printed as far as the plan leaves room.
    section : SectionScene or None
        In place of `elevation`, where there is room for it.
    stations : tuple of StationRow
        For an access point in place of `level`; the rest overflows to a second page.
    """

    sheet: str
    radio: str
    role: str
    structure: str
    looks: tuple[str, str, str]
    climb: str
    stop: Stop | None
    ticks: tuple[str, ...]
    aims: tuple[AimFigure, AimFigure, AimFigure]
    tilt: TiltFigure
    height: SideFigure
    side: SideFigure
    sweep: SweepBlock
    plan: PlanScene | None
    section: SectionScene | None
    foot: tuple[str, ...]
    way: tuple[str, ...]
    elevation: ElevationScene | None
    level: LevelBlock | None
    stations: tuple[StationRow, ...]
    facts: tuple[FactColumn, FactColumn, FactColumn]
    flags: tuple[Flag, ...]
    sight: str
    cautions: tuple[Caution, Caution, Caution, Caution]
    codes: str
    call: str
    boxes: tuple[tuple[WriteBox, ...], tuple[WriteBox, ...]]
    title: TitleBlock
