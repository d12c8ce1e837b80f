"""What a tool may ask of the plan it works on."""

from __future__ import annotations

from typing import Protocol

from survey_app.drawing.plat.view import Hit

__all__ = ["Plan"]


class Plan(Protocol):
    """The plan as a tool sees it."""

    @property
    def px_per_m(self) -> float:
        """Scale of the screen. [px/m]"""
        ...

    @property
    def interface_scale(self) -> float:
        """How much larger symbols and letters are than at 100 %: 1 to 2."""
        ...

    @property
    def window_m(self) -> tuple[float, float, float, float]:
        """The part of the plane in the window: x_min, y_min, x_max, y_max. [m]"""
        ...

    def hits(self, x_m: float, y_m: float) -> tuple[Hit, ...]:
        """Return what lies under a point, the uppermost first."""
        ...

    def within(self, x0_m: float, y0_m: float, x1_m: float, y1_m: float, *, touching: bool) -> tuple[str, ...]:
        """Return the things inside a rectangle, or also those that it touches."""
        ...

    def refresh(self) -> None:
        """Show the tool's overlay as it now is."""
        ...

    def take_up(self, tool_name: str) -> None:
        """Ask for another tool by its name."""
        ...
