"""The settled plan: made when the view rests, shown meanwhile from what was made before, never blank."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace

from PySide6.QtGui import QPainter

from survey_app.desktop.canvas.base import Base, Painting, painted
from survey_app.desktop.canvas.drawer import Drawer
from survey_app.desktop.canvas.frame import Frame
from survey_app.desktop.canvas.neatline import crosses
from survey_app.desktop.canvas.painter import Brushes
from survey_app.desktop.desk import Desk
from survey_app.drawing.plat.tiers import tier_of
from survey_app.drawing.plat.view import PlatView, Wish
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Shape

__all__ = ["Sheet"]

_MARGIN_PART, _MOST_MARGIN_PX = 0.25, 320.0
_OVERVIEW_PX = 1200.0
_WET = frozenset((Role.WATER, Role.BANK, Role.LINING))
_CHEAP_S, _LONGEST_BLUR_S = 0.012, 0.4
_PATIENCE = 20.0
"""A plan that took long is made within a gesture only after so many times as long: frames go before sharpness."""


class Sheet:
    """The plan below everything that moves.

    Parameters
    ----------
    desk : Desk
        Site and assessment.
    drawer : Drawer
        Makes the shapes.
    brushes : Brushes
        Pens and letters.
    below : callable
        Paints what lies below all shapes.
    """

    def __init__(self, desk: Desk, drawer: Drawer, brushes: Brushes, below: Callable[[QPainter, Frame], None]) -> None:
        self._desk = desk
        self._drawer = drawer
        self._below = below
        self.brushes = brushes
        self.wish = Wish()
        self.tier: int | None = None
        self.made = 0
        """How often the plan was made: what a person does not change makes nothing again."""
        self._base: Base | None = None
        self._margin: Base | None = None
        self._overview: Base | None = None
        self._site_stale = True
        self._base_stale = True
        self._base_poor = False
        self._wish_made = self.wish
        self._blurred_since: float | None = None
        self._changes = 0
        self._half: tuple[tuple[Frame, float, Wish, int], Painting] | None = None
        """A picture in the making, and what it is made for."""

    @property
    def base(self) -> Base | None:
        """The picture that is shown, None before the first."""
        return self._base

    # -- what makes it old

    def site_changed(self) -> None:
        """The site or its assessment has another value: nothing of the picture is true any more."""
        self._site_stale = True
        self._spoil()

    def numbers_came(self) -> None:
        """The site has been assessed: the picture is true as far as it goes, and made anew when the view rests."""
        self._site_stale = self._base_poor = True
        self._changes += 1
        self._margin = self._overview = None

    def look_changed(self, brushes: Brushes) -> None:
        """Inks or the size of the millimetre have changed."""
        self.brushes = brushes
        self._spoil()

    def wish_changed(self, wish: Wish, *, at_once: bool) -> None:
        """Something else is wished; `at_once` where the old picture would be wrong, not only poorer."""
        if wish != self.wish:
            self.wish = wish
            if at_once:
                self._spoil()

    def _spoil(self) -> None:
        self._base_stale = True
        self._changes += 1
        self._margin = self._overview = None

    # -- making

    def view(self, frame: Frame) -> PlatView:
        """Return a frame as the drawing knows it."""
        unit = frame.px_per_mm / 4.0
        self.tier = tier_of(frame.px_per_m / unit, self.tier)
        return PlatView(frame.window_m, frame.px_per_m, frame.px_per_mm, self.tier)

    def settle(self, frame: Frame, ratio: float) -> bool:
        """Make the plan for a view at rest where it is not so yet; return whether it was made."""
        if self._is_settled(frame, ratio):
            return False
        self._make(frame, ratio)
        return True

    def _is_settled(self, frame: Frame, ratio: float) -> bool:
        base = self._base
        same = base is not None and base.is_crisp(frame) and base.pixmap.devicePixelRatio() == ratio
        centred = base is not None and base.ends_with(frame)
        old = self._base_stale or self._base_poor
        return same and centred and not old and self._wish_made == self.wish

    def settle_part(self, frame: Frame, ratio: float, for_s: float) -> bool:
        """Make a part of the plan for a view at rest, for about so long; return whether nothing is left to be made.

        The picture that was made last is shown until then. What changes meanwhile begins it anew.
        """
        asked = (frame, ratio, self.wish, self._changes)
        if self._is_settled(frame, ratio):
            self._half = None
        elif self._site_stale:
            self._update()
        elif self._half is None or self._half[0] != asked:
            started = time.perf_counter()
            here = frame.widened(0.0)
            shapes = self._with_net(self._drawer.whole(self.view(here), self.wish), here)
            painting = Painting(here, shapes, self.brushes, ratio, self._below)
            painting.took_s = time.perf_counter() - started
            self._half = (asked, painting)
        elif self._half[1].go_on(for_s):
            self._show(self._half[1].base())
        return self._is_settled(frame, ratio)

    def settle_beyond(self, frame: Frame, ratio: float) -> bool:
        """Make what a gesture will uncover, one picture a call; return whether it was all made already.

        The margin round the view shows lines without words, the overview the whole site at a smaller scale.
        """
        if self._base is None or self._base_stale:
            return True
        if self._margin is None or not (self._margin.is_crisp(frame) and self._margin.covers(frame)):
            around = round(min(_MARGIN_PART * max(frame.width_px, frame.height_px), _MOST_MARGIN_PX))
            self._margin = self._bare(frame.widened(around), ratio)
            return False
        if self._overview is None:
            self._overview = self._bare(self._overview_frame(frame), ratio)
            return False
        return True

    def _bare(self, wide: Frame, ratio: float) -> Base:
        tier = self.tier if self.tier is not None and wide.px_per_m == self._scale else tier_of(wide.px_per_m)
        view = PlatView(wide.window_m, wide.px_per_m, wide.px_per_mm, tier)
        shapes = self._with_net(self._drawer.lines(view, self.wish), wide)
        return painted(wide, shapes, self.brushes, ratio, self._below)

    @property
    def _scale(self) -> float:
        return self._base.frame.px_per_m if self._base is not None else 0.0

    def _overview_frame(self, frame: Frame) -> Frame:
        bounds = self._drawer.bounds() or frame.window_m
        span = max(bounds[2] - bounds[0], bounds[3] - bounds[1], 1.0)
        square = Frame(0.0, 0.0, 1.0, _OVERVIEW_PX, _OVERVIEW_PX, frame.px_per_mm)
        return square.fitted((bounds[0] - span, bounds[1] - span, bounds[2] + span, bounds[3] + span), 0.0)

    def _make(self, frame: Frame, ratio: float) -> None:
        if self._site_stale:
            self._update()
        started = time.perf_counter()
        here = frame.widened(0.0)
        shapes = self._with_net(self._drawer.whole(self.view(here), self.wish), here)
        base = painted(here, shapes, self.brushes, ratio, self._below)
        self._show(replace(base, took_s=time.perf_counter() - started))

    def _update(self) -> None:
        self._drawer.update(self._desk)
        self._site_stale = False

    def _show(self, base: Base) -> None:
        self._base, self._half = base, None
        self._base_stale = self._base_poor = False
        self._wish_made, self._blurred_since = self.wish, None
        self.made += 1

    def _with_net(self, shapes: tuple[Shape, ...], frame: Frame) -> tuple[Shape, ...]:
        """Put the crosses of the coordinate net over the water and under all else."""
        if "graticule" in self.wish.hidden:
            return shapes
        wet = [n for n, shape in enumerate(shapes) if getattr(shape, "role", None) in _WET]
        after = wet[-1] + 1 if wet else 0
        return (*shapes[:after], *crosses(frame), *shapes[after:])

    # -- showing

    def paint(self, painter: QPainter, frame: Frame, ratio: float) -> None:
        """Paint the plan as well as it is known at once."""
        base = self._base
        wrong = base is None or self._base_stale or base.pixmap.devicePixelRatio() != ratio
        if wrong or self._is_poor(frame):
            self._make(frame, ratio)
        base = self._base
        assert base is not None
        if not base.covers(frame):
            for wider in (self._overview, self._margin):
                if wider is not None:
                    wider.paint(painter, frame)
        base.paint(painter, frame)

    def _is_poor(self, frame: Frame) -> bool:
        """Whether the plan is made anew within a gesture: where that is quick, or after a long time of blur."""
        base = self._base
        if base is None or (base.is_crisp(frame) and base.covers(frame)):
            return False
        now = time.monotonic()
        if self._blurred_since is None:
            self._blurred_since = now
        return base.took_s < _CHEAP_S or now - self._blurred_since > max(_LONGEST_BLUR_S, _PATIENCE * base.took_s)
