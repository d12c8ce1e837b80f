"""The plan that is drawn on: the settled sheet, what is selected, what the tool shows, the frame round it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import (
    QHideEvent,
    QKeyEvent,
    QMouseEvent,
    QNativeGestureEvent,
    QPainter,
    QShowEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QWidget

from survey_app.desktop.canvas.drawer import Drawer
from survey_app.desktop.canvas.frame import Frame, on_screen
from survey_app.desktop.canvas.hand import Hand, is_letters
from survey_app.desktop.canvas.live import Live
from survey_app.desktop.canvas.painter import Brushes, ShapePainter
from survey_app.desktop.canvas.plan_pictures import PlanPictures
from survey_app.desktop.canvas.plane_view import PlaneView
from survey_app.desktop.canvas.plat_drawer import PlatDrawer
from survey_app.desktop.canvas.recording import Recording
from survey_app.desktop.canvas.shadow_caster import ShadowCaster
from survey_app.desktop.canvas.sheet import Sheet
from survey_app.desktop.desk import Desk
from survey_app.desktop.palette import current, lights
from survey_app.desktop.tools.tool import NOTHING, Overlay, Tool
from survey_app.drawing.plat.felt import Felt, felt_of
from survey_app.drawing.plat.shadows import outlines
from survey_app.drawing.plat.view import HeardLine, Hit
from survey_app.drawing.shapes import Shape

if TYPE_CHECKING:
    from shapely import Geometry

__all__ = ["PlatCanvas"]

_HOVER_MS = 80
_BEYOND_MS = 60
_IDLE_MS, _LONGEST_IDLE_MS = 80, 1500
"""What is only poorer is made anew when the hand has rested as long as the making takes, within these bounds."""
_TOLERANCE_PX = 6.0
_MOST_HEARING = 8
"""Lines of more selected radios would be no help to anybody."""
_PART_S = 0.04
"""So long the plan is made at a stretch while nothing is wrong with the one that is shown. [s]"""


class PlatCanvas(PlaneView):
    """The plan in the window.

    Parameters
    ----------
    desk : Desk
        Document, assessment, selection.
    scale : float
        Of the interface, 1 to 2: letters, lines and symbols grow with it.
    drawer : Drawer or None
        Makes the shapes of the plan; None takes those of `survey_app.drawing.plat`.
    """

    tool_wanted = Signal(str)
    """A tool asks that another be taken up in its place."""
    menu_wanted = Signal(object)
    """The right button was pressed over a thing: its id, or None."""
    pointed_m = Signal(object)
    """The point of the plane under the pointer and how much of it its tip covers (x, y, near), or None. [m]"""
    scale_changed = Signal(object)
    """The plan is drawn at 1 : this number."""

    def __init__(
        self, desk: Desk, scale: float = 1.0, *, drawer: Drawer | None = None, parent: QWidget | None = None
    ) -> None:
        self._desk = desk
        self._drawer: Drawer = drawer if drawer is not None else PlatDrawer()
        super().__init__(scale, parent)
        self._brushes = Brushes(current())
        self._hidden: frozenset[str] = frozenset()
        self._pictures = PlanPictures(desk, self)
        self._pictures.changed.connect(self.look_changed)
        self.sheet = Sheet(desk, self._drawer, self._brushes, self._paint_below)
        self.shadows = ShadowCaster(desk, self._shows_shadows, self)
        self.shadows.changed.connect(self._shadows_came)
        self._live = Live(desk)
        self._hand = Hand(self)
        self._document = desk.document
        self._lifted: frozenset[str] = frozenset()
        self._hop_words = "bearing"
        self._every_shadow = False
        self._felt: Felt | None = None
        self._hears = False
        self._hover = _timer(self, _HOVER_MS, self._show_hover)
        self._beyond = _timer(self, _BEYOND_MS, self._make_beyond)
        self._idle = _timer(self, _IDLE_MS, self._settle_in_parts)
        self._part = _timer(self, 0, self._settle_in_parts)
        self._rest.timeout.disconnect(self.rested)
        self._rest.timeout.connect(self._settle_in_parts)
        self.setAccessibleName("Plan")
        self.setCursor(Qt.CursorShape.BlankCursor)
        self.viewport().setCursor(Qt.CursorShape.BlankCursor)
        desk.site_changed.connect(self._site_changed)
        desk.assessed.connect(self._numbers_came)
        desk.selection_changed.connect(self._selection_changed)
        desk.hover_changed.connect(self._hover.start)
        desk.wanted.connect(self._show_things)
        desk.supposed_changed.connect(self._show_event)
        desk.hearing_came.connect(self._hearing_came)
        lights().changed.connect(self.look_changed)
        self.viewed.connect(self._tell_scale)
        self._drawer.update(desk)
        self._describe()
        self.show_whole_site()

    # -- the tool in use

    @property
    def tool(self) -> Tool | None:
        """The tool in use."""
        return self._hand.tool

    def set_tool(self, tool: Tool) -> None:
        """Put the tool away and take up another."""
        self._hand.use(tool)

    def hits(self, x_m: float, y_m: float) -> tuple[Hit, ...]:
        """Return what lies under a point, the uppermost first."""
        reach = _TOLERANCE_PX * self.interface_scale
        return self._drawer.hits(self.sheet.view(self.frame), self.sheet.wish, x_m, y_m, reach)

    def within(self, x0_m: float, y0_m: float, x1_m: float, y1_m: float, *, touching: bool) -> tuple[str, ...]:
        """Return the things inside a rectangle, or also those that it touches."""
        window = (min(x0_m, x1_m), min(y0_m, y1_m), max(x0_m, x1_m), max(y0_m, y1_m))
        return self._drawer.within(window, touching=touching)

    def things_shapes(self, ids: Iterable[str]) -> tuple[Shape, ...]:
        """Return some things with all that hangs on them as they are drawn in this view."""
        return self._drawer.things(self.sheet.view(self.frame), self.sheet.wish, tuple(ids))

    def refresh(self) -> None:
        """Show the tool's overlay as it now is."""
        lifted = self._overlay().lifted
        if lifted != self._lifted:
            self._lifted = lifted
            self._wish(at_once=True)
        self.viewport().update()

    def take_up(self, tool_name: str) -> None:
        """Ask for another tool by its name."""
        self.tool_wanted.emit(tool_name)

    def _overlay(self) -> Overlay:
        return self._hand.tool.overlay if self._hand.tool is not None else NOTHING

    # -- what is shown

    def hide_layers(self, layers: Iterable[str]) -> None:
        """Switch layers off, by the names in `LAYERS`; all others are on."""
        self._hidden = frozenset(layers)
        self._wish(at_once=True)
        self.shadows.ask()

    def write_along_hops(self, words: str) -> None:
        """Show "bearing", "level" or "load" along the hops."""
        self._hop_words = words
        self._wish(at_once=True)

    def _wish(self, *, at_once: bool) -> None:
        wish = replace(
            self.sheet.wish,
            hidden=self._hidden,
            selection=self._desk.selection,
            lifted=self._lifted,
            hop_words=self._hop_words,
            feet=self._desk.site.design.units == "feet",
            kept_free=self._live.taken_mm(self.frame),
            every_shadow=self._every_shadow,
            heard=self._heard(),
            felt=self._felt,
        )
        self.sheet.wish_changed(wish, at_once=at_once)
        if at_once:
            self._rest.start()
        else:
            self._rest_when_idle()
        self.viewport().update()

    @property
    def middle_m(self) -> tuple[float, float]:
        """The point of the plane in the middle of the window. [m]"""
        return self.frame.x_m, self.frame.y_m

    def show_spot(self, spot: tuple[float, float] | None) -> None:
        """Mark a point of the plane (where the pointer is in a section); None takes the mark away."""
        self._live.spot_m = spot
        self.viewport().update()

    def show_area(self, area: Geometry | None) -> None:
        """Outline an area of the plane (where a rate is to be had); None takes the outline away."""
        self._live.area = () if area is None else outlines(area)
        self.viewport().update()

    def cast_every(self, every: bool) -> None:
        """Show shadows of every access point, or of the selected radios alone."""
        self._every_shadow = every
        self.shadows.want_every(every)
        self._wish(at_once=True)

    def show_heard(self, wanted: bool) -> None:
        """Show lines to the radios for which the selected ones wait, or none."""
        self._hears = wanted
        self._hearing_came()

    def _hearing_came(self) -> None:
        self._wish(at_once=False)

    def _heard(self) -> tuple[HeardLine, ...]:
        """Return the lines of the selected radios; who hears whom is asked for where it is not known."""
        chosen = [one for one in self._desk.selection if one in self._radios()] if self._hears else []
        if not chosen or not self._desk.is_fresh:
            return ()
        hearing = self._desk.hearing
        if hearing is None:
            self._desk.ask_hearing()
            return ()
        rows = [(one, *row) for one in chosen[:_MOST_HEARING] for row in hearing.waited_for(one)]
        return tuple(HeardLine(*row) for row in rows)

    def _radios(self) -> Mapping[str, object]:
        rows = self._desk.rows
        return rows.radios if rows is not None else {}

    def cast_for_height(self, over_ground_m: float | None) -> None:
        """Cast shadows for far ends at a height over the ground; None = as they hang. [m]"""
        self.shadows.look_at_height(over_ground_m)

    def _keep_free(self) -> None:
        """Let no words stand where scale bar and north arrow are."""
        kept = self._live.taken_mm(self.frame)
        if kept != self.sheet.wish.kept_free:
            self.sheet.wish_changed(replace(self.sheet.wish, kept_free=kept), at_once=False)

    def _tell_scale(self) -> None:
        self._keep_free()
        self.scale_changed.emit(1000.0 * self.frame.px_per_mm / self.frame.px_per_m)

    def whole_site(self) -> tuple[float, float, float, float] | None:
        """Return the part of the plane that the site takes."""
        return self._drawer.bounds()

    def look_changed(self) -> None:
        """Inks or sizes have changed."""
        self._brushes = Brushes(current(), self._brushes.sprites)
        self.sheet.look_changed(self._brushes)
        self.viewport().update()

    def _site_changed(self) -> None:
        self.sheet.site_changed()
        self._wish(at_once=True)
        self._live.forget()
        if self._desk.document is not self._document:
            self._document = self._desk.document
            self._drawer.update(self._desk)
            self.show_whole_site()
        self._describe()
        self._rest.start()
        self.viewport().update()

    def _numbers_came(self) -> None:
        self.sheet.numbers_came()
        if self._hears:
            self._wish(at_once=False)
        self._live.forget()
        self._keep_free()
        self._describe()
        self._rest_when_idle()
        self.viewport().update()

    def _shows_shadows(self) -> bool:
        return self.isVisible() and not {"shadows", "wedges"} & self._hidden

    def _shadows_came(self) -> None:
        self._drawer.cast(self._desk.site, self.shadows.known)
        self.sheet.numbers_came()
        self._rest_when_idle()

    def _selection_changed(self) -> None:
        self._wish(at_once=False)
        self._describe()

    def _show_event(self) -> None:
        supposed = self._desk.supposed
        felt = felt_of(supposed.answer) if supposed is not None and supposed.answer is not None else None
        if felt != self._felt:
            self._felt = felt
            self._live.forget()
            self._wish(at_once=True)
            self._describe()

    def _show_hover(self) -> None:
        self._live.hovered = self._desk.hovered
        self.viewport().update()

    def _show_things(self, ids: object) -> None:
        if isinstance(ids, tuple):
            window = self._drawer.bounds(ids)
            if window is not None:
                self.show_window(window)

    def _describe(self) -> None:
        count, chosen = len(self._desk.things), self._desk.selection
        names = ", ".join(self._desk.things[one].name or one for one in chosen[:5])
        selected = f"{len(chosen)} selected: {names}" if chosen else "nothing selected"
        things = "1 thing" if count == 1 else f"{count} things"
        event = f" What if is shown: {len(self._felt.dark)} dark." if self._felt is not None else ""
        self.setAccessibleDescription(f"{things} on the plan, {selected}.{event}")

    # -- painting

    def rested(self) -> None:
        """Make the plan sharp."""
        if self._hand.is_busy and self.sheet.base is not None and self.sheet.base.covers(self.frame):
            self._rest.start()
            return
        if self.sheet.settle(self.frame, self.devicePixelRatioF()):
            self._live.seen_in(self.sheet.base)
            self._beyond.start()
            self.viewport().update()

    def _settle_in_parts(self) -> None:
        """Make what is only poorer sharp without keeping the hand waiting; what is quick is made at once."""
        base = self.sheet.base
        if base is None or base.took_s < _PART_S or self._hand.is_busy:
            self.rested()
        elif self.sheet.settle_part(self.frame, self.devicePixelRatioF(), _PART_S):
            self._live.seen_in(self.sheet.base)
            self._beyond.start()
            self.viewport().update()
        else:
            self._part.start()

    def _rest_when_idle(self) -> None:
        base = self.sheet.base
        took_ms = 1000.0 * base.took_s if base is not None else 0.0
        self._idle.start(round(min(max(took_ms, _IDLE_MS), _LONGEST_IDLE_MS)))

    def _make_beyond(self) -> None:
        if not self._hand.is_busy and not self.sheet.settle_beyond(self.frame, self.devicePixelRatioF()):
            self._beyond.start()

    def _paint_below(self, painter: QPainter, frame: Frame) -> None:
        if "picture" not in self._hidden:
            self._pictures.paint(painter, frame, self._brushes)

    def paint_plan(self, painter: QPainter) -> None:
        """Paint all, low to high."""
        frame, ratio = self.frame, self.devicePixelRatioF()
        made = self.sheet.made
        painter.setClipRect(QRectF(frame.left_px, frame.top_px, frame.width_px, frame.height_px))
        self.sheet.paint(painter, frame, ratio)
        if self.sheet.made != made:
            self._live.seen_in(self.sheet.base)
            self._beyond.start()
        surface = ShapePainter(painter, self._brushes)
        painter.setCompositionMode(_marker_mode(self._brushes))
        surface.paint(self._live.markers(), frame)
        painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_SourceOver)
        surface.paint(self._live.above(self.things_shapes), frame)
        surface.paint(self._live.signs(), frame)
        surface.paint(self._overlay().shapes, frame)
        painter.setClipping(False)
        size = self.viewport().size()
        screen = on_screen(size.width(), size.height(), frame.px_per_mm)
        surface.paint(self._live.furniture(frame, screen), screen)
        surface.paint(self._hand_shapes(), screen)

    def _hand_shapes(self) -> tuple:
        at = self._hand.at_px
        if self._hand.cursor_m is not None:
            at = self.frame.px(*self._hand.cursor_m)
        return self._live.pointer(self.frame, at, self._overlay())

    def recorded(self) -> Recording:
        """Return what is shown, noted instead of painted: the settled plan, markers, overlay, frame, pointer."""
        noted = Recording()
        frame, ratio = self.frame, self.devicePixelRatioF()
        self.sheet.settle(frame, ratio)
        base = self.sheet.base
        assert base is not None
        noted.paint(base.shapes, frame)
        self._live.seen_in(base)
        noted.paint(self._live.markers(), frame)
        noted.paint(self._live.signs(), frame)
        noted.paint(self._overlay().shapes, frame)
        size = self.viewport().size()
        screen = on_screen(size.width(), size.height(), frame.px_per_mm)
        noted.paint(self._live.furniture(frame, screen), screen)
        noted.paint(self._hand_shapes(), screen)
        return noted

    # -- events

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A button goes down."""
        if event.button() == Qt.MouseButton.RightButton:
            found = self.hits(*self.frame.m(event.position().x(), event.position().y()))
            self.menu_wanted.emit(found[0].id if found else None)
        else:
            self._hand.press(event)
        event.accept()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """The mouse moves."""
        if self._idle.isActive():
            self._idle.start()
        self._hand.move(event)
        at = event.position()
        self.pointed_m.emit((*self.frame.m(at.x(), at.y()), 2.0 * _TOLERANCE_PX / self.frame.px_per_m))
        event.accept()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """A button comes up."""
        self._hand.release(event)
        event.accept()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """A button was pressed twice."""
        self._hand.double(event)
        event.accept()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """The wheel turns."""
        self._hand.wheel(event)
        event.accept()

    def leaveEvent(self, event: QEvent) -> None:
        """The mouse leaves."""
        self._hand.leave()
        self.pointed_m.emit(None)
        super().leaveEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """A key goes down."""
        event.setAccepted(self._hand.key(event))

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """A key comes up."""
        self._hand.key_up(event)
        event.accept()

    def showEvent(self, event: QShowEvent) -> None:
        """What was left undone while nobody saw it is done now."""
        super().showEvent(event)
        self.shadows.ask()

    def hideEvent(self, event: QHideEvent) -> None:
        """Nothing is made while nobody sees it."""
        for timer in (self._rest, self._hover, self._beyond, self._idle, self._part):
            timer.stop()
        self.shadows.stop()
        super().hideEvent(event)

    def event(self, event: QEvent) -> bool:
        """Typed figures come before shortcuts of one letter; two fingers enlarge."""
        if event.type() == QEvent.Type.ShortcutOverride and self._hand.wants_letters() and is_letters(event):
            event.accept()
            return True
        return super().event(event)

    def viewportEvent(self, event: QEvent) -> bool:
        """Two fingers on a pad enlarge."""
        if isinstance(event, QNativeGestureEvent) and self._hand.pinch(event):
            return True
        return super().viewportEvent(event)


def _timer(parent: QWidget, after_ms: int, then: object) -> QTimer:
    timer = QTimer(parent)
    timer.setSingleShot(True)
    timer.setInterval(after_ms)
    timer.timeout.connect(then)
    return timer


def _marker_mode(brushes: Brushes) -> QPainter.CompositionMode:
    """Ink shines through the marker: it lies over the plan's picture and looks as if it lay under the lines."""
    mode = QPainter.CompositionMode
    return mode.CompositionMode_Screen if brushes.palette.is_night else mode.CompositionMode_Multiply
