"""Makes the approved pictures of the plan: `python -m tests.desktop.approved.make [day|night OUT]`. Look at them."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage

FOLDER = Path(__file__).resolve().parent
SMOOTH = Qt.TransformationMode.SmoothTransformation
_WIDTH, _HEIGHT = 520, 360


def picture(light: str) -> QImage:
    """Return the plan of the small site with a hop selected."""
    from PySide6.QtWidgets import QApplication

    from survey_app.desktop.canvas.canvas import PlatCanvas
    from survey_app.desktop.desk import Desk
    from survey_app.desktop.palette import lights
    from survey_app.session.document import Document
    from tests.desktop.plain_drawer import PlainDrawer
    from tests.desktop.test_canvas import small_site

    lights().choose(light)
    desk = Desk(Document(small_site()))
    canvas = PlatCanvas(desk, drawer=PlainDrawer())
    canvas.resize(_WIDTH, _HEIGHT)
    canvas.show()
    QApplication.processEvents()
    desk.select(["h1"])
    canvas.rested()
    found = canvas.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)
    canvas.close()
    canvas.deleteLater()
    lights().choose("day")
    return found


def pixels(image: QImage) -> np.ndarray:
    """Return an image as numbers 0 to 1, shape (height, width, 3)."""
    plain = image.convertToFormat(QImage.Format.Format_RGB32)
    raw = np.frombuffer(plain.constBits(), dtype=np.uint8).reshape(plain.height(), plain.bytesPerLine() // 4, 4)
    return raw[:, : plain.width(), :3].astype(np.float64) / 255.0


def difference(one: QImage, other: QImage) -> float:
    """Return the root mean square difference over tiles of 4 × 4, so that a hair's shift of an edge counts little."""
    a, b = (_tiles(pixels(image)) for image in (one, other))
    return float(np.sqrt(np.mean((a - b) ** 2)))


def _tiles(values: np.ndarray) -> np.ndarray:
    height, width = values.shape[0] // 4 * 4, values.shape[1] // 4 * 4
    return values[:height, :width].reshape(height // 4, 4, width // 4, 4, 3).mean(axis=(1, 3))


def sharpness(image: QImage) -> float:
    """Return the mean square step between neighbouring pixels."""
    values = pixels(image)
    return float(np.mean(np.diff(values, axis=0) ** 2) + np.mean(np.diff(values, axis=1) ** 2))


def main() -> int:
    """Write both pictures, or one into a file of its own."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from PySide6.QtWidgets import QApplication

    application = QApplication([])
    if len(sys.argv) == 3:
        picture(sys.argv[1]).save(sys.argv[2])
    else:
        for light in ("day", "night"):
            picture(light).save(str(FOLDER / f"plan-{light}.png"))
    application.processEvents()
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
