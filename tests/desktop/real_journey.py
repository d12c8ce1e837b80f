"""One journey in a window of its own process: `python -m tests.desktop.real_journey WHAT FOLDER`.

`draw` draws a yard by hand, saves it into the folder and leaves; `die` draws it and is killed once its hands have
rested; `recover` opens what was left and says what is offered, then and after it was saved.
"""

from __future__ import annotations

import datetime
import os
import sys
import time
from collections.abc import Callable
from pathlib import Path

from PySide6.QtWidgets import QApplication

from survey_app.desktop.letters import font, load_fonts
from survey_app.desktop.shell.application import Judge
from survey_app.desktop.shell.opening import opened
from survey_app.desktop.shell.preferences import Preferences
from survey_app.desktop.shell.window import Window
from survey_app.site.file import write_site
from survey_app.site.new import new_site
from survey_app.site.place import Anchor
from tests.desktop.hand import Hand

PATIENCE_S = 60.0


class _Waits:
    """Waits as a test does, without one."""

    def waitUntil(self, holds: Callable[[], bool], timeout: int = 5000) -> None:
        end = time.monotonic() + max(timeout / 1000.0, PATIENCE_S)
        while not holds():
            if time.monotonic() > end:
                raise TimeoutError("it did not come about")
            QApplication.processEvents()
            time.sleep(0.005)


def main() -> None:
    """Go on the journey that the arguments name."""
    what, folder = sys.argv[1], Path(sys.argv[2])
    application = QApplication(sys.argv[:1])
    application.setStyle("Fusion")
    load_fonts()
    application.setFont(font(13))
    print("platform", application.platformName(), flush=True)
    if not (folder / "site.json").exists():
        site = new_site(
            "Quarry yard", as_of=datetime.date(2026, 12, 1), anchor=Anchor(lat_deg=56.3, lon_deg=11.8), region="EU"
        )
        write_site(site, folder)
    document = opened(folder)
    window = Window(document, Judge(), Preferences())
    window.resize(1600, 1000)
    window.show()
    window.opening.ask_what_waits()
    waits = _Waits()
    # a display gives the window its size when it likes to
    handle = window.windowHandle()
    waits.waitUntil(lambda: handle.isExposed() and window.canvas.viewport().width() > 500)
    window.activateWindow()
    waits.waitUntil(window.isActiveWindow)
    window.canvas.setFocus()
    waits.waitUntil(lambda: window.desk.is_fresh)
    if what == "recover":
        waits.waitUntil(lambda: window.isVisible())
        print("offer", window.notice.sentence, flush=True)
        if window.notice.buttons:
            window.notice.buttons[0].click()
        print("poles", len(window.desk.site.design.structures), flush=True)
        window.menus.action("site.save").trigger()
    else:
        hand = Hand(window, waits)
        hand.look(60, 40, 5.0)
        _draw(hand)
        hand.settle()
        print("drawn", len(window.desk.site.design.structures), flush=True)
        if what == "die":
            waits.waitUntil(lambda: not window.is_restless)
            print("resting", flush=True)
            os.kill(os.getpid(), 9)
        window.grab().save(str(folder / "window.png"))
        window.menus.action("site.save").trigger()
    saved = window.desk.document.is_saved
    print("saved", saved, flush=True)
    window.close()
    if what == "recover":
        print("left", opened(folder).offer, flush=True)


def _draw(hand: Hand) -> None:
    from PySide6.QtCore import Qt

    hand.key(Qt.Key.Key_P)
    hand.click(30, 60)
    hand.click(110, 20)
    hand.key(Qt.Key.Key_A)
    hand.click(30, 60)
    hand.key(Qt.Key.Key_N)
    hand.click(110, 20)
    hand.key(Qt.Key.Key_H)
    hand.drag((110, 20), (70, 40), (30, 60))


if __name__ == "__main__":
    main()
