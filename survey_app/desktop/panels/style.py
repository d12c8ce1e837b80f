"""The one style sheet of the window, made from the palette: flat, square, frames of one pixel."""

from __future__ import annotations

from survey_app.desktop.letters import DATA_PX, FAMILIES, HEAD_PX, NAME_PX, NOTE_PX, SELECTED_PX
from survey_app.desktop.palette import Palette

__all__ = ["style_sheet"]

_TITLE_PX = 26
_LENGTHS_PX = (3, 4, 5, 7, 9, 13, 14, 17)

_SHEET = """
* {{ font-family: {families}; font-size: {name}px; border-radius: 0px; outline: none; }}
QWidget {{ color: {ink}; }}
QMainWindow, QDialog, QWidget#notes, QWidget[part="page"], QScrollArea, QScrollArea > QWidget > QWidget {{
    background: {card}; }}
QToolTip {{ background: {card}; color: {ink}; border: 1px solid {ink}; padding: 3px; font-size: {note}px; }}

QFrame#notes {{ border: none; border-left: 2px solid {ink}; }}
QLabel {{ background: transparent; }}
QLabel[part="head"] {{ color: {ink2}; font-size: {head}px; letter-spacing: 1px; }}
QLabel[part="title"] {{ font-size: {title}px; font-weight: bold; letter-spacing: 3px; }}
QLabel[part="long"] {{ font-size: {note}px; }}
QLabel[part="name"] {{ color: {ink2}; }}
QLabel[part="soft"], QLabel[part="hint"] {{ color: {ink2}; font-size: {note}px; }}
QLabel[part="hint"] {{ font-style: italic; }}
QLabel[part="reason"] {{ color: {ink}; font-size: {note}px; font-weight: bold; border-left: 3px solid {ink};
    padding-left: 5px; }}
QLabel[part="selected"] {{ font-size: {selected}px; font-weight: bold; }}
QLabel[part="selected"][ink="radio"] {{ color: {radio}; }}
QLabel[part="selected"][ink="camera"] {{ color: {camera}; }}
QLabel[part="selected"][ink="wire"] {{ color: {wire}; }}
QLabel[part="strong"] {{ font-weight: bold; }}
QLabel[part="said"] {{ font-size: {name}px; padding-bottom: {p4}px; }}
QFrame[part="rule"] {{ background: {ink}; border: none; min-height: 2px; max-height: 2px; }}
QFrame[part="row"] {{ border: none; border-bottom: 1px solid {hair}; background: transparent; }}

QLineEdit, QComboBox, QPlainTextEdit, QDateEdit, QSpinBox {{ background: {card}; color: {ink};
    border: 1px solid {ink3}; padding: 1px 4px; min-height: {p17}px; font-size: {name}px;
    selection-background-color: {marked}; selection-color: {ink}; }}
QLineEdit:focus, QComboBox:focus, QPlainTextEdit:focus, QDateEdit:focus, QSpinBox:focus {{
    border: 2px dashed {ink}; padding: 0px 3px; }}
QLineEdit[refused="true"], QComboBox[refused="true"], QPlainTextEdit[refused="true"] {{
    border: 2px solid {ink}; padding: 0px 3px; }}
QLineEdit:disabled, QComboBox:disabled {{ color: {ink2}; border-color: {hair}; }}
QComboBox QLineEdit {{ border: none; padding: 0px; min-height: 0px; }}
QComboBox::drop-down {{ border: none; width: {p14}px; }}
QComboBox::down-arrow {{ image: none; width: 0px; height: 0px; border-left: {p4}px solid {card};
    border-right: {p4}px solid {card}; border-top: {p5}px solid {ink2}; }}
QSpinBox::up-button, QSpinBox::down-button, QDateEdit::up-button, QDateEdit::down-button {{ border: none;
    background: {card}; width: {p14}px; }}
QSpinBox::up-arrow, QSpinBox::down-arrow {{ image: none; width: 0px; height: 0px; border-left: {p4}px solid {card};
    border-right: {p4}px solid {card}; }}
QSpinBox::up-arrow {{ border-bottom: {p5}px solid {ink2}; }}
QSpinBox::down-arrow {{ border-top: {p5}px solid {ink2}; }}
QSpinBox::up-arrow:off, QSpinBox::up-arrow:disabled {{ border-bottom-color: {hair}; }}
QSpinBox::down-arrow:off, QSpinBox::down-arrow:disabled {{ border-top-color: {hair}; }}
QComboBox QAbstractItemView, QListView[part="offers"] {{ background: {card}; color: {ink}; border: 1px solid {ink};
    selection-background-color: {marked}; selection-color: {ink}; }}
QCheckBox {{ spacing: 6px; border: 2px solid transparent; }}
QCheckBox:focus {{ border: 2px dashed {ink}; }}
QCheckBox::indicator {{ width: {p13}px; height: {p13}px; border: 1px solid {ink2}; background: {card}; }}
QCheckBox::indicator:checked {{ border: 1px solid {ink2}; padding: {p3}px; background-color: {ink};
    background-clip: content; width: {p7}px; height: {p7}px; }}
QCheckBox::indicator:indeterminate {{ background: {hair}; }}

QPushButton, QToolButton {{ background: {card}; color: {ink}; border: 1px solid {ink2}; padding: 3px 8px;
    font-size: {name}px; }}
QPushButton:hover, QToolButton:hover {{ border-color: {hover}; }}
QPushButton:focus, QToolButton:focus {{ border: 2px dashed {ink}; padding: 2px 7px; }}
QPushButton:pressed, QPushButton:checked, QToolButton:checked {{ background: {marked}; }}
QPushButton:disabled, QToolButton:disabled {{ color: {ink2}; border-color: {hair}; }}
QPushButton[part="figure"], QPushButton[part="fold"], QPushButton[part="link"] {{ background: transparent;
    border: 2px solid transparent; padding: 0px 1px; text-align: right; }}
QPushButton[part="fold"], QPushButton[part="link"] {{ text-align: left; color: {ink2}; margin-left: -3px; }}
QPushButton[part="link"] {{ text-decoration: underline; color: {ink}; }}
QPushButton[part="figure"][stale="true"] {{ color: {ink2}; font-style: italic; }}
QPushButton[part="figure"][strong="true"] {{ font-weight: bold; }}
QPushButton[part="figure"]:hover, QPushButton[part="fold"]:hover, QPushButton[part="link"]:hover {{
    border-bottom: 2px solid {hover}; }}
QPushButton[part="figure"]:focus, QPushButton[part="fold"]:focus, QPushButton[part="link"]:focus {{
    border: 2px dashed {ink}; padding: 0px 1px; }}
QPushButton[part="fold"]:checked {{ background: transparent; }}

QAbstractItemView {{ background: {card}; color: {ink}; border: 1px solid {ink3}; gridline-color: {hair};
    alternate-background-color: {card}; selection-background-color: {marked}; selection-color: {ink};
    font-size: {name}px; }}
QAbstractItemView:focus {{ border: 2px dashed {ink}; }}
QComboBox QAbstractItemView:focus {{ border: 1px solid {ink}; }}
QAbstractItemView[part="flags"] {{ border: 1px solid transparent; }}
QAbstractItemView[part="flags"]:focus {{ border: 1px dashed {ink}; }}
QTableView::item {{ border-bottom: 1px solid {hair}; padding: 0px 4px; }}
QTableView::item:selected {{ background: {marked}; color: {ink}; }}
QHeaderView {{ background: {card}; border: none; }}
QHeaderView::section {{ background: {card}; color: {ink2}; border: none; border-bottom: 2px solid {ink};
    border-right: 1px solid {hair}; padding: 3px 5px; font-size: {head}px; }}
QTableCornerButton::section {{ background: {card}; border: none; }}
QTextBrowser {{ background: {card}; color: {ink}; border: none; font-size: {data}px; }}
QTreeView::item {{ padding: 1px 0px; }}
QTreeView::branch {{ background: {card}; }}

QMenuBar, QMenu {{ background: {card}; color: {ink}; font-size: {data}px; }}
QMenuBar::item {{ padding: 4px 9px; background: transparent; }}
QMenuBar::item:selected, QMenu::item:selected {{ background: {marked}; color: {ink}; }}
QMenu {{ border: 1px solid {ink}; padding: 3px 0px; }}
QMenu::item {{ padding: 4px 22px; }}
QMenu::item:disabled {{ color: {ink2}; }}
QMenu::separator {{ height: 1px; background: {hair}; margin: 3px 0px; }}
QTabBar::tab {{ background: {card}; color: {ink2}; border: none; border-bottom: 2px solid {hair}; padding: 4px 10px; }}
QTabBar::tab:selected {{ color: {ink}; border-bottom: 2px solid {ink}; }}
QTabBar::tab:focus {{ border: 2px dashed {ink}; }}
QTabWidget::pane {{ border: none; border-top: 1px solid {hair}; }}
QSplitter::handle {{ background: {card}; }}
QSplitter::handle:hover {{ background: {hair}; }}
QProgressBar {{ border: 1px solid {ink2}; background: {card}; text-align: center; }}
QProgressBar::chunk {{ background: {marked}; }}

QScrollBar {{ background: {card}; border: none; }}
QScrollBar:vertical {{ width: {p9}px; }}
QScrollBar:horizontal {{ height: {p9}px; }}
QScrollBar::handle {{ background: {hair}; border: 1px solid {ink3}; min-height: 24px; min-width: 24px; }}
QScrollBar::handle:hover {{ background: {ink3}; }}
QScrollBar::add-line, QScrollBar::sub-line {{ width: 0px; height: 0px; }}
QScrollBar::add-page, QScrollBar::sub-page {{ background: {card}; }}
"""


def style_sheet(palette: Palette, scale: float = 1.0) -> str:
    """Return the style sheet of the window.

    Parameters
    ----------
    palette : Palette
        Day or night.
    scale : float, default 1
        Scale of letters, 1 to 2.

    Returns
    -------
    str
        Text for `setStyleSheet` of the application or of one window.
    """
    inks = {name.replace(" ", ""): colour.name() for name, colour in palette.inks.items() if colour.alpha() == 255}
    sizes = {
        "title": _TITLE_PX,
        "selected": SELECTED_PX,
        "data": DATA_PX,
        "name": NAME_PX,
        "note": NOTE_PX,
        "head": HEAD_PX,
    }
    return _SHEET.format(
        families=", ".join(f'"{family}"' for family in FAMILIES),
        marked=palette.colour("selected row").name(),
        **{name: f"{size * scale:g}" for name, size in sizes.items()},
        **{f"p{length}": str(round(length * scale)) for length in _LENGTHS_PX},
        **inks,
    )
