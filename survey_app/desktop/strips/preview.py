"""The sheets as they will be printed: the real PDF, page by page, in place of the plan."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QSize, Qt, QTimer, Signal
from PySide6.QtGui import QHideEvent, QIcon, QKeySequence, QPixmap, QShortcut
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QHBoxLayout, QListWidgetItem, QVBoxLayout, QWidget

from survey_app.desktop.desk import Desk
from survey_app.desktop.strips.page_view import PageView
from survey_app.desktop.strips.pdf_file import ask_pdf_file, pdf_name
from survey_app.desktop.strips.pdf_pages import PdfPages
from survey_app.desktop.strips.preview_parts import PreviewBar, PreviewColumn, PreviewFoot
from survey_app.desktop.strips.printing import PrintRun
from survey_app.desktop.strips.sheet_document import DOCUMENTS
from survey_app.desktop.strips.worker import Progress, Worker
from survey_app.errors import SurveyError
from survey_app.paper.paper_set import revision_folder, write_paper_set
from survey_app.site.atomic import write_atomically

__all__ = ["Preview"]

_THUMB_PX = 96.0
_WAITING = "The numbers are being worked out; the sheet follows."
_OLD = "The design has changed since: this sheet is of the state before."
_UNSAVED = "Save the site first: the set is written into its folder."


def _ask_printer(parent: QWidget, pages: int) -> QPrinter | None:
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    dialog = QPrintDialog(printer, parent)
    dialog.setMinMax(1, pages)
    dialog.setFromTo(1, pages)
    dialog.setOption(QPrintDialog.PrintDialogOption.PrintPageRange, on=True)
    return printer if dialog.exec() == QPrintDialog.DialogCode.Accepted else None


class Preview(QWidget):
    """Cover, mounting sheets, bench sheets, schedule, network and tally of the present site.

    Parameters
    ----------
    desk : Desk
        Site, assessment, selection.

    Attributes
    ----------
    ask_file : callable
        Asks a person where to save: (parent, suggested) -> Path or None.
    ask_printer : callable
        Asks a person for a printer: (parent, pages) -> QPrinter or None.
    """

    closed = Signal()
    """A person wants the plan back."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._document = DOCUMENTS[1]
        self._radio = ""
        self._page = 0
        self._pages: PdfPages | None = None
        self._made: dict[str, bytes] = {}
        self._made_of: object = None
        self._work = 0
        self._answer: Callable[[object], None] = lambda _made: None
        self._run: PrintRun | None = None
        self._thumbs_due = 0
        self.ask_file: Callable[[QWidget, str], Path | None] = ask_pdf_file
        self.ask_printer: Callable[[QWidget, int], QPrinter | None] = _ask_printer
        self.setAccessibleName("Sheets")
        self.view = PageView()
        self.bar, self.column, self.foot = PreviewBar(), PreviewColumn(DOCUMENTS), PreviewFoot()
        self._maker = Worker(self)
        self._thumbs = QTimer(self)
        self._thumbs.setInterval(0)
        self._thumbs.timeout.connect(self._next_thumb)
        self._lay_out()
        self._connect()

    def _lay_out(self) -> None:
        middle = QHBoxLayout()
        middle.setSpacing(0)
        middle.addWidget(self.column)
        middle.addWidget(self.view, 1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self.bar)
        layout.addLayout(middle, 1)
        layout.addWidget(self.foot)

    def _connect(self) -> None:
        self._maker.done.connect(self._done)
        self._maker.failed.connect(self._failed)
        self._maker.advanced.connect(self._advanced)
        self._desk.assessed.connect(self._assessed)
        self._desk.went_stale.connect(self._went_stale)
        bar, column = self.bar, self.column
        column.documents.currentRowChanged.connect(self._take_document)
        column.thumbs.currentRowChanged.connect(self.show_page)
        bar.before.clicked.connect(lambda: self.turn(-1))
        bar.after.clicked.connect(lambda: self.turn(1))
        bar.number.valueChanged.connect(lambda number: self.show_page(number - 1))
        bar.whole.clicked.connect(lambda: self.view.set_fit("page"))
        bar.wide.clicked.connect(lambda: self.view.set_fit("width"))
        bar.smaller.clicked.connect(lambda: self.view.zoom(-1))
        bar.larger.clicked.connect(lambda: self.view.zoom(1))
        bar.print.clicked.connect(self.print_pages)
        bar.save.clicked.connect(self.save_pdf)
        bar.write_set.clicked.connect(self.write_set)
        bar.back.clicked.connect(self.leave)
        self.foot.cancel.clicked.connect(self.call_off)
        self.view.turned.connect(self.turn)
        self.view.zoomed.connect(lambda: bar.show_fit(self.view.fit, self.view.px_per_mm))
        for keys, act in (
            (Qt.Key.Key_Escape, self.leave),
            ("Ctrl+Shift+P", self.print_pages),
            (Qt.Key.Key_PageUp, lambda: self.turn(-1)),
            (Qt.Key.Key_PageDown, lambda: self.turn(1)),
        ):
            shortcut = QShortcut(QKeySequence(keys), self)
            shortcut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
            shortcut.activated.connect(act)

    # -- what is shown

    @property
    def document(self) -> str:
        """Name of the document that is shown: `cover`, `mounting`, `bench`, `schedule`, `network`, `tally`."""
        return self._document.name

    @property
    def page(self) -> int:
        """The page that is shown, from 0."""
        return self._page

    @property
    def page_count(self) -> int:
        """How many pages the document has; 0 while it is not made."""
        return len(self._pages) if self._pages is not None else 0

    def open(self, name: str) -> None:
        """Show a document by its name."""
        self._radio = ""
        self._open(name)

    def open_selected(self) -> None:
        """Show the mounting sheet of the selected radio, or the first."""
        radios = {radio.id for radio in self._desk.site.design.radios}
        self._radio = next((one for one in self._desk.selection if one in radios), "")
        self._open("mounting")

    def _open(self, name: str) -> None:
        row = next(n for n, one in enumerate(DOCUMENTS) if one.name == name)
        self._document = DOCUMENTS[row]
        self.column.take(row)
        self._make()

    def _take_document(self, row: int) -> None:
        if row >= 0 and DOCUMENTS[row] is not self._document:
            self.open(DOCUMENTS[row].name)

    def _make(self) -> None:
        """Show the document, from what was made already or anew."""
        assessment = self._desk.assessment
        if assessment is None or not self._desk.is_fresh:
            self.foot.say(_WAITING)
            return
        if self._made_of is not assessment:
            self._made, self._made_of = {}, assessment
        ready = self._made.get(self._document.name)
        if ready is not None:
            self._show(ready)
            return
        site, document = self._desk.site, self._document
        self._show(None)

        def make(progress: Progress) -> object:
            return document.make(site, assessment, progress)

        def take(made: object) -> None:
            assert isinstance(made, bytes)
            self._made[document.name] = made
            self._show(made)

        self._begin(f"{document.title} …", make, take)

    def _show(self, pdf: bytes | None) -> None:
        self._thumbs.stop()
        former, self._pages = self._pages, PdfPages(pdf) if pdf is not None else None
        self.column.set_pages(self.page_count)
        self.bar.set_pages(self.page_count)
        self._page = 0
        page = self._page_of_radio() if pdf is not None and self._radio else 0
        self.show_page(page)
        if former is not None:
            former.close()
        self._thumbs_due = 0
        if self.page_count:
            self._thumbs.start()

    def _page_of_radio(self) -> int:
        """Return the page of the selected radio: a sheet may run on to a second page, so its number is looked for."""
        assessment, pages = self._desk.assessment, self._pages
        if assessment is None or pages is None:
            return 0
        order = sorted(assessment.radios, key=lambda row: (row.sheet_number, row.id))
        place = next((n for n, row in enumerate(order) if row.id == self._radio), None)
        if place is None:
            return 0
        return pages.page_with(rf"(?<!Climb )\b{place + 1} of {len(order)}\b") or 0

    def show_page(self, page: int) -> None:
        """Show a page, from 0; one that is not there is left out."""
        if self.page_count and not 0 <= page < self.page_count:
            return
        self._page = max(page, 0)
        self.view.show_page(self._pages, self._page)
        self.bar.show_page(self._page)
        self.column.show_page(self._page)
        if self.page_count:
            self.setAccessibleDescription(f"{self._document.title}, page {self._page + 1} of {self.page_count}")

    def turn(self, step: int) -> None:
        """Show the page so many further on."""
        self.show_page(self._page + step)

    def _next_thumb(self) -> None:
        if self._pages is None or self._thumbs_due >= self.page_count:
            self._thumbs.stop()
            return
        ratio = self.devicePixelRatioF()
        size = self._pages.size_mm(self._thumbs_due)
        picture = self._pages.picture(self._thumbs_due, _THUMB_PX * ratio / max(size.width(), size.height()))
        picture.setDevicePixelRatio(ratio)
        item: QListWidgetItem = self.column.thumbs.item(self._thumbs_due)
        icon = QIcon()
        for mode in (QIcon.Mode.Normal, QIcon.Mode.Selected):
            # paper keeps its colour when it is marked
            icon.addPixmap(QPixmap.fromImage(picture), mode)
        item.setIcon(icon)
        item.setSizeHint(QSize(0, int(picture.deviceIndependentSize().height()) + 12))
        self._thumbs_due += 1

    def _assessed(self) -> None:
        if self.isVisible():
            self._make()

    def _went_stale(self) -> None:
        if self.isVisible():
            self.foot.say(_OLD if self._pages is not None else _WAITING)

    # -- work

    def _begin(self, sentence: str, work: Callable[[Progress], object], answer: Callable[[object], None]) -> None:
        self._answer = answer
        self.foot.begin(sentence)
        self._work = self._maker.start(work)

    def _advanced(self, number: int, done: int, whole: int) -> None:
        if number == self._work:
            self.foot.advance(done, whole)

    def _done(self, number: int, made: object) -> None:
        if number == self._work:
            self.foot.say("")
            self._answer(made)

    def _failed(self, number: int, error: Exception) -> None:
        if number != self._work:
            return
        if not isinstance(error, SurveyError):
            self.foot.say("The sheet could not be made.")
            raise error
        self._tell(error.sentence())

    def _tell(self, sentence: str) -> None:
        self.foot.say(sentence)
        self._desk.say(sentence)

    @property
    def is_busy(self) -> bool:
        """Whether a sheet is being made or printed."""
        return self.foot.is_busy

    def call_off(self) -> None:
        """Call off what is being made or printed."""
        self._maker.call_off()
        if self._run is not None:
            self._run.call_off()
        self.foot.say("Called off.")

    def stop(self) -> None:
        """Call everything off and leave no thread behind."""
        if self._run is not None:
            self._run.call_off()
        self._thumbs.stop()
        self._maker.stop()
        self.foot.say("")

    def leave(self) -> None:
        """Give the plan back."""
        self.closed.emit()

    def hideEvent(self, event: QHideEvent) -> None:
        """Make nothing that nobody sees."""
        super().hideEvent(event)
        self._thumbs.stop()
        if self.foot.is_busy and self._run is None:
            self._maker.call_off()
            self.foot.say("")

    # -- what goes out

    def save_pdf(self) -> None:
        """Save the document that is shown as a PDF where a person says."""
        if self._pages is None:
            return
        document = self._desk.document
        path = self.ask_file(self, pdf_name(document.site.design, self._document.name, document.folder))
        if path is None:
            return
        try:
            write_atomically(path, self._pages.data)
        except SurveyError as error:
            self._tell(error.sentence())
        else:
            self._tell(f"Saved as {path}.")

    def write_set(self) -> None:
        """Write the whole set into the folder of this revision; what was issued there is never overwritten."""
        desk = self._desk
        folder, assessment, site = desk.document.folder, desk.assessment, desk.site
        if folder is None:
            self._tell(_UNSAVED)
            return
        if assessment is None or not desk.is_fresh:
            self._tell(_WAITING)
            return
        where = revision_folder(folder, site.design.revision)

        def make(progress: Progress) -> object:
            return write_paper_set(site, assessment, where, progress=progress)

        def told(made: object) -> None:
            assert isinstance(made, list)
            self._tell(f"The set of revision {site.design.revision}, {len(made)} files, stands in {where}.")

        self._begin("The whole set …", make, told)

    def print_pages(self) -> None:
        """Print the document that is shown on a printer that a person chooses."""
        if self._pages is None or self._run is not None:
            return
        printer = self.ask_printer(self, self.page_count)
        if printer is None:
            return
        first, last = max(printer.fromPage(), 1) - 1, min(printer.toPage() or self.page_count, self.page_count) - 1
        # a copy of its own: the one that is shown may change while it prints
        pages = PdfPages(self._pages.data)
        run = self._run = PrintRun(printer, pages, first, last, self)

        def ended(sentence: str) -> None:
            self._run = None
            pages.close()
            self._tell(sentence or f"{last - first + 1} pages went to the printer.")

        run.advanced.connect(self.foot.advance)
        run.ended.connect(ended)
        self.foot.begin("Printing …")
        run.start()
