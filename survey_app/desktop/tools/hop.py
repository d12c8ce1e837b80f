"""Hops: drawn from a station to an access point, or the other way."""

from __future__ import annotations

from typing import TYPE_CHECKING

from survey_app.assess.live import live
from survey_app.desktop.tools.figures import leg
from survey_app.desktop.tools.live_words import hop_line
from survey_app.desktop.tools.preview import radio_rules
from survey_app.desktop.tools.strokes import along, line, ring
from survey_app.desktop.tools.tool import NOTHING, Overlay, Pointer, Tool
from survey_app.desktop.tools.where import point_of
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Point, Shape
from survey_app.site.edits import join
from survey_app.site.radio import Radio
from survey_app.site.site import Design, Site

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk
    from survey_app.desktop.tools.plan import Plan

__all__ = ["HopTool", "why_not_joined"]

_ROLE_WORDS = {"access_point": "access points", "station": "stations"}


def why_not_joined(site: Site, one: Radio, other: Radio) -> str:
    """Return why two radios cannot be joined by a hop; empty where they can."""
    if one.id == other.id:
        return "a hop needs two radios"
    if one.role == other.role:
        return f"both are {_ROLE_WORDS[one.role]}: a hop joins an access point and a station"
    access_point, station = (one, other) if one.role == "access_point" else (other, one)
    for hop in site.design.hops:
        if hop.station == station.id:
            if hop.access_point == access_point.id:
                return f"{hop.id} joins them already"
            return f"{station.id} has its hop to {hop.access_point} already, a station has one"
    return ""


class HopTool(Tool):
    """Joins an access point and a station: press on one, go to the other."""

    name = "hop"
    hint = "Press on a station and go to its access point, or the other way."

    def __init__(self, desk: Desk, plan: Plan) -> None:
        super().__init__(desk, plan)
        self._from: str | None = None
        self._selected: str | None = None
        """A selected radio where the hop may begin: a press alone joins it, a drag begins where it was pressed."""
        self._pressed_at: tuple[float, float] | None = None
        self._tried: tuple[tuple[Design, str, str], str] | None = None

    def begin(self) -> None:
        """The tool is taken up; a single selected radio is where the hop begins."""
        selected = [self._radio(one) for one in self.desk.selection]
        self._from = selected[0].id if len(selected) == 1 and selected[0] is not None else None
        self._selected = self._from
        self.overlay = Overlay(words=self._hint())

    def _hint(self) -> str:
        return self.hint if self._from is None else f"From {self._from}: press on the other radio."

    def _radio(self, thing_id: str | None) -> Radio | None:
        thing = self.desk.things.get(thing_id or "")
        return thing if isinstance(thing, Radio) else None

    def _under(self, pointer: Pointer) -> Radio | None:
        for hit in self.plan.hits(*pointer.at):
            if hit.kind == "radios":
                return self._radio(hit.id)
        return None

    def _at(self, radio: Radio | None) -> Point | None:
        return point_of(self.desk.placed, radio)

    def press(self, pointer: Pointer) -> None:
        """Take the first radio, or the second."""
        self._pressed_at = (pointer.x_px, pointer.y_px)
        under = self._under(pointer)
        start = self._radio(self._from)
        if start is None:
            self._from = under.id if under is not None else None
        elif under is not None and under.id != start.id:
            if self._selected == start.id:
                self._from = under.id
            else:
                self._join(start, under)
        self.move(pointer)

    def release(self, pointer: Pointer) -> None:
        """A drag ends on the other radio."""
        pressed, self._pressed_at = self._pressed_at, None
        selected, self._selected = self._radio(self._selected), None
        start, under = self._radio(self._from), self._under(pointer)
        dragged = pressed is not None and abs(pointer.x_px - pressed[0]) + abs(pointer.y_px - pressed[1]) > 4.0
        if not dragged and selected is not None and start is not None and selected.id != start.id:
            self._join_selected(selected, start)
            self.move(pointer)
            return
        if start is None or not dragged:
            return
        if under is not None and under.id != start.id:
            self._join(start, under)
        elif under is None:
            self.desk.say("Nothing was joined: the line ended on no radio.")
            self._from = None
        self.move(pointer)

    def _join_selected(self, selected: Radio, pressed: Radio) -> None:
        """Join the radio that was selected with the one that was pressed; where they cannot be, begin at that one."""
        if not why_not_joined(self.desk.site, selected, pressed):
            self._join(selected, pressed)

    def _join(self, one: Radio, other: Radio) -> None:
        reason = why_not_joined(self.desk.site, one, other)
        if reason:
            self.desk.say(f"{reason[:1].upper()}{reason[1:]}.")
            return
        access_point, station = (one, other) if one.role == "access_point" else (other, one)
        before = {hop.id for hop in self.desk.site.design.hops}
        if self.desk.perform(lambda site: join(site, access_point.id, station.id)):
            self.desk.select([hop.id for hop in self.desk.site.design.hops if hop.id not in before])
        self._from = None

    def move(self, pointer: Pointer) -> None:
        """Show the hop that would be."""
        start, under = self._radio(self._from), self._under(pointer)
        a = self._at(start)
        if start is None or a is None:
            self._from = None
            at = self._at(under)
            shapes: tuple[Shape, ...] = (ring(at),) if at is not None else ()
            self.overlay = Overlay(shapes, words=self._hint())
            return
        b = self._at(under) if under is not None and under.id != start.id else None
        end = b if b is not None else pointer.at
        reason = why_not_joined(self.desk.site, start, under) if b is not None and under is not None else ""
        words = leg(self.desk.site, a, end)
        if b is not None and under is not None and not reason:
            words = self._live_words(start, under) or words
        marks: tuple[Shape, ...] = (ring(a), *((ring(end),) if b is not None else ()))
        rubber = (*line(a, end, Role.RUBBER if b is None or reason else Role.HOP), *along(a, end, words))
        self.overlay = Overlay((*rubber, *marks), words=reason or words, refused=bool(reason))

    def _live_words(self, one: Radio, other: Radio) -> str:
        """Return what the hop would have, worked out once for a pair on a site."""
        access_point, station = (one.id, other.id) if one.role == "access_point" else (other.id, one.id)
        key = (self.desk.site.design, access_point, station)
        if self._tried is None or not _same(self._tried[0], key):
            edited = join(self.desk.site, access_point, station).after
            rows = live(edited, (access_point, station), radio_rules())
            hop = next((row for row in rows.hops.values() if row.station.radio == station), None)
            self._tried = (key, hop_line(edited, hop) if hop is not None else "")
        return self._tried[1]

    def cancel(self) -> bool:
        """Forget the first radio; with none go back to selecting."""
        if self._from is None:
            self.plan.take_up("select")
        self._from = self._selected = None
        self.overlay = Overlay(words=self.hint)
        return True

    def end(self) -> None:
        """Another tool is taken up."""
        self._from = self._selected = None
        self.overlay = NOTHING


def _same(one: tuple[Design, str, str], other: tuple[Design, str, str]) -> bool:
    return one[0] is other[0] and one[1:] == other[1:]
