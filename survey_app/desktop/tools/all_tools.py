"""Every tool by name, word and key: what instruments and menus offer."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk
    from survey_app.desktop.tools.plan import Plan
    from survey_app.desktop.tools.tool import Tool

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
    """`select`, `structures`, `inside`, `radio`, `video`, `ground`, `measure`, `change`."""
    place: str = ""
    """Of a tool that has no instrument of its own: the one in whose place the column shows that it is in hand."""


def _of(module: str, name: str) -> Callable[[Desk, Plan], Tool]:
    """Return what makes a tool; its module is read when the tool is first taken up, not before the window is seen."""

    def make(desk: Desk, plan: Plan) -> Tool:
        kind: type[Tool] = getattr(import_module(f"survey_app.desktop.tools.{module}"), name)
        return kind(desk, plan)

    return make


TOOLS: tuple[ToolEntry, ...] = (
    ToolEntry("select", "select", "S", _of("select", "SelectTool"), "select"),
    ToolEntry("building", "building", "B", _of("areas", "BuildingTool"), "structures"),
    ToolEntry("pole", "pole", "P", _of("upright", "PoleTool"), "structures"),
    ToolEntry("trees", "trees", "T", _of("areas", "TreesTool"), "structures"),
    ToolEntry("obstacle", "obstacle", "G", _of("areas", "ObstacleTool"), "structures"),
    ToolEntry("camera", "camera", "C", _of("camera", "CameraTool"), "video"),
    ToolEntry("access point", "access pt", "A", _of("hang", "AccessPointTool"), "radio"),
    ToolEntry("station", "station", "N", _of("hang", "StationTool"), "radio"),
    ToolEntry("hop", "hop", "H", _of("hop", "HopTool"), "radio"),
    ToolEntry("wire", "wire", "W", _of("wire", "WireTool"), "video"),
    ToolEntry("head end", "head end", "E", _of("points", "HeadEndTool"), "video"),
    ToolEntry("landmark", "landmark", "L", _of("points", "LandmarkTool"), "ground"),
    ToolEntry("measure", "measure", "M", _of("measure", "MeasureTool"), "measure"),
    ToolEntry("rectangle", "rectangle", "R", _of("areas", "RectangleTool"), "structures", "building"),
    ToolEntry("mast", "mast", "Shift+P", _of("upright", "MastTool"), "structures", "pole"),
    ToolEntry("traffic area", "traffic", "Shift+G", _of("areas", "TrafficTool"), "structures", "obstacle"),
    ToolEntry("overhead line", "line", "O", _of("lines", "OverheadLineTool"), "structures", "obstacle"),
    ToolEntry("mount", "mount", "V", _of("hang", "MountTool"), "radio", "access point"),
    ToolEntry("switch", "switch", "D", _of("points", "DeviceTool"), "video", "head end"),
    ToolEntry("supply", "supply", "Q", _of("points", "SupplyTool"), "video", "head end"),
    ToolEntry("water", "water", "Shift+W", _of("areas", "WaterTool"), "ground", "trees"),
    ToolEntry("zone", "zone", "Z", _of("areas", "ZoneTool"), "ground", "trees"),
    ToolEntry("room", "room", "I", _of("rooms", "RoomTool"), "inside", "building"),
    ToolEntry("room rectangle", "room", "Shift+R", _of("rooms", "RoomRectangleTool"), "inside", "building"),
    ToolEntry("inner wall", "inner wall", "J", _of("rooms", "InnerWallTool"), "inside", "building"),
    ToolEntry("door", "door", "Y", _of("openings", "DoorTool"), "inside", "building"),
    ToolEntry("window", "window", "Shift+Y", _of("openings", "WindowTool"), "inside", "building"),
    ToolEntry("served area", "served", "Shift+V", _of("served", "ServedAreaTool"), "video", "camera"),
    ToolEntry("note", "note", "K", _of("points", "NoteTool"), "ground", "landmark"),
    ToolEntry("spot height", "spot height", "Shift+K", _of("spot_height", "SpotHeightTool"), "ground", "landmark"),
)
"""The first thirteen stand in the instruments, in this order; the Place menu has them all."""

OTHER_TOOLS: tuple[ToolEntry, ...] = (
    ToolEntry("rotate", "rotate", "", _of("rotate", "RotateTool"), "change", "select"),
    ToolEntry("row", "row of copies", "", _of("row", "RowTool"), "change", "select"),
    ToolEntry("seen from", "seen from", "", _of("seen_from", "SeenFromTool"), "change", "access point"),
    ToolEntry("picture", "lay picture", "", _of("picture", "PictureTool"), "change", "select"),
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
