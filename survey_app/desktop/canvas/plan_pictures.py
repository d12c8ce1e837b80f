"""Pictures under the plan: read once, kept in halves, laid where their known points say."""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import numpy as np
from PySide6.QtCore import QObject, QRectF, QRunnable, QThreadPool, Signal
from PySide6.QtGui import QPainter

from survey_app.desktop.canvas.frame import Frame
from survey_app.desktop.canvas.painter import Brushes, ShapePainter
from survey_app.desktop.canvas.raster import PAGE_DPI, Raster, raster_of, read_page, read_picture
from survey_app.desktop.desk import Desk
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Path as Line
from survey_app.drawing.shapes import Point, Shape, Words
from survey_app.errors import SurveyError
from survey_app.ground.fit import PictureFit, fit_picture
from survey_app.site.asset import asset_path
from survey_app.site.plan_picture import PlanPicture

__all__ = ["PlanPictures"]

_NAME_MM = 12.0 * 0.76 / 4.0


class _Key(NamedTuple):
    """What a raster is made of; another time of the file's change is another raster."""

    path: Path
    changed_ns: int
    page: int | None
    dpi: float | None
    greyed: bool
    inverted: bool


class _Reading(QRunnable):
    """Reads one picture off the window's thread."""

    def __init__(self, work: Callable[[], None]) -> None:
        super().__init__()
        self._work = work

    def run(self) -> None:
        """Read it."""
        self._work()


class PlanPictures(QObject):
    """The pictures of a site as they are painted below the plan.

    Parameters
    ----------
    desk : Desk
        Site and folder.
    """

    read = Signal(object, object)
    """A picture has been read: its key and the image, or None where it cannot be read."""
    changed = Signal()
    """Something else lies under the plan now."""

    def __init__(self, desk: Desk, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._kept: dict[_Key, Raster | None] = {}
        self._awaited: set[_Key] = set()
        self._fits: dict[int, tuple[PlanPicture, PictureFit | None]] = {}
        self.read.connect(self._take)

    def paint(self, painter: QPainter, frame: Frame, brushes: Brushes) -> None:
        """Paint the pictures that meet a frame; one that is missing is an outlined box with its name."""
        rows = self._desk.site.design.plan_pictures
        wanted: set[_Key] = set()
        for row in rows:
            fit = self._fit(row)
            if fit is None:
                continue
            key = self._key(row, inverted=brushes.palette.is_night)
            raster = self._raster(key) if key is not None else None
            if key is not None:
                wanted.add(key)
            if raster is None:
                painting = ShapePainter(painter, brushes)
                painting.paint(_box(row, fit, self._why(key)), frame)
            elif row.opacity_fraction > 0.0:
                _lay(painter, frame, row, fit, raster, brushes)
        for gone in [key for key in self._kept if key not in wanted]:
            del self._kept[gone]

    def _why(self, key: _Key | None) -> str:
        """Return why a picture is not shown."""
        if key is None:
            return "is missing"
        return "is being read" if key in self._awaited else "cannot be read"

    def _fit(self, row: PlanPicture) -> PictureFit | None:
        known = self._fits.get(id(row))
        if known is None or known[0] is not row:
            try:
                fit = fit_picture(row, self._desk.site.design.plane.anchor)
            except SurveyError:
                # the finding of the assessment says why; there is no place to draw it
                fit = None
            known = self._fits[id(row)] = (row, fit)
        return known[1]

    def _key(self, row: PlanPicture, *, inverted: bool) -> _Key | None:
        """Return what to read, None where there is no such file."""
        # where a site lies that was never saved, its pictures have a home already
        home = self._desk.document.asset_home
        if home is None:
            return None
        try:
            path = asset_path(home, row.file)
            changed_ns = path.stat().st_mtime_ns
        except (SurveyError, OSError):
            return None
        return _Key(path, changed_ns, row.page, row.dpi, row.greyed, inverted and row.greyed)

    def _raster(self, key: _Key) -> Raster | None:
        if key in self._kept:
            return self._kept[key]
        if key not in self._awaited:
            self._awaited.add(key)
            QThreadPool.globalInstance().start(_Reading(lambda: self._read(key)))
        return None

    def _read(self, key: _Key) -> None:
        picture = read_picture(key.path) if key.page is None else read_page(key.path, key.page, key.dpi or PAGE_DPI)
        made = None if picture is None else raster_of(picture, greyed=key.greyed, inverted=key.inverted)
        # the window may have gone while a large picture was read
        with contextlib.suppress(RuntimeError):
            self.read.emit(key, made)

    def _take(self, key: object, found: object) -> None:
        assert isinstance(key, _Key)
        self._awaited.discard(key)
        self._kept[key] = found if isinstance(found, Raster) else None
        self.changed.emit()


def _lay(painter: QPainter, frame: Frame, row: PlanPicture, fit: PictureFit, raster: Raster, brushes: Brushes) -> None:
    """Lay a picture: white paper of a greyed one lets the plan's paper through, by day and by night."""
    # the file may have another size than when its points were picked: they count in its size then
    across, down = row.width_px / raster.width_px, row.height_px / raster.height_px
    scale = frame.px_per_m
    left, top = frame.px(fit.c, fit.f)
    to_screen = np.array(
        [
            [fit.a * across * scale, fit.b * down * scale, left],
            [-fit.d * across * scale, -fit.e * down * scale, top],
        ]
    )
    mode = QPainter.CompositionMode
    painter.save()
    painter.setOpacity(row.opacity_fraction)
    if row.greyed:
        painter.setCompositionMode(
            mode.CompositionMode_Screen if brushes.palette.is_night else mode.CompositionMode_Multiply
        )
    raster.paint(painter, to_screen, QRectF(frame.left_px, frame.top_px, frame.width_px, frame.height_px))
    painter.restore()


def _box(row: PlanPicture, fit: PictureFit, why: str) -> tuple[Shape, ...]:
    """Return the outline of a picture that cannot be shown, with its name, on the plane."""

    def at(x_px: float, y_px: float) -> Point:
        return fit.a * x_px + fit.b * y_px + fit.c, fit.d * x_px + fit.e * y_px + fit.f

    w, h = float(row.width_px), float(row.height_px)
    corners = (at(0.0, 0.0), at(w, 0.0), at(w, h), at(0.0, h))
    words = f"{row.name or row.id}: {row.file} {why}"
    return (
        Line(Role.LATER, (*corners, corners[0])),
        Words(Role.WORDS_SOFT, corners[0], words, _NAME_MM, (1.5, -3.0), halo=True),
    )
