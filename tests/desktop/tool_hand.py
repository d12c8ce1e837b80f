"""A hand on a desk with a fake plan: takes tools up, presses, drags, types; hears what is said."""

from __future__ import annotations

import datetime

from survey_app.desktop.desk import Desk
from survey_app.desktop.tools.all_tools import tool_named
from survey_app.desktop.tools.tool import Tool
from survey_app.session.document import Document
from survey_app.site.new import new_site
from survey_app.site.site import Site
from tests.desktop.fake_plan import FakePlan, at

__all__ = ["Hand"]


class Hand:
    """One person at one desk."""

    def __init__(self, site: Site | None = None) -> None:
        site = site or new_site("Yard", as_of=datetime.date(2026, 12, 1))
        self.desk = Desk(Document(site))
        self.plan = FakePlan(self.desk)
        self.heard: list[str] = []
        self.desk.said.connect(self.heard.append)
        self.tool: Tool = tool_named("select").make(self.desk, self.plan)
        self.tool.begin()

    def take(self, name: str) -> Tool:
        self.tool.end()
        self.tool = tool_named(name).make(self.desk, self.plan)
        self.tool.begin()
        return self.tool

    def press(self, x_m: float, y_m: float, **keys: bool) -> None:
        self.tool.move(at(x_m, y_m, **keys))
        self.tool.press(at(x_m, y_m, **keys))
        self.tool.release(at(x_m, y_m, **keys))

    def hover(self, x_m: float, y_m: float, **keys: bool) -> str:
        self.tool.move(at(x_m, y_m, **keys))
        return self.words

    def down(self, x_m: float, y_m: float, **keys: bool) -> None:
        self.tool.move(at(x_m, y_m, **keys))
        self.tool.press(at(x_m, y_m, **keys))

    def up(self, x_m: float, y_m: float, **keys: bool) -> None:
        self.tool.move(at(x_m, y_m, **keys))
        self.tool.release(at(x_m, y_m, **keys))

    def drag(self, start: tuple[float, float], end: tuple[float, float], **keys: bool) -> None:
        self.down(*start, **keys)
        self.tool.move(at((start[0] + end[0]) / 2, (start[1] + end[1]) / 2, **keys))
        self.up(*end, **keys)

    def type(self, text: str, enter: bool = True) -> None:
        for letter in text:
            self.tool.typed(letter)
        if enter:
            self.tool.key("Enter")

    @property
    def words(self) -> str:
        return self.tool.overlay.words

    @property
    def site(self) -> Site:
        return self.desk.site

    @property
    def design(self):
        return self.desk.site.design

    @property
    def steps(self) -> tuple[str, ...]:
        return self.desk.document.history.labels
