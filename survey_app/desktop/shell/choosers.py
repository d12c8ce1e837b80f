"""Where the window asks a person for a file, a folder or a yes: one place, so that a test can answer."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QFileDialog, QMessageBox, QWidget

__all__ = ["Choosers"]


class Choosers:
    """The questions that the system's own choosers ask.

    Parameters
    ----------
    window : QWidget
        Over which window they open.
    """

    def __init__(self, window: QWidget) -> None:
        self._window = window

    def site_to_open(self, folder: str) -> Path | None:
        """Ask for a site file."""
        path, _ = QFileDialog.getOpenFileName(self._window, "Open a site", folder, "Site files (*.json)")
        return Path(path) if path else None

    def folder_to_save(self, folder: str, name: str) -> Path | None:
        """Ask where the folder of a site goes and how it is called; the folder need not exist yet.

        Parameters
        ----------
        folder : str
            Where it was asked last.
        name : str
            A name for the new folder.
        """
        path, _ = QFileDialog.getSaveFileName(
            self._window,
            "Save the site as a folder of its own",
            str(Path(folder) / name),
            options=QFileDialog.Option.DontConfirmOverwrite,
        )
        return Path(path) if path else None

    def unsaved(self, name: str) -> str:
        """Ask what becomes of unsaved work: `save`, `discard` or `stay`."""
        box = QMessageBox(self._window)
        box.setWindowTitle("Unsaved work")
        box.setText(f"{name} has changes that no file holds.")
        box.setInformativeText("Save them, leave them behind, or stay.")
        save = box.addButton("Save", QMessageBox.ButtonRole.AcceptRole)
        discard = box.addButton("Leave without saving", QMessageBox.ButtonRole.DestructiveRole)
        stay = box.addButton("Stay", QMessageBox.ButtonRole.RejectRole)
        box.setDefaultButton(save)
        box.setEscapeButton(stay)
        box.exec()
        clicked = box.clickedButton()
        return {save: "save", discard: "discard"}.get(clicked, "stay")  # type: ignore[call-overload]
