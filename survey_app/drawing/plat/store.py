"""What was made for a scale and is still true: hatches, wedges, scallops by the thing they belong to."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from survey_app.drawing.labels import Placer
from survey_app.drawing.plat.view import PlatView

__all__ = ["Store"]

_SCALES = 3
_MOST = 60_000


class Store:
    """Pieces of drawing by scale and by the object that they were made from.

    An entry holds the object itself and is found by its identity, so that a thing that was changed never finds the
    drawing of its earlier self.
    """

    def __init__(self) -> None:
        self._scales: dict[float, dict[tuple[str, int], tuple[Any, Any]]] = {}
        self._placed: tuple[PlatView, Placer] | None = None

    def placer_of(self, view: PlatView) -> Placer | None:
        """Return what placed the words of a view, where that was the view whose words were placed last."""
        return self._placed[1] if self._placed is not None and self._placed[0] == view else None

    def keep_placer(self, view: PlatView, placer: Placer) -> None:
        """Keep what placed the words of a view."""
        self._placed = (view, placer)

    def kept(self, mm_per_m: float) -> dict[tuple[str, int], tuple[Any, Any]]:
        """Return the pieces of one scale; the scale not used for longest gives way to a new one."""
        pieces = self._scales.pop(mm_per_m, None)
        if pieces is None or len(pieces) > _MOST:
            pieces = {}
        self._scales[mm_per_m] = pieces
        while len(self._scales) > _SCALES:
            del self._scales[next(iter(self._scales))]
        return pieces

    def piece(self, mm_per_m: float, name: str, of: object, make: Callable[[], Any]) -> Any:
        """Return a piece, made now if it was not made before."""
        pieces = self.kept(mm_per_m)
        key = (name, id(of))
        entry = pieces.get(key)
        if entry is None or entry[0] is not of:
            entry = (of, make())
            pieces[key] = entry
        return entry[1]
