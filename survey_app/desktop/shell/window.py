"""The window: puts the parts beside each other, holds the desk, and knows which tool is in hand."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from functools import cached_property, partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QMimeData, Qt, QTimer, Signal
from PySide6.QtGui import QCloseEvent, QCursor, QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QMainWindow, QStackedWidget, QWidget

import survey_app
from survey_app.desktop.canvas.canvas import PlatCanvas
from survey_app.desktop.desk import Desk
from survey_app.desktop.palette import current, lights
from survey_app.desktop.panels.notes_column import NotesColumn
from survey_app.desktop.panels.style import style_sheet
from survey_app.desktop.panels.values import true_minus
from survey_app.desktop.shell.assessor import Assessor
from survey_app.desktop.shell.band import Band
from survey_app.desktop.shell.bars import Bars
from survey_app.desktop.shell.choosers import Choosers
from survey_app.desktop.shell.command_strip import CommandStrip
from survey_app.desktop.shell.instruments import Instruments
from survey_app.desktop.shell.listener import Listener
from survey_app.desktop.shell.menus import Menus
from survey_app.desktop.shell.notice import Notice
from survey_app.desktop.shell.opening import Opening
from survey_app.desktop.shell.preferences import Preferences
from survey_app.desktop.shell.sheet import Sheet
from survey_app.desktop.shell.supposer import Supposer
from survey_app.desktop.shell.symbols import instruments_of_tools, symbol_of
from survey_app.desktop.shell.trouble import Trouble
from survey_app.desktop.strips.title_block import TitleBlock
from survey_app.desktop.supposed import REFUSAL
from survey_app.desktop.tools.all_tools import tool_named
from survey_app.gear.catalogue import load_catalogue
from survey_app.session.document import Document
from survey_app.site.site import Site

if TYPE_CHECKING:
    from survey_app.assess.memo import Memo
    from survey_app.assess.record import Assessment
    from survey_app.desktop.shell.keys_page import KeysPage
    from survey_app.desktop.strips.preview import Preview
    from survey_app.desktop.strips.start_page import StartPage

__all__ = ["Window"]

_REST_MS = 1500
"""After this rest of the hands the work is kept for recovery."""
_FIRST_MS = 50
"""So long after its making a window is painted: only then the first assessment may take its share of the processor."""
_MINIMUM = (1280, 720)
_ONLY_LOOK = ("select", "measure", "seen from")
"""Tools that are of use where nothing may be changed."""


class Window(QMainWindow):
    """One window with one open document.

    Parameters
    ----------
    document : Document
        What lies on the desk.
    assess : callable
        Site and memo -> Assessment; called off the window's thread.
    preferences : Preferences
        What a person set once.
    start : bool
        Whether the start page is shown instead of the document.
    """

    _kept = Signal(str)

    def __init__(
        self,
        document: Document,
        assess: Callable[[Site, Memo], Assessment],
        preferences: Preferences,
        *,
        start: bool = False,
    ) -> None:
        super().__init__()
        self.preferences: Preferences = preferences
        scale = preferences.scale_percent / 100.0
        lights().choose(preferences.hue)
        self.desk: Desk = Desk(document, self)
        self.choosers: Choosers = Choosers(self)
        self.trouble: Trouble = Trouble(self._keep_now, self)
        self.assessor = Assessor(assess, self)
        self.opening: Opening = Opening(self)
        self.strip: CommandStrip = CommandStrip(self.desk, scale)
        self.bars: Bars = Bars(self.desk, scale)
        self.supposer = Supposer(self.desk, parent=self)
        self.listener = Listener(self.desk, parent=self)
        self.instruments: Instruments = Instruments(instruments_of_tools(), scale)
        self.canvas: PlatCanvas = PlatCanvas(self.desk, scale)
        self.canvas.hide_layers(preferences.hidden_layers)
        self.canvas.write_along_hops(preferences.hop_words)
        self.canvas.cast_every(preferences.every_shadow)
        self.canvas.show_heard(preferences.heard_lines)
        self.notes: NotesColumn = NotesColumn(self.desk, load_catalogue())
        self.band: Band = Band(self.desk, scale)
        self.title = TitleBlock(self.desk, scale)
        self.pages = QStackedWidget()
        self.pages.addWidget(self.canvas)
        self.sheet: Sheet = Sheet(
            self.strip, self.bars, self.instruments, self.pages, self.notes, self.band, self.title, scale
        )
        self.setCentralWidget(self.sheet)
        self.setMinimumSize(*_MINIMUM)
        self.setAcceptDrops(True)
        self.tool_name: str = ""
        self._finding = -1
        self.menus: Menus = Menus(self)
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(_REST_MS)
        self._rest.timeout.connect(self._keep)
        self._first = QTimer(self)
        self._first.setSingleShot(True)
        self._first.setInterval(_FIRST_MS)
        self._first.timeout.connect(self._ask)
        self._keeper = ThreadPoolExecutor(max_workers=1, thread_name_prefix="keeper")
        self._keeping: Future[bool] | None = None
        self._kept.connect(self._say_trouble)
        self._connect()
        self._dress()
        self.take_up("select")
        self.show_page(self.start_page if start else self.canvas)
        self._named()
        self._first.start()

    def _connect(self) -> None:
        desk = self.desk
        desk.went_stale.connect(self._ask)
        desk.site_changed.connect(self._rest.start)
        desk.document_changed.connect(self._named)
        # a key must find its action as the selection and the figures are now, not as they were when a menu was open
        desk.selection_changed.connect(self._refresh_menus)
        desk.assessed.connect(self._refresh_menus)
        self.assessor.done.connect(desk.put_assessment)
        self.assessor.failed.connect(self.trouble.tell)
        self.instruments.chosen.connect(self.take_up)
        self.band.spot_m.connect(self.canvas.show_spot)
        self.canvas.pointed_m.connect(self.band.show_point)
        self.band.opened.connect(self.opening.open)
        self.band.outlined.connect(self.canvas.show_area)
        self.band.height_wanted.connect(self.canvas.cast_for_height)
        self.canvas.scale_changed.connect(self.title.set_scale)
        self.notes.laid_over.connect(self.canvas.cover_right)
        frame = self.canvas.frame
        self.title.set_scale(1000.0 * frame.px_per_mm / frame.px_per_m)
        self.notice.answered.connect(self._go_to_page)
        desk.supposed_changed.connect(self._supposed)
        self.canvas.tool_wanted.connect(self.take_up)
        self.canvas.menu_wanted.connect(self._show_menu)
        lights().changed.connect(self._dress)

    # -- parts

    @cached_property
    def preview(self) -> Preview:
        """The sheets as they will be printed; made when first asked for."""
        from survey_app.desktop.strips.preview import Preview

        preview = Preview(self.desk)
        preview.closed.connect(partial(self.show_page, self.canvas))
        self.pages.addWidget(preview)
        return preview

    @cached_property
    def keys_page(self) -> KeysPage:
        """The page of keys; made when first asked for."""
        from survey_app.desktop.shell.keys_page import KeysPage

        page = KeysPage()
        page.closed.connect(partial(self.show_page, self.canvas))
        self.pages.addWidget(page)
        return page

    @cached_property
    def start_page(self) -> StartPage:
        """New, recent and demo sites; made when first asked for."""
        from survey_app.desktop.strips.start_page import StartPage

        page = StartPage()
        page.begun.connect(self.opening.begin)
        page.opened.connect(self.opening.open)
        page.recovered.connect(self.opening.put)
        page.browsed.connect(self.opening.ask_and_open)
        self.pages.addWidget(page)
        return page

    def show_page(self, page: QWidget) -> None:
        """Show plan, preview or start page."""
        self.pages.setCurrentWidget(page)
        self.sheet.show_bare(page is not self.canvas)
        self.strip.show_document(page is not self.start_page)
        self._named()
        page.setFocus(Qt.FocusReason.OtherFocusReason)
        self.menus.refresh()

    @property
    def notice(self) -> Notice:
        """The bar that asks."""
        return self.bars.notice

    def _refresh_menus(self) -> None:
        self.menus.refresh()

    def _supposed(self) -> None:
        """While an event is supposed only tools that look are in hand."""
        if self.desk.supposed is not None and self.tool_name not in _ONLY_LOOK:
            self.take_up("select")
        self.menus.refresh()

    def _go_to_page(self) -> None:
        page = self.pages.currentWidget()
        if page is not None and not self.notice.sentence:
            page.setFocus(Qt.FocusReason.OtherFocusReason)

    @property
    def on_plan(self) -> bool:
        """Whether the plan is shown."""
        return self.pages.currentWidget() is self.canvas

    def take_up(self, tool_name: str) -> None:
        """Take up a tool by its name."""
        entry = tool_named(tool_name)
        if self.desk.supposed is not None and tool_name not in _ONLY_LOOK:
            self.desk.say(REFUSAL)
            self._mark_tool()
            self.menus.refresh()
            return
        self.tool_name = tool_name
        tool = entry.make(self.desk, self.canvas)
        self.canvas.set_tool(tool)
        self._mark_tool()
        self.menus.refresh()
        self.strip.set_hint(tool.hint)
        reason = self.desk.document.read_only_reason
        if reason and tool_name not in _ONLY_LOOK:
            self.desk.say(f"{reason[:1].upper()}{reason[1:]}; here it can only be read.")
        self.canvas.setFocus(Qt.FocusReason.OtherFocusReason)

    def _mark_tool(self) -> None:
        entry = tool_named(self.tool_name)
        word = min(entry.word, entry.name, key=len)
        self.instruments.mark(self.tool_name, word, entry.key, entry.place, symbol_of(self.tool_name))

    def show_start_page(self) -> None:
        """Show new, recent and demo sites in place of the plan."""
        self.start_page.refresh()
        self.show_page(self.start_page)

    def show_keys(self) -> None:
        """Show every key."""
        self.show_page(self.keys_page)

    def show_site_particulars(self) -> None:
        """Show the form of the site itself."""
        self.desk.select(())
        self.show_notes()

    def show_notes(self) -> None:
        """Show particulars and flag notes, and go there."""
        if not self.on_plan:
            self.show_page(self.canvas)
        self.notes.show_notes()
        self.sheet.open_notes()
        self.notes.body.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def step_finding(self, step: int) -> None:
        """Go to the next finding by number, or to the one before."""
        assessment = self.desk.assessment
        if assessment is None or not assessment.findings:
            self.desk.say("There are no findings.")
            return
        self._finding = (self._finding + step) % len(assessment.findings)
        finding = assessment.findings[self._finding]
        self.desk.show(one for one in (finding.subject, finding.second_subject) if one)
        self.desk.say(f"{finding.number} {finding.severity}: {true_minus(finding.message)}")

    def explain_focus(self) -> None:
        """Explain the number that has the focus; without one, say how to ask."""
        if not self.notes.ask_about_focus():
            self.desk.say("Go to a figure in the notes column, then F1 says why it is so.")

    def say_about(self) -> None:
        """Say which program this is."""
        self.desk.say(
            f"Survey App {survey_app.__version__}: site survey and topology of short radio hops. "
            "Sites and gear in it are inventions."
        )

    def _show_menu(self, thing_id: object) -> None:
        """Show what can be done with the thing under the right button, or with what is selected."""
        if isinstance(thing_id, str) and thing_id not in self.desk.selection:
            self.desk.select([thing_id])
        self.menus.beside().popup(QCursor.pos())

    def _dress(self) -> None:
        self.setStyleSheet(style_sheet(current(), self.preferences.scale_percent / 100.0))
        self.setPalette(current().for_widgets())

    def _named(self) -> None:
        document = self.desk.document
        mark = "" if document.is_saved else "*"
        on_start = self.pages.currentWidget() is self.start_page
        name = "" if on_start else f"{document.site.design.name}{mark} \N{EN DASH} "
        self.setWindowTitle(f"{name}Survey App")
        self.menus.refresh()

    # -- the document

    def put_document(self, document: Document) -> None:
        """Lay another document on the desk and show its plan."""
        self._rest.stop()
        self.desk.replace_document(document)
        self.show_page(self.canvas)
        self.take_up("select")
        self.canvas.show_whole_site()

    def _ask(self) -> None:
        self._first.stop()
        self.assessor.ask(self.desk.site, self.desk.document.memo)

    def _keep(self) -> None:
        """Keep what rests, off the window's thread: a large site takes its time to write."""
        document = self.desk.document
        self._keeping = self._keeper.submit(document.keep, document.snapshot())
        self._keeping.add_done_callback(lambda _done: self._kept.emit(document.trouble))

    def _say_trouble(self, trouble: str) -> None:
        if trouble:
            self.desk.say(trouble)

    @property
    def is_restless(self) -> bool:
        """Whether the last edits are not kept yet."""
        return self._rest.isActive() or not (self._keeping is None or self._keeping.done())

    def _keep_now(self) -> str:
        """Keep the work at once and return the sentence that a person in trouble wants to read."""
        self._rest.stop()
        document = self.desk.document
        if document.keep():
            return "Your site is safe: all of it is kept for recovery, and nothing saved was touched."
        return document.trouble or "Nothing of the site was changed."

    # -- the window

    def closeEvent(self, event: QCloseEvent) -> None:
        if not self.opening.may_leave():
            event.ignore()
            return
        self._rest.stop()
        self._first.stop()
        self.preferences.keep_geometry("size", self.saveGeometry())
        self.preferences.write()
        if "preview" in self.__dict__:
            self.preview.stop()
        self.band.stop()
        self.supposer.stop()
        self.listener.stop()
        self.assessor.stop()
        self._keeper.shutdown()
        self.trouble.remove()
        self.desk.document.close()
        super().closeEvent(event)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        # several are taken too: what is refused without a word looks like a fault
        if _dropped(event.mimeData()):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        paths = _dropped(event.mimeData())
        event.acceptProposedAction()
        if len(paths) == 1:
            self.opening.open(paths[0])
        else:
            self.desk.say(f"{len(paths)} files were dropped; drop one site at a time.")


def _dropped(data: QMimeData) -> list[Path]:
    return [Path(url.toLocalFile()) for url in data.urls() if url.isLocalFile()]
