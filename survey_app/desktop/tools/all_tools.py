"""Every tool by name, word and key: what instruments and menus offer."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, NamedTuple

from survey_app.desktop.tools import (
    areas,
    camera,
    hang,
    hop,
    lines,
    measure,
    picture,
    points,
    rotate,
    row,
    select,
    upright,
    wire,
)
from survey_app.desktop.tools.tool import Tool

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk
    from survey_app.desktop.tools.plan import Plan

__all__ = ["OTHER_TOOLS", "TOOLS", "ToolEntry", "tool_named"]


class ToolEntry(NamedTuple):
    """One tool as menus and instruments show it."""

    name: str
    word: str
    """Under its symbol."""
    key: str
    """Shortcut, as Qt writes key sequences; empty = none."""
    make: Callable[[Desk, Plan], Tool]
    group: str
    """`select`, `structures`, `radio`, `video`, `ground`, `measure`, `change`."""


TOOLS: tuple[ToolEntry, ...] = (
    ToolEntry("select", "select", "S", select.SelectTool, "select"),
    ToolEntry("building", "building", "B", areas.BuildingTool, "structures"),
    ToolEntry("pole", "pole", "P", upright.PoleTool, "structures"),
    ToolEntry("trees", "trees", "T", areas.TreesTool, "structures"),
    ToolEntry("obstacle", "obstacle", "G", areas.ObstacleTool, "structures"),
    ToolEntry("camera", "camera", "C", camera.CameraTool, "video"),
    ToolEntry("access point", "access pt", "A", hang.AccessPointTool, "radio"),
    ToolEntry("station", "station", "N", hang.StationTool, "radio"),
    ToolEntry("hop", "hop", "H", hop.HopTool, "radio"),
    ToolEntry("wire", "wire", "W", wire.WireTool, "video"),
    ToolEntry("head end", "head end", "E", points.HeadEndTool, "video"),
    ToolEntry("landmark", "landmark", "L", points.LandmarkTool, "ground"),
    ToolEntry("measure", "measure", "M", measure.MeasureTool, "measure"),
    ToolEntry("rectangle", "rectangle", "R", areas.RectangleTool, "structures"),
    ToolEntry("mast", "mast", "Shift+P", upright.MastTool, "structures"),
    ToolEntry("traffic area", "traffic", "Shift+G", areas.TrafficTool, "structures"),
    ToolEntry("overhead line", "line", "O", lines.OverheadLineTool, "structures"),
    ToolEntry("mount", "mount", "V", hang.MountTool, "radio"),
    ToolEntry("switch", "switch", "D", points.DeviceTool, "video"),
    ToolEntry("supply", "supply", "Q", points.SupplyTool, "video"),
    ToolEntry("water", "water", "Shift+W", areas.WaterTool, "ground"),
    ToolEntry("zone", "zone", "Z", areas.ZoneTool, "ground"),
    ToolEntry("note", "note", "K", points.NoteTool, "ground"),
)
"""The first thirteen stand in the instruments, in this order; the Place menu has them all."""

OTHER_TOOLS: tuple[ToolEntry, ...] = (
    ToolEntry("rotate", "rotate", "", rotate.RotateTool, "change"),
    ToolEntry("row", "row of copies", "", row.RowTool, "change"),
    ToolEntry("picture", "lay picture", "", picture.PictureTool, "change"),
)
"""Tools that change what is there; menus and panels take them up by their names."""


def tool_named(name: str) -> ToolEntry:
    """Return the entry of a tool by its name.

    Raises
    ------
    KeyError
        There is no such tool.
    """
    for entry in (*TOOLS, *OTHER_TOOLS):
        if entry.name == name:
            return entry
    raise KeyError(name)
