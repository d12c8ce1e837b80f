"""The strip under the plan: the selected hop from the side, or the way of the selected camera's video."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QPointF, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from survey_app.desktop import letters, palette
from survey_app.desktop.desk import Desk, Rows
from survey_app.desktop.strips.drawn import paint_drawing
from survey_app.desktop.strips.how_high import HowHigh
from survey_app.desktop.strips.section_ends import STEP_M, End, EndInHand
from survey_app.drawing.section import (
    RouteScene,
    SectionScene,
    SectionSheet,
    route_drawing,
    route_scene,
    section_scene,
    section_sheet,
)
from survey_app.drawing.shapes import Drawing

if TYPE_CHECKING:
    from survey_app.assess.record import HopRow

__all__ = ["SectionStrip"]

_PX_PER_MM = 4.0
_NO_HOP = "No hop to show yet. Drag one from a station to an access point on the plan."
_ABOVE = "The two ends stand above each other: there is no section to draw."
_STEP = 0.01
_END_MM = 2.9


class SectionStrip(QWidget):
    """Section of the selected hop; of a camera its routes; else of the hop shown last.

    Left and Right move a spot along the hop (Shift: ten times as far, Home and End: to the ends), Up and Down take the
    hop before and after, Esc takes the spot away. Enter takes the access point's end in hand, then the station's: Up
    and Down raise and lower its mount, a figure is typed, Esc lets it go; the mouse drags it.

    Parameters
    ----------
    desk : Desk
        Document, assessment, selection.
    scale : float
        Interface scale: a millimetre is 4 px wide, times this.
    """

    spot_m = Signal(object)
    """The point of the plane (x, y) under the pointer, or None when it has left. [m]"""

    def __init__(self, desk: Desk, scale: float = 1.0, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._px_per_mm = _PX_PER_MM * scale
        self._hop = ""
        self._scene: SectionScene | RouteScene | None = None
        self._sentence = _NO_HOP
        self._sheet: SectionSheet | None = None
        self._drawing: Drawing | None = None
        self._spot: float | None = None
        self._hand: EndInHand | None = None
        self._dragged_from: float | None = None
        self._drag_mm_per_m = 1.0
        self.how_high = HowHigh(desk, self)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.addStretch(1)
        box.addWidget(self.how_high)
        self.setObjectName("section")
        self.setAccessibleName("Section along a hop")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        for signal in (desk.assessed, desk.selection_changed):
            signal.connect(self._take)
        desk.went_stale.connect(self._go_stale)
        desk.document_changed.connect(self._settle)
        palette.lights().changed.connect(self.update)
        self._take()

    def sizeHint(self) -> QSize:
        """A quarter of a sheet."""
        return QSize(900, 258)

    def minimumSizeHint(self) -> QSize:
        """Room for head, plot and distances."""
        return QSize(420, 150)

    @property
    def hop(self) -> str:
        """Id of the hop that is shown or would be shown next; empty = none yet."""
        return self._hop

    @property
    def scene(self) -> SectionScene | RouteScene | None:
        """What is shown; None = a sentence only."""
        return self._scene

    def words(self) -> str:
        """Return what is shown in a line of words."""
        if isinstance(self._scene, SectionScene):
            return f"{self._scene.title}: {self._scene.subtitle}; {self._scene.ray_words}"
        return self._scene.sentence if isinstance(self._scene, RouteScene) else self._sentence

    # -- what is shown

    def _settle(self) -> None:
        """Another document: nothing of the former one may stay."""
        if self._desk.rows is None and self._scene is not None:
            self._hop = ""
            self._take()

    def _take(self) -> None:
        rows = self._desk.rows
        self._scene, self._sentence = None, _NO_HOP
        before = self._hop
        if rows is not None:
            route = self._route(rows)
            self._scene = route if route is not None else self._section(rows)
        if self._scene is not None and not self._desk.is_fresh:
            self._scene = self._stale(self._scene)
        if self._hop != before or not isinstance(self._scene, SectionScene):
            self._set_spot(None)
            self._hand = self._dragged_from = None
        self._offer()
        self._draw()

    def _offer(self) -> None:
        """Offer what clears the hop that is shown, while nobody holds an end of it."""
        rows = self._desk.rows
        shown = rows is not None and isinstance(self._scene, SectionScene) and self.isVisible()
        self.how_high.show_hop(rows.hops.get(self._hop) if rows is not None and shown else None)

    def stop(self) -> None:
        """End what still runs: the window closes."""
        self.how_high.stop()

    def showEvent(self, event: QShowEvent) -> None:
        """Offer what clears the hop."""
        super().showEvent(event)
        self._offer()
        self._draw()

    def _go_stale(self) -> None:
        self.how_high.go_stale()
        if self._hand is not None:
            self._draw_live()
        elif self._scene is not None:
            self._scene = self._stale(self._scene)
            self._draw()

    def _draw_live(self) -> None:
        """Draw the hop as it is with the end that is in hand."""
        rows, hand = self._desk.rows, self._hand
        live = hand.live(rows) if rows is not None and hand is not None else None
        if live is not None:
            design, placed = self._desk.site.design, self._desk.placed
            scene = section_scene(design, placed, live.hop, live.access_point, live.station)
            if scene is not None:
                self._scene = scene if live.is_true else self._stale(scene)
        elif self._scene is not None:
            self._scene = self._stale(self._scene)
        self._draw()

    @staticmethod
    def _stale(scene: SectionScene | RouteScene) -> SectionScene | RouteScene:
        return replace(scene, is_stale=True)

    def _route(self, rows: Rows) -> RouteScene | None:
        """Return the route of the first selected camera."""
        routes = {route.camera: route for route in rows.assessment.routes}
        camera = next((one for one in self._desk.selection if one in routes), None)
        if camera is None or any(one in rows.hops for one in self._desk.selection):
            return None
        wires = {wire.id: wire for wire in rows.assessment.wires}
        desk = self._desk
        return route_scene(desk.site.design, desk.things, routes[camera], rows.hops, rows.radios, wires)

    def _section(self, rows: Rows) -> SectionScene | None:
        hop = self._chosen(rows)
        if hop is None:
            self._hop = ""
            return None
        self._hop = hop.id
        ends = rows.radios.get(hop.access_point), rows.radios.get(hop.station)
        if ends[0] is None or ends[1] is None:
            return None
        findings = rows.findings_of.get(hop.id, ())
        scene = section_scene(self._desk.site.design, self._desk.placed, hop, ends[0], ends[1], findings)
        if scene is None:
            self._sentence = _ABOVE
        return scene

    def _chosen(self, rows: Rows) -> HopRow | None:
        """Return the selected hop, that of a selected radio, the one shown last, or the first."""
        for one in self._desk.selection:
            if one in rows.hops:
                return rows.hops[one]
            radio = rows.radios.get(one)
            if radio is not None and radio.hops:
                return rows.hops[self._hop if self._hop in radio.hops else radio.hops[0]]
        return rows.hops.get(self._hop) or next(iter(rows.assessment.hops), None)

    def _free_px(self) -> int:
        """Return the height that the drawing has: the line of offers stands under it. [px]"""
        offers = self.how_high
        return self.height() - (offers.sizeHint().height() if not offers.isHidden() else 0)

    def _draw(self) -> None:
        width_mm, height_mm = self.width() / self._px_per_mm, self._free_px() / self._px_per_mm
        self._sheet = self._drawing = None
        if isinstance(self._scene, SectionScene):
            self._sheet = section_sheet(self._scene, width_mm, height_mm)
            self._drawing = self._sheet.drawing
        elif isinstance(self._scene, RouteScene):
            self._drawing = route_drawing(self._scene, width_mm, height_mm)
        self._told()

    # -- the spot

    def _mark(self, distance_m: float | None) -> None:
        """Show a spot here alone: it was the plan that pointed at it."""
        if distance_m != self._spot:
            self._spot = distance_m
            self.update()

    def _set_spot(self, distance_m: float | None) -> None:
        if distance_m == self._spot:
            return
        self._spot = distance_m
        scene = self._scene
        spot = None
        if distance_m is not None and isinstance(scene, SectionScene):
            spot = scene.spot_m(distance_m)
        self.spot_m.emit(spot)
        self.update()

    def show_point(self, point: tuple[float, float, float] | None) -> None:
        """Show the spot of the hop under a point of the plan; None, or a point beside the hop, takes it away.

        Parameters
        ----------
        point : (x, y, near) or None
            On the plane, and how near to the hop it counts as on it. [m]
        """
        scene = self._scene
        if point is None or not isinstance(scene, SectionScene):
            self._mark(None)
            return
        distance_m, away_m = scene.along(point[0], point[1])
        self._mark(distance_m if away_m <= point[2] else None)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take an end in hand, or let it go."""
        end = self._end_at(event.position())
        if event.button() != Qt.MouseButton.LeftButton:
            return
        if end is None or self._hand is None or self._hand.end != end:
            self._hold(end)
        self._dragged_from = event.position().y() if end is not None else None

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Set the height to which the end was dragged."""
        if event.button() == Qt.MouseButton.LeftButton and self._dragged_from is not None:
            self._dragged_from = None
            if self._hand is not None:
                self._hand.put()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag the end in hand, or show the spot under the pointer here and on the plan."""
        frame = self._sheet.frame if self._sheet is not None else None
        if frame is not None and self._hand is not None and self._dragged_from is not None:
            up_mm = (self._dragged_from - event.position().y()) / self._px_per_mm
            before = self._hand.by_m
            self._hand.drag(up_mm / self._drag_mm_per_m)
            if self._hand.by_m != before:
                self._draw_live()
            return
        at_end = self._end_at(event.position()) is not None
        self.setCursor(Qt.CursorShape.SizeVerCursor if at_end else Qt.CursorShape.ArrowCursor)
        x_mm = event.position().x() / self._px_per_mm
        inside = frame is not None and frame.left_mm <= x_mm <= frame.right_mm
        self._set_spot(frame.distance_m(x_mm) if frame is not None and inside else None)

    def _end_at(self, at: QPointF) -> End | None:
        """Return the end whose symbol lies under a point of the strip."""
        if self._sheet is None:
            return None
        for end, spot in self._end_spots():
            if max(abs(at.x() - spot.x()), abs(at.y() - spot.y())) <= _END_MM * self._px_per_mm:
                return end
        return None

    def _end_spots(self) -> tuple[tuple[End, QPointF], ...]:
        """Return where both ends are on the strip."""
        assert self._sheet is not None
        frame, scale = self._sheet.frame, self._px_per_mm
        ends: tuple[End, End] = ("start", "end")
        places = (0.0, frame.scene.profile.length_m)
        return tuple(
            (end, QPointF(x * scale, (frame.height_mm - y) * scale))
            for end, (x, y) in zip(ends, map(frame.ray_at, places), strict=True)
        )

    def _hold(self, end: End | None) -> None:
        """Take an end in hand; None lets go what is held."""
        rows = self._desk.rows
        hop = rows.hops.get(self._hop) if rows is not None else None
        self._hand = None
        if end is not None and hop is not None and isinstance(self._scene, SectionScene):
            self._hand = EndInHand(self._desk, hop, end)
            # a drag keeps the scale that it began with, though the sheet is fitted to what is shown
            self._drag_mm_per_m = self._sheet.frame.height_mm_per_m if self._sheet is not None else 1.0
        self._told()

    def _told(self) -> None:
        held = self._hand.words(self._scene.lengths) if self._hand and isinstance(self._scene, SectionScene) else ""
        self.setAccessibleDescription(f"{self.words()}; {held}" if held else self.words())
        self.update()

    def leaveEvent(self, event: QEvent) -> None:
        """Take the spot away."""
        self._set_spot(None)
        super().leaveEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move the spot, or take another hop."""
        scene, key = self._scene, event.key()
        if isinstance(scene, SectionScene) and self._end_key(scene, event):
            return
        if key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self._neighbour(-1 if key == Qt.Key.Key_Up else 1)
            return
        if not isinstance(scene, SectionScene):
            super().keyPressEvent(event)
            return
        length = scene.profile.length_m
        step = _STEP * length * (10.0 if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else 1.0)
        now = self._spot if self._spot is not None else 0.0
        places = {
            Qt.Key.Key_Left: now - step,
            Qt.Key.Key_Right: now + step,
            Qt.Key.Key_Home: 0.0,
            Qt.Key.Key_End: length,
        }
        if key in places:
            self._set_spot(min(max(places[Qt.Key(key)], 0.0), length))
        elif key == Qt.Key.Key_Escape and self._spot is not None:
            self._set_spot(None)
        else:
            super().keyPressEvent(event)

    def _end_key(self, scene: SectionScene, event: QKeyEvent) -> bool:
        """Take an end in hand and raise it; return whether the key was for that."""
        key, hand = Qt.Key(event.key()), self._hand
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and not (hand is not None and hand.typed):
            following: dict[End | None, End | None] = {None: "start", "start": "end", "end": None}
            self._hold(following[hand.end if hand is not None else None])
            return True
        if hand is None:
            return False
        coarse = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        step = STEP_M * (10.0 if coarse else 1.0)
        if key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            hand.step(step if key == Qt.Key.Key_Up else -step)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            hand.set_typed(scene.lengths)
        elif key == Qt.Key.Key_Backspace and hand.typed:
            hand.typed = hand.typed[:-1]
        elif key == Qt.Key.Key_Escape and (hand.typed or hand.by_m):
            hand.typed, hand.by_m, self._dragged_from = "", 0.0, None
            self._take()
        elif key == Qt.Key.Key_Escape:
            self._hold(None)
        elif not (event.text() and hand.type(event.text())):
            return False
        self._told()
        return True

    def _neighbour(self, step: int) -> None:
        rows = self._desk.rows
        ids = [row.id for row in rows.assessment.hops] if rows is not None else []
        if ids:
            at = ids.index(self._hop) if self._hop in ids else -step
            self._desk.select((ids[(at + step) % len(ids)],))

    # -- how it is drawn

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Draw for the new size."""
        super().resizeEvent(event)
        self._draw()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the frame of the focus."""
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Hide the frame of the focus."""
        super().focusOutEvent(event)
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the section, the spot over it, and the frame of the focus."""
        inks = palette.current()
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), inks.colour("paper"))
            if self._drawing is not None:
                paint_drawing(painter, self._drawing, inks, self._px_per_mm)
            else:
                painter.setFont(letters.font(letters.DATA_PX * self._px_per_mm / _PX_PER_MM, italic=True))
                painter.setPen(inks.colour("ink 2"))
                painter.drawText(self.rect(), Qt.AlignmentFlag.AlignCenter, self._sentence)
            self._paint_spot(painter, inks)
            self._paint_hand(painter, inks)
            if self.hasFocus():
                painter.setPen(QPen(inks.colour("ink"), 2.0, Qt.PenStyle.DashLine))
                painter.drawRect(self.rect().adjusted(2, 2, -2, -2))

    def spot_words(self) -> str:
        """Return what stands at the spot in words: distance, ground, ray, zone; empty without a spot."""
        scene, spot = self._scene, self._spot
        if spot is None or not isinstance(scene, SectionScene):
            return ""
        profile, figure = scene.profile, scene.lengths.figure
        bulge = profile.at(profile.bulge_m, spot)
        words = [
            f"{scene.lengths.words(spot)} from {scene.start.label}",
            f"ray {figure(profile.at(profile.ray_m, spot))}",
            f"ground {figure(profile.at(profile.ground_m, spot) + bulge)}",
        ]
        words += [
            f"{one.structure.title} {figure(one.top_m + bulge)}"
            for one in profile.crossed
            if one.enter_m <= spot <= one.leave_m and one.top_m is not None
        ]
        return ", ".join(words)

    def _paint_hand(self, painter: QPainter, inks: palette.Palette) -> None:
        """Mark the end that is in hand and say what can be done with it."""
        if self._hand is None or self._sheet is None or not isinstance(self._scene, SectionScene):
            return
        at = dict(self._end_spots())[self._hand.end]
        ring = _END_MM * self._px_per_mm
        painter.setPen(QPen(inks.colour("hover"), 2.0))
        painter.drawEllipse(at, ring, ring)
        words = self._hand.words(self._scene.lengths)
        self._card(painter, inks, words, at.x() + ring, at.y() + ring + 4.0)

    def _card(self, painter: QPainter, inks: palette.Palette, words: str, left: float, top: float) -> None:
        """Write words on a card of their own, inside the strip."""
        painter.setFont(letters.font(letters.NOTE_PX * self._px_per_mm / _PX_PER_MM))
        box = painter.fontMetrics().boundingRect(words).adjusted(-4, -3, 4, 3)
        box.moveTopLeft(QPointF(left, top).toPoint())
        box.moveLeft(max(min(box.left(), self.width() - box.width() - 4), 4))
        box.moveTop(min(box.top(), self.height() - box.height() - 4))
        painter.setPen(QPen(inks.colour("hover"), 1.0))
        painter.fillRect(box, inks.colour("card"))
        painter.drawRect(box)
        painter.setPen(inks.colour("ink"))
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, words)

    def _paint_spot(self, painter: QPainter, inks: palette.Palette) -> None:
        if self._spot is None or self._sheet is None:
            return
        frame = self._sheet.frame
        x = frame.x(self._spot) * self._px_per_mm
        top, bottom = ((frame.height_mm - y) * self._px_per_mm for y in (frame.top_mm, frame.bottom_mm))
        painter.setPen(QPen(inks.colour("hover"), 1.0))
        painter.drawLine(QPointF(x, top), QPointF(x, bottom + 6.0))
        self._card(painter, inks, self.spot_words(), x + 2.0, bottom - 22.0)
