"""Constructions: how walls, panes, doors and floors are usually made, and what is chosen where little is known."""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from survey_app.data import shared_folder
from survey_app.errors import UnknownNameError, UsageError
from survey_app.physics.material import material

__all__ = ["PRACTICE_MHZ", "Construction", "Layer", "construction", "construction_ids", "inner_wall", "outer_wall"]

PRACTICE_MHZ = (1_000.0, 10_000.0)
"""Between which frequencies the losses that practice gives or adds are used; beyond them nothing is known. [MHz]"""

# What a thickness that somebody wrote down may be off by: common practice.
_AS_WRITTEN = 0.05
_OUTER = {
    "brick": "brick-220",
    "concrete": "concrete-200-reinforced",
    "stone": "stone",
    "timber": "boarding-timber",
    "sheet_metal": "sheet-metal",
    "insulated": "panel-insulated",
    "glass": "glazing-unknown",
    "unknown": "wall-unknown",
}


@dataclass(frozen=True)
class Layer:
    """One layer of a construction.

    Attributes
    ----------
    material : str
        A name of `material.material_names`.
    thickness_mm, thin_mm, thick_mm : float
        The usual thickness and between which two it lies, thin <= usual <= thick. [mm]
    """

    material: str
    thickness_mm: float
    thin_mm: float
    thick_mm: float


@dataclass(frozen=True)
class Construction:
    """A wall, pane, door or floor as it is made.

    Attributes
    ----------
    name : str
        In words, for people.
    layers : tuple of Layer
        In the order in which a ray meets them; empty where the loss is given and not computed.
    added_db : tuple of float
        Low, likely and high loss of what the layers do not tell, on top of theirs; the whole loss where there are no
        layers. Common practice wherever it is not 0, and used within `PRACTICE_MHZ`. [dB]
    opaque : bool
        Metal: what passes goes through joints and round edges, and nobody should plan on it.
    note : str
        What to know of it.
    """

    name: str
    layers: tuple[Layer, ...] = ()
    added_db: tuple[float, float, float] = (0.0, 0.0, 0.0)
    opaque: bool = False
    note: str = ""


@lru_cache(maxsize=1)
def _catalogue() -> dict[str, Construction]:
    content = json.loads((shared_folder() / "materials" / "constructions.json").read_text(encoding="utf-8"))
    return {row["id"]: _read(row) for row in content["items"]}


def _read(row: dict[str, Any]) -> Construction:
    layers = tuple(
        Layer(one["material"], float(one["thickness_mm"]), float(one["thin_mm"]), float(one["thick_mm"]))
        for one in row.get("layers", ())
    )
    low_db, likely_db, high_db = (float(value) for value in row.get("added_db", row.get("given_db", (0, 0, 0))))
    return Construction(
        row["name"], layers, (low_db, likely_db, high_db), row.get("opaque", False), row.get("note", "")
    )


def construction_ids() -> tuple[str, ...]:
    """Return the ids that `construction` knows.

    Examples
    --------
    >>> construction_ids()[0]
    'brick-110'
    """
    return tuple(_catalogue())


def construction(construction_id: str) -> Construction:
    """Return a usual construction.

    Parameters
    ----------
    construction_id : str
        An id of `construction_ids`.

    Returns
    -------
    Construction

    Raises
    ------
    UnknownNameError
        No construction has this id.

    Examples
    --------
    >>> construction("glass-6").name
    'single glazing, 6 mm, plain'
    """
    try:
        return _catalogue()[construction_id]
    except KeyError:
        raise UnknownNameError(
            f"no construction has the id {construction_id!r}", remedy=f"use one of {', '.join(construction_ids())}"
        ) from None


def inner_wall(material_name: str, thickness_mm: float | None) -> Construction:
    """Return how a wall inside a building is made, from what is written of it.

    Parameters
    ----------
    material_name : str
        A name of `material.material_names`, or "unknown".
    thickness_mm : float or None
        Overall thickness, > 0; None where nobody measured. [mm]

    Returns
    -------
    Construction
        Solid, or two boards with a gap where a wall of that material and thickness is never solid. A thickness that is
        not known ranges from thin to thick; an unknown material gives a wide range.

    Raises
    ------
    UnknownNameError
        No material has this name.
    UsageError
        The thickness is not above 0.

    Notes
    -----
    Which walls are hollow, the thickness of their boards and the 5 % by which a written thickness may be off are
    common practice.

    Examples
    --------
    >>> inner_wall("brick", 110).layers
    (Layer(material='brick', thickness_mm=110, thin_mm=104.5, thick_mm=115.5),)
    >>> inner_wall("plasterboard", 100).name
    'plasterboard wall, 100 mm, hollow'
    >>> inner_wall("unknown", None).name
    'wall of unknown make'
    """
    if thickness_mm is not None and not 0.0 < thickness_mm < float("inf"):
        raise UsageError(f"a thickness of {thickness_mm!r} mm is given", remedy="give one above 0, or none")
    if material_name == "unknown":
        return construction("wall-unknown")
    if material_name == "metal":
        return construction("sheet-metal")
    matter = material(material_name)
    if thickness_mm is None:
        if material_name == "plasterboard":
            return _hollow(material_name, (50.0, 75.0, 125.0), f"{material_name} wall of unknown thickness")
        thin_mm, usual_mm, thick_mm = matter.usual_mm
        layer = Layer(material_name, usual_mm, thin_mm, thick_mm)
        return Construction(f"{material_name} wall of unknown thickness", (layer,))
    name = f"{material_name} wall, {thickness_mm:g} mm"
    if thickness_mm > matter.solid_up_to_mm:
        gap_mm = thickness_mm - 2.0 * matter.usual_mm[1]
        least_mm, most_mm = (max(thickness_mm - 2.0 * board_mm, 0.0) for board_mm in matter.usual_mm[::-2])
        return _hollow(material_name, (least_mm, gap_mm, most_mm), f"{name}, hollow")
    off_mm = _AS_WRITTEN * thickness_mm
    return Construction(name, (Layer(material_name, thickness_mm, thickness_mm - off_mm, thickness_mm + off_mm),))


def outer_wall(wall: str) -> Construction:
    """Return how an outer wall is made, from the one word that a building has for it.

    Parameters
    ----------
    wall : str
        "brick", "concrete", "stone", "timber", "sheet_metal", "insulated", "glass" or "unknown".

    Returns
    -------
    Construction
        Panes and doors in it are not part of it.

    Raises
    ------
    UnknownNameError
        Another word.

    Notes
    -----
    Which construction stands for the word is common practice.

    Examples
    --------
    >>> outer_wall("insulated").opaque
    True
    """
    if wall not in _OUTER:
        raise UnknownNameError(f"no outer wall is called {wall!r}", remedy=f"use one of {', '.join(_OUTER)}")
    return construction(_OUTER[wall])


def _hollow(material_name: str, gap_mm: tuple[float, float, float], name: str) -> Construction:
    thin_mm, usual_mm, thick_mm = material(material_name).usual_mm
    board = Layer(material_name, usual_mm, thin_mm, thick_mm)
    least_mm, mean_mm, most_mm = gap_mm
    return Construction(name, (board, Layer("air", mean_mm, least_mm, most_mm), board))
