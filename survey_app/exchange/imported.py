"""What a file of another trade becomes: a record of the site, the bytes that belong to it, and what is to be said."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Literal

from survey_app.ground.relief.raster import Window
from survey_app.site.relief import GridRelief, SpotRelief

__all__ = ["HeightUnit", "ImportedRelief", "ReliefWishes", "TakenGrid", "Voids"]

HeightUnit = Literal["metre", "foot", "us_survey_foot"]
Voids = Literal["refuse", "fill", "unknown"]


@dataclass(frozen=True)
class ReliefWishes:
    """What a person says of a file of heights that the file does not say itself.

    Attributes
    ----------
    reference : str
        Map grid of its positions, such as `EPSG:32630`, or `plan`; empty = as the file says.
    vertical_datum : str
        What its heights count from; empty = as the file says.
    offset_m : float or None
        Added to its heights to have them over the site datum; None = less the elevation of the site datum. [m]
    height_unit : HeightUnit or None
        Unit of its heights; None = as the file says, else metres.
    voids : {"refuse", "fill", "unknown"}
        What becomes of points without a height.
    void_mark : float or None
        A height that means "none", where the file does not say so.
    margin_m : float
        How much ground is taken round what is drawn. [m]
    sigma_m : float or None
        Standard deviation of its heights; None = the record's own default. [m]
    source : str
        Where the heights come from; empty = the file's name.
    dated : datetime.date or None
        When the ground was surveyed.
    """

    reference: str = ""
    vertical_datum: str = ""
    offset_m: float | None = None
    height_unit: HeightUnit | None = None
    voids: Voids = "refuse"
    void_mark: float | None = None
    margin_m: float = 1000.0
    sigma_m: float | None = None
    source: str = ""
    dated: datetime.date | None = None


@dataclass(frozen=True)
class ImportedRelief:
    """A relief that was read from a file.

    Attributes
    ----------
    relief : GridRelief or SpotRelief
        The record; that of a grid names its file by the content.
    data : bytes
        Content of the file that belongs under assets/; empty where the record holds everything.
    remarks : tuple of str
        What was understood and done, a sentence each.
    """

    relief: GridRelief | SpotRelief
    data: bytes
    remarks: tuple[str, ...]


@dataclass(frozen=True)
class TakenGrid:
    """What was decided of a grid before a height of it is kept.

    Attributes
    ----------
    name : str
        How its points are placed, for people.
    unit : HeightUnit
        Unit of its heights.
    is_unit_said : bool
        Whether the file or a person said so.
    vertical_datum : str
        What its heights count from.
    window : Window
        The part that the site needs.
    is_whole : bool
        Whether that is all of it.
    outside, drawn : int
        How many drawn points lie outside of it, and how many are drawn.
    """

    name: str
    unit: HeightUnit
    is_unit_said: bool
    vertical_datum: str
    window: Window
    is_whole: bool
    outside: int
    drawn: int
