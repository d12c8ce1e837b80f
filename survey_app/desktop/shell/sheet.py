"""How the parts of the window lie beside each other: a plan-and-profile sheet that folds when there is little room."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QSizePolicy, QStackedWidget, QWidget

if TYPE_CHECKING:
    from survey_app.desktop.panels.notes_column import NotesColumn

__all__ = ["Sheet"]

_NARROW_PX = 1440
_LOW_PX = 860
_BAND_PX = 258
_LOW_BAND_PX = 190
_TALL = 0.6
_COLUMN_PX = 300


class Sheet(QWidget):
    """Instruments at the left, plan and band in the middle, notes column over title block at the right.

    Parameters
    ----------
    strip, notice, instruments, pages, notes, band, title : QWidget
        The parts.
    scale : float
        Interface scale.
    """

    def __init__(
        self,
        strip: QWidget,
        notice: QWidget,
        instruments: QWidget,
        pages: QStackedWidget,
        notes: NotesColumn,
        band: QWidget,
        title: QWidget,
        scale: float = 1.0,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._instruments, self._pages, self._notes, self._band, self._title = instruments, pages, notes, band, title
        self._scale = scale
        self._notes_wanted = True
        self._band_wanted = True
        self._title_wanted = True
        self._alone = False
        self._bare = False
        self._tall = False
        self._reaches_down = False
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setSpacing(0)
        self._grid.addWidget(strip, 0, 0, 1, 4)
        self._grid.addWidget(notice, 1, 0, 1, 4)
        self._grid.addWidget(instruments, 2, 0, 3, 1)
        self._grid.addWidget(pages, 2, 1, 1, 2)
        # a tall band begins above the title block, and the notes reach down to that
        self._grid.addWidget(notes, 2, 3, 2, 1)
        self._grid.addWidget(band, 3, 1, 2, 1)
        self._grid.addWidget(title, 4, 2, 1, 2, Qt.AlignmentFlag.AlignBottom | Qt.AlignmentFlag.AlignRight)
        self._grid.setColumnStretch(1, 1)
        self._grid.setRowStretch(2, 1)
        pages.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        # the band keeps its height where there is little room; the plan gives way
        pages.setMinimumSize(1, 1)
        notes.laid_over.connect(self._fold)
        self._fold()

    def _px(self, length: float) -> int:
        return round(length * self._scale)

    @property
    def is_narrow(self) -> bool:
        """Whether the notes column has no room of its own."""
        return self.width() < self._px(_NARROW_PX)

    @property
    def notes_open(self) -> bool:
        """Whether the notes can be seen."""
        return not self._notes.isHidden() and self._notes.is_open

    def turn_notes(self) -> None:
        """Open the notes column and go there, or close it."""
        self._notes.turn()
        self._notes_wanted = not self._notes.isHidden()
        self._fold()

    def open_notes(self) -> None:
        """Make the notes visible."""
        self._notes_wanted = True
        self._fold()
        self._notes.open()

    @property
    def band_open(self) -> bool:
        """Whether the band under the plan is shown."""
        return self._band_wanted

    def show_band(self, wanted: bool) -> None:
        """Show or hide the band under the plan."""
        self._band_wanted = wanted
        self._fold()

    @property
    def band_tall(self) -> bool:
        """Whether the band takes more than half of the height: a long table."""
        return self._tall

    def show_tall(self, wanted: bool) -> None:
        """Give the band more than half of the height, or its own again."""
        self._tall = wanted
        self._fold()

    def _reach_down(self, wanted: bool) -> None:
        """Let the plan reach down beside the title block: where there is no band."""
        if wanted != self._reaches_down:
            self._reaches_down = wanted
            self._grid.addWidget(self._pages, 2, 1, 3 if wanted else 1, 1 if wanted else 2)

    @property
    def title_open(self) -> bool:
        """Whether the title block is shown."""
        return self._title_wanted

    def show_title(self, wanted: bool) -> None:
        """Show or hide the title block."""
        self._title_wanted = wanted
        self._fold()

    @property
    def is_alone(self) -> bool:
        """Whether the plan stands alone."""
        return self._alone

    def show_alone(self, wanted: bool) -> None:
        """Show the plan alone, or everything again."""
        self._alone = wanted
        self._fold()

    def show_bare(self, wanted: bool) -> None:
        """Show a page without any other part: the start page, the preview."""
        self._bare = wanted
        self._fold()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fold()

    def _fold(self) -> None:
        around = not (self._alone or self._bare)
        low = self.height() < self._px(_LOW_PX)
        band_px = self._px(_LOW_BAND_PX if low else _BAND_PX)
        self._instruments.setVisible(around)
        self._notes.setVisible(around and self._notes_wanted)
        self._band.setVisible(around and self._band_wanted)
        # in a narrow window it stands beside the band: without that it would leave a hole under the plan
        # and above it where the band is tall
        lone = self.is_narrow and (self._tall or not self._band_wanted)
        titled = self._title_wanted and not lone
        self._title.setVisible(around and titled)
        self._band.setFixedHeight(round(self.height() * _TALL) if self._tall else band_px)
        self._title.setFixedHeight(band_px)
        self._title.setFixedWidth(self._px(_COLUMN_PX))
        if around:
            self._notes.fold(self.is_narrow)
        # the title block is as wide as the open column: only what sticks out of the spine stands beside the band
        notes_px = self._notes.minimumWidth() if around and not self._notes.isHidden() else 0
        beside_px = max(self._px(_COLUMN_PX) - notes_px, 0)
        # a tall band ends where the notes lie over the plan: they reach down beside it
        covered_px = self._notes.covered_px if self._tall and self.is_narrow else 0
        self._grid.setColumnMinimumWidth(2, (beside_px if titled else covered_px) if around else 0)
        above_px = self._band.maximumHeight() - (band_px if titled else 0)
        self._grid.setRowMinimumHeight(3, above_px if around and self._band_wanted else 0)
        self._reach_down(around and titled and not self._band_wanted)
        self._grid.activate()
