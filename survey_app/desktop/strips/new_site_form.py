"""The form in which a new site is begun: name, where it lies, which radio rules, when it is built."""

from __future__ import annotations

import datetime

from pydantic import ValidationError
from PySide6.QtCore import QTimer, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QComboBox, QFormLayout, QHBoxLayout, QLabel, QLineEdit, QWidget

from survey_app.desktop import letters
from survey_app.desktop.strips.words import sentence_label, word_button
from survey_app.errors import SurveyError
from survey_app.ground.parse import parse_position
from survey_app.site.new import new_site
from survey_app.site.place import Anchor
from survey_app.site.site import Design, Site
from survey_app.site.validation import faults_of

__all__ = ["NewSiteForm"]

_NOT_CHOSEN = "not chosen yet"
_SOON_MS = 30


class NewSiteForm(QWidget):
    """Fields of a new site; what is wrong with one stands under it."""

    begun = Signal(object)
    """A new site."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.name = self._line("Name of the site", "as people call it")
        self.position = self._line(
            "Latitude and longitude of the plan's origin", "43.55, −69.6 or empty: plan north only"
        )
        self.date = self._line("Planned date of installation", "YYYY-MM-DD")
        self.date.setText(datetime.date.today().isoformat())
        self._region = QComboBox()
        self._region.setAccessibleName("Region of the radio rules")
        self._region.setFont(letters.font(letters.DATA_PX))
        self.begin = word_button("Begin", "Begin the new site")
        self._form = QFormLayout(self)
        self._form.setContentsMargins(0, 0, 0, 0)
        self._form.setVerticalSpacing(4)
        self._form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        self.reason: dict[QWidget, QLabel] = {}
        for words, field in (
            ("name", self.name), ("origin", self.position), ("region", self._region), ("built on", self.date),
        ):  # fmt: skip
            label = sentence_label(words, "name")
            label.setBuddy(field)
            self._form.addRow(label, field)
            reason = sentence_label(part="reason")
            self._form.addRow("", reason)
            self.reason[field] = reason
        foot = QHBoxLayout()
        foot.addWidget(self.begin)
        foot.addStretch(1)
        self._form.addRow("", foot)
        self.begin.clicked.connect(self._begin)
        for line in (self.name, self.position, self.date):
            line.returnPressed.connect(self._begin)
            line.textEdited.connect(lambda _text, line=line: self._refuse(line, ""))
        self._filled = False
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(_SOON_MS)
        self._soon.timeout.connect(self.fill_regions)

    def showEvent(self, event: QShowEvent) -> None:
        """Read the regions once the form can be seen."""
        super().showEvent(event)
        if not self._filled:
            self._soon.start()

    @property
    def region(self) -> QComboBox:
        """The regions that are known."""
        if not self._filled:
            self.fill_regions()
        return self._region

    @staticmethod
    def _line(name: str, hint: str) -> QLineEdit:
        line = QLineEdit()
        line.setAccessibleName(name)
        line.setPlaceholderText(hint)
        line.setFont(letters.font(letters.DATA_PX))
        return line

    def fill_regions(self) -> None:
        """Offer the regions that are known, a user's own with them."""
        from survey_app.spectrum.regions import load_regions
        from survey_app.spectrum.user_folder import user_regions_folder

        self._filled = True
        try:
            regions = load_regions(user_regions_folder())
        except SurveyError as error:
            regions = load_regions()
            self._refuse(self.region, error.sentence())
        self.region.clear()
        self.region.addItem(_NOT_CHOSEN, None)
        for region in regions.regions:
            self.region.addItem(f"{region.region}  {region.name}", region.region)

    def _refuse(self, field: QWidget, sentence: str) -> None:
        self.reason[field].setText(sentence)
        field.setAccessibleDescription(sentence)
        field.setProperty("refused", "true" if sentence else "false")
        field.style().unpolish(field)
        field.style().polish(field)
        if sentence:
            field.setFocus()

    def _begin(self) -> None:
        site = self._made()
        if site is not None:
            self.begun.emit(site)

    def _made(self) -> Site | None:
        """Return the site, or say at the field why there is none."""
        for field in self.reason:
            self._refuse(field, "")
        if not self.name.text().strip():
            self._refuse(self.name, "A site needs a name.")
            return None
        try:
            anchor = self._anchor()
        except SurveyError as error:
            self._refuse(self.position, error.sentence())
            return None
        try:
            date = datetime.date.fromisoformat(self.date.text().strip())
        except ValueError:
            self._refuse(self.date, "This is no date; write it as 2026-12-01.")
            return None
        try:
            return new_site(self.name.text().strip(), as_of=date, anchor=anchor, region=self.region.currentData())
        except ValidationError as error:
            fault = faults_of(error, Design)[0]
            place: dict[str, QWidget] = {"as_of": self.date, "region": self.region, "plane": self.position}
            field = next((one for key, one in place.items() if key in fault.place), self.name)
            self._refuse(field, f"{fault.sentence}.")
            return None

    def _anchor(self) -> Anchor | None:
        text = self.position.text().strip()
        if not text:
            return None
        found = parse_position(text.replace("\N{MINUS SIGN}", "-"))
        return Anchor(lat_deg=found.lat_deg, lon_deg=found.lon_deg)
