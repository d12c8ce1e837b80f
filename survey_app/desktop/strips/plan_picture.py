"""Pictures under the plan: which there are, how each is placed by known points, and how strongly it shows."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from PySide6.QtCore import QSignalBlocker, Qt
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QFileDialog,
    QFormLayout,
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QSlider,
    QSpinBox,
    QWidget,
)

from survey_app.desktop import letters
from survey_app.desktop.desk import Desk
from survey_app.desktop.strips.columns import Columns, group
from survey_app.desktop.strips.known_points import KnownPoints
from survey_app.desktop.strips.picture_file import PAGE_DPI, picture_size
from survey_app.desktop.strips.words import head_label, sentence_label, word_button
from survey_app.errors import SurveyError
from survey_app.ground.fit import PictureFit, fit_picture
from survey_app.site.edits import add_plan_picture, change, fresh_id, remove
from survey_app.site.place import PlanePoint
from survey_app.site.plan_picture import ControlPoint, PlanPicture

__all__ = ["PlanPicturesPanel"]

_ID = Qt.ItemDataRole.UserRole
_FITS = (("similarity", "turned and scaled evenly"), ("affine", "also sheared"))
_GUESS_WIDE_M = 100.0
_NONE = "No picture lies under the plan."


def _ask_file(parent: QWidget) -> Path | None:
    path, _ = QFileDialog.getOpenFileName(
        parent, "A picture of the plan", "", "Pictures and PDF (*.png *.jpg *.jpeg *.pdf)"
    )
    return Path(path) if path else None


class PlanPicturesPanel(Columns):
    """Add, place, fade and remove pictures.

    Parameters
    ----------
    desk : Desk
        The open document.

    Attributes
    ----------
    ask_file : callable
        Asks a person for a picture: (parent) -> Path or None.
    """

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self.ask_file: Callable[[QWidget], Path | None] = _ask_file
        self._shown: object = None
        self.setAccessibleName("Plan pictures")
        self.list = QListWidget()
        self.list.setAccessibleName("Pictures")
        self.list.setFont(letters.font(letters.DATA_PX))
        self.add_button = word_button("Add …", "Add a picture, PNG, JPEG or a page of a PDF")
        self.remove_button = word_button("Remove", "Remove this picture")
        self.fit = QComboBox()
        self.fit.setAccessibleName("How it is fitted")
        for value, words in _FITS:
            self.fit.addItem(words, value)
        self.page = QSpinBox()
        self.page.setAccessibleName("Page of the PDF")
        self.page.setKeyboardTracking(False)
        self.opacity = QSlider(Qt.Orientation.Horizontal)
        self.opacity.setAccessibleName("How strongly it shows, in per cent")
        self.opacity.setRange(0, 100)
        self.opacity.setPageStep(10)
        self.opacity.setTracking(False)
        self.greyed = QCheckBox("without its colours")
        self.greyed.setAccessibleName("Shown without its colours")
        self.points = KnownPoints()
        self.add_point_button = word_button("Add a point", "Add a known point")
        self.remove_point_button = word_button("Remove the point", "Remove the known point that is marked")
        self.residual = sentence_label()
        self.nothing = sentence_label(_NONE)
        self.reason = sentence_label(part="reason")
        self.form = QWidget()
        self._lay_out()
        self._connect()
        self.refresh()

    def _lay_out(self) -> None:
        form = QFormLayout(self.form)
        form.setContentsMargins(0, 0, 0, 0)
        form.setVerticalSpacing(4)
        rows = (("fit", self.fit), ("page", self.page), ("shows", self.opacity), ("", self.greyed))
        for words, field in rows:
            label = sentence_label(words, "name")
            if field is self.page:
                self._page_row = label
            field.setFont(letters.font(letters.DATA_PX))
            form.addRow(label, field)
        self.list.setMinimumHeight(40)
        self.points.setMinimumHeight(56)
        choice = group(
            head_label("PICTURES UNDER THE PLAN"), self.list, _row(self.add_button, self.remove_button), stretch=1
        )
        self._points_head = head_label("KNOWN POINTS")
        points = group(self._points_head, self.points, _row(self.add_point_button, self.remove_point_button), stretch=1)
        self._look_head = head_label("HOW IT SHOWS")
        look = group(self._look_head, self.nothing, self.form, self.reason)
        rest = group(head_label("HOW IT FITS"), self.residual)
        self._of_one = (look, points, rest)
        self.set_groups(((choice, 2), (look, 3), (points, 4), (rest, 2)))

    def _connect(self) -> None:
        self.list.currentRowChanged.connect(lambda _row: self._show())
        self.add_button.clicked.connect(self.add)
        self.remove_button.clicked.connect(self.remove)
        self.fit.activated.connect(lambda _row: self._fitted(fit=self.fit.currentData()))
        self.page.valueChanged.connect(self._turn)
        self.opacity.valueChanged.connect(lambda value: self._change(opacity_fraction=value / 100.0))
        self.greyed.toggled.connect(lambda on: self._change(greyed=on))
        self.points.typed.connect(lambda points: self._fitted(control_points=points))
        self.points.refused.connect(self._say)
        self.add_point_button.clicked.connect(self.add_point)
        self.remove_point_button.clicked.connect(self.remove_point)
        self._desk.site_changed.connect(self._follow)

    # -- what there is

    @property
    def picture(self) -> PlanPicture | None:
        """The picture that is marked in the list."""
        item = self.list.currentItem()
        found = self._desk.things.get(item.data(_ID)) if item is not None else None
        return found if isinstance(found, PlanPicture) else None

    def _follow(self) -> None:
        """Show the pictures again where an edit was about them."""
        design = self._desk.site.design
        if self._shown != (design.plan_pictures, design.plane):
            self.refresh()

    def refresh(self) -> None:
        """Show the pictures of the present site."""
        design = self._desk.site.design
        pictures = design.plan_pictures
        self._shown = (pictures, design.plane)
        item = self.list.currentItem()
        kept = item.data(_ID) if item is not None else None
        with QSignalBlocker(self.list):
            self.list.clear()
            for picture in pictures:
                row = QListWidgetItem(picture.title)
                row.setData(_ID, picture.id)
                self.list.addItem(row)
            ids = [picture.id for picture in pictures]
            self.list.setCurrentRow(ids.index(kept) if kept in ids else len(ids) - 1)
        self._show()

    def _show(self) -> None:
        picture = self.picture
        for widget in (self.form, *self._of_one[1:]):
            widget.setVisible(picture is not None)
        self.nothing.setVisible(picture is None)
        self.remove_button.setEnabled(picture is not None)
        self._say("")
        if picture is None:
            return
        is_page = picture.page is not None
        self.page.setVisible(is_page)
        self._page_row.setVisible(is_page)
        with (
            QSignalBlocker(self.fit),
            QSignalBlocker(self.page),
            QSignalBlocker(self.opacity),
            QSignalBlocker(self.greyed),
        ):
            self.fit.setCurrentIndex([value for value, _ in _FITS].index(picture.fit))
            self.page.setRange(1, 10000)
            self.page.setValue(picture.page or 1)
            self.opacity.setValue(round(100.0 * picture.opacity_fraction))
            self.greyed.setChecked(picture.greyed)
        fit = self._fit_of(picture)
        self.points.show_points(
            picture.control_points, self._desk.placed.plane, fit.residual_m if fit is not None else ()
        )
        self.remove_point_button.setEnabled(len(picture.control_points) > 2)
        self.residual.setText("" if fit is None else _residual_words(fit))

    def _fit_of(self, picture: PlanPicture) -> PictureFit | None:
        """Return the fit, or say why there is none."""
        try:
            return fit_picture(picture, self._desk.site.design.plane.anchor)
        except SurveyError as error:
            self._say(error.sentence())
            return None

    def _say(self, sentence: str) -> None:
        self.reason.setText(sentence)

    # -- what is done

    def _told(self, act: Callable[[], Any]) -> Any:
        try:
            return act()
        except SurveyError as error:
            self._say(error.sentence())
            return None

    def add(self) -> None:
        """Copy a picture into the site and lay it under the plan, as wide as a guess until its points are typed."""
        path = self.ask_file(self)
        if path is None:
            return
        size = self._told(lambda: picture_size(path))
        if size is None:
            return
        name = self._told(lambda: self._desk.document.copy_asset(path))
        if name is None:
            return
        high = _GUESS_WIDE_M * size.height_px / size.width_px
        corners = (
            ControlPoint(x_px=0.0, y_px=float(size.height_px), position=PlanePoint(x_m=0.0, y_m=0.0)),
            ControlPoint(x_px=float(size.width_px), y_px=0.0, position=PlanePoint(x_m=_GUESS_WIDE_M, y_m=high)),
        )
        picture_id = fresh_id(self._desk.site, "B")
        picture = PlanPicture(
            id=picture_id,
            name=path.stem[:100],
            file=name,
            page=size.page,
            dpi=size.dpi,
            width_px=size.width_px,
            height_px=size.height_px,
            control_points=corners,
        )
        if self._desk.perform(lambda site: add_plan_picture(site, picture)):
            ids = [one.id for one in self._desk.site.design.plan_pictures]
            self.list.setCurrentRow(ids.index(picture_id))
            self._desk.say("Now type two points that are known in the picture and on the plan.")

    def remove(self) -> None:
        """Take the picture away; its file stays until the site is tidied."""
        picture = self.picture
        if picture is not None:
            self._desk.perform(lambda site: remove(site, picture.id))

    def _change(self, **fields: object) -> None:
        picture = self.picture
        if picture is None:
            return
        if not self._desk.perform(lambda site: change(site, picture.id, **fields)):
            self._show()

    def _fitted(self, **fields: Any) -> None:
        """Change what the fit is made of; where no fit can be made of it, say so and keep the former."""
        picture = self.picture
        if picture is None:
            return
        wanted = PlanPicture(**{**dict(picture), **fields})
        try:
            fit_picture(wanted, self._desk.site.design.plane.anchor)
        except SurveyError as error:
            self._show()
            self._say(error.sentence())
            return
        self._change(**fields)

    def _turn(self, page: int) -> None:
        """Show another page of the PDF."""
        picture = self.picture
        home = self._desk.document.asset_home
        if picture is None or home is None:
            return
        file = self._desk.document.shelf.path(picture.file)
        size = self._told(lambda: picture_size(file, page, picture.dpi or PAGE_DPI))
        if size is not None:
            self._change(page=page, width_px=size.width_px, height_px=size.height_px)
        else:
            with QSignalBlocker(self.page):
                self.page.setValue(picture.page or 1)

    def add_point(self) -> None:
        """Add a point in the middle of the picture, where the fit puts it, to be typed over."""
        picture = self.picture
        fit = self._fit_of(picture) if picture is not None else None
        if picture is None or fit is None:
            return
        x_px, y_px = picture.width_px / 2.0, picture.height_px / 2.0
        x_m, y_m = (round(float(one), 3) for one in fit.to_plan(x_px, y_px))
        point = ControlPoint(x_px=x_px, y_px=y_px, position=PlanePoint(x_m=x_m, y_m=y_m))
        self._change(control_points=(*picture.control_points, point))
        self.points.setCurrentCell(len(picture.control_points), 0)
        self.points.setFocus()

    def remove_point(self) -> None:
        """Take the marked point away; two must stay."""
        picture, row = self.picture, self.points.currentRow()
        if picture is None or len(picture.control_points) <= 2:
            return
        row = row if row >= 0 else len(picture.control_points) - 1
        points = picture.control_points
        self._fitted(control_points=(*points[:row], *points[row + 1 :]))


def _row(*widgets: QWidget) -> QHBoxLayout:
    row = QHBoxLayout()
    for widget in widgets:
        row.addWidget(widget)
    row.addStretch(1)
    return row


def _residual_words(fit: PictureFit) -> str:
    """Say how large a pixel is, how the picture is turned, and what the fit leaves over."""
    size = f"One pixel is {fit.scale_m_per_px:.3g} m, the picture's top looks to {fit.turn_deg:.1f}° on the plan."
    if len(fit.residual_m) <= 2:
        return f"{size} Two points leave nothing over: a third would show an error."
    return f"{size} Left over: {fit.rms_m:.2f} m in the mean, {max(fit.residual_m):.2f} m at most."
