"""Every editable field of every kind: what is wrong is refused at the field in words and changes nothing."""

from __future__ import annotations

from operator import attrgetter
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel

from survey_app.desktop.desk import Desk
from survey_app.desktop.panels.editors import ChoiceEditor, LineEditor, SearchEditor, TextEditor, TickEditor
from survey_app.desktop.panels.entries import entries_of
from survey_app.desktop.panels.form import FieldRow
from survey_app.desktop.panels.particulars import Particulars
from survey_app.desktop.panels.values import is_position, read_value, written_value
from survey_app.session.document import Document
from survey_app.site.collection import every_thing
from survey_app.site.shape import fields_of
from survey_app.site.site import Defaults, Design
from tests.desktop.panel_desks import catalogue, choose, open_folds, shown_in, tick, type_into
from tests.site.full_site import full_site

SITE = full_site()
SAME = {"st-2", "plug-2", "w2", "w3", "gate-pole"}  # the forms of others of their kind, field by field
IDS = [thing.id for _, _, thing in every_thing(SITE.design) if thing.id not in SAME]
SENTENCE_MARKS = (".", "?")


def form_of(qtbot: Any, thing_id: str | None) -> tuple[Desk, Particulars]:
    desk = Desk(Document(SITE))
    if thing_id is not None:
        desk.select([thing_id])
    panel = Particulars(desk, catalogue())
    qtbot.addWidget(panel)
    open_folds(panel.form)
    return desk, panel


def typed(panel: Particulars) -> list[FieldRow]:
    return [row for row in panel.form.fields if isinstance(row.editor, LineEditor | SearchEditor | TextEditor)]


def wrong_texts(row: FieldRow) -> list[str]:
    """Return texts that a field must refuse."""
    shape = row.entry.shape
    if isinstance(row.editor, TextEditor):
        return ["w" * 4001]
    if isinstance(row.editor, SearchEditor):
        return ["no such thing at all"]
    if is_position(shape):
        return ["somewhere", "12", "2000000, 0 m", "95 N, 10 E"] + ([] if shape.nullable else [""])
    if shape.holds in ("number", "whole number"):
        return [*(["twelve", "1e999", "4,5", "nan", "--3"]), *out_of_range(shape), *([] if shape.nullable else [""])]
    if shape.holds == "date":
        return ["tomorrow", "2026-13-01", "20261201"] + ([] if shape.nullable else [""])
    if shape.lists:
        return ["no-such-id"] if row.entry.reference is not None else ["a" * 50]
    return wrong_words(row)


def out_of_range(shape: Any) -> list[str]:
    low = shape.bounds.get("ge", shape.bounds.get("gt"))
    high = shape.bounds.get("le", shape.bounds.get("lt"))
    texts = []
    if low is not None:
        texts.append(f"{low - 1:.0f}" if shape.holds == "whole number" else f"{low - 0.5:.3f}")
    if high is not None:
        texts.append(f"{high + 1:.0f}" if shape.holds == "whole number" else f"{high + 0.5:.3f}")
    return [*texts, "3.5"] if shape.holds == "whole number" else texts


def wrong_words(row: FieldRow) -> list[str]:
    if row.entry.path == "id":
        return ["two words", "w" * 41, "", "ä"]
    if row.entry.path == "country":
        return ["Denmark", "d"]
    longest = row.entry.shape.bounds["max_length"]
    return ["w" * (longest + 1)] + ([""] if row.entry.shape.bounds.get("min_length") else [])


@pytest.mark.parametrize("thing_id", [None, *IDS], ids=lambda value: value or "the site")
def test_what_is_wrong_is_refused_at_its_field_and_the_document_stays(qtbot, thing_id):
    desk, panel = form_of(qtbot, thing_id)
    said: list[str] = []
    desk.said.connect(said.append)
    rows = typed(panel)
    assert rows
    for row in rows:
        for text in wrong_texts(row):
            type_into(row, text)
            place = f"{thing_id} {row.entry.path} {text[:20]!r}"
            assert row.reason, place
            assert row.reason.endswith(SENTENCE_MARKS), place
            assert row.reason[0].isupper() or not row.reason[0].isalpha(), place
            assert shown_in(row) == text, place
            assert desk.site is SITE, place
            assert row.editor.inner.accessibleDescription() == f"refused: {row.reason}"
    # the reason stands at the field: nothing is said elsewhere, nothing modal opens
    assert said == []


@pytest.mark.parametrize("thing_id", [None, "ap", "wall-mount", "eye-1"], ids=lambda value: value or "the site")
def test_escape_takes_back_what_was_refused(qtbot, thing_id):
    _, panel = form_of(qtbot, thing_id)
    for row in typed(panel)[:6]:
        before = shown_in(row)
        type_into(row, wrong_texts(row)[0])
        target = row.editor.inner.lineEdit() if isinstance(row.editor, SearchEditor) else row.editor.inner
        QTest.keyClick(target, Qt.Key.Key_Escape)
        assert shown_in(row) == before
        assert row.reason == ""


@pytest.mark.parametrize("thing_id", IDS)
def test_empty_means_none_where_a_field_may_be_empty(qtbot, thing_id):
    desk, panel = form_of(qtbot, thing_id)
    for row in typed(panel):
        path = row.entry.path
        searched = isinstance(row.editor, SearchEditor)
        if not row.entry.shape.nullable or row.entry.value is None or searched or row.entry.thing_id != thing_id:
            continue
        type_into(row, "")
        assert row.reason == "", path
        part = path.partition(".")[0] if row.entry.lead is not None else path
        assert attrgetter(part)(desk.things[thing_id]) is None, path
        desk.undo()
        assert desk.site is SITE


@pytest.mark.parametrize("thing_id", IDS)
def test_every_number_takes_a_value_inside_its_range(qtbot, thing_id):
    desk, panel = form_of(qtbot, thing_id)
    for path in [row.entry.path for row in typed(panel) if row.entry.shape.holds in ("number", "whole number")]:
        if all(one.entry.key != (thing_id, path) for one in panel.form.fields):
            continue
        row = panel.form.field(path, thing_id)
        low = row.entry.shape.bounds.get("ge", 0)
        high = row.entry.shape.bounds.get("le", row.entry.shape.bounds.get("lt", low + 2))
        wanted = max(low, min(high, low + 1)) if row.entry.shape.holds == "whole number" else low + (high - low) / 4
        if path == "guard_interval_us":
            wanted = 1.6
        type_into(row, f"{wanted:.6f}" if row.entry.shape.holds == "number" else f"{wanted:.0f}")
        assert row.reason == "", f"{path}: {row.reason}"
        assert attrgetter(path)(desk.things[thing_id]) == pytest.approx(wanted, abs=1e-6)


@pytest.mark.parametrize("thing_id", IDS)
def test_every_choice_is_set_or_refused_in_words(qtbot, thing_id):
    desk, panel = form_of(qtbot, thing_id)
    paths = [row.entry.path for row in panel.form.fields if isinstance(row.editor, ChoiceEditor)]
    for path in paths:
        editor = panel.form.field(path).editor
        assert isinstance(editor, ChoiceEditor)
        for number, value in enumerate(editor.choices):
            choose(panel.form.field(path), number)
            now = attrgetter(path)(desk.things[thing_id])
            assert now == value or panel.form.field(path).reason.endswith("."), f"{path} {value}"
        while desk.site is not SITE:
            desk.undo()


@pytest.mark.parametrize("thing_id", IDS)
def test_every_tick_turns_its_claim(qtbot, thing_id):
    desk, panel = form_of(qtbot, thing_id)
    for path in [row.entry.path for row in panel.form.fields if isinstance(row.editor, TickEditor)]:
        before = attrgetter(path)(desk.things[thing_id])
        tick(panel.form.field(path))
        assert attrgetter(path)(desk.things[thing_id]) is not before


@pytest.mark.parametrize("thing_id", IDS)
def test_every_field_of_the_records_is_in_the_form(thing_id):
    thing = next(thing for _, _, thing in every_thing(SITE.design) if thing.id == thing_id)
    heads = {entry.path.partition(".")[0] for entry in entries_of(SITE, thing)}
    drawn = {"outline", "holes", "route", "control_points"}  # on the plan, point by point
    other_role = {"channel", "network_name", "isolation", "radar_spare", "bridge"} if hasattr(thing, "role") else set()
    structure_kind = {"kind"} if hasattr(thing, "base_m") else set()
    fields = set(fields_of(type(thing)))
    left = fields - heads - drawn - other_role - structure_kind
    assert left == set()


def test_every_figure_of_judgement_is_in_the_form_of_the_site(qtbot):
    _, panel = form_of(qtbot, None)
    shown = {row.entry.path for row in panel.form.fields}
    assert {f"defaults.{name}" for name in fields_of(Defaults)} <= shown
    plain = {name for name, shape in fields_of(Design).items() if not shape.lists and not shape.records}
    assert plain <= shown


def test_each_editor_has_a_name_and_says_what_it_means(qtbot):
    for thing_id in [None, "office", "wall-mount", "ap", "eye-1", "w1", "note"]:
        _, panel = form_of(qtbot, thing_id)
        for row in panel.form.fields:
            assert row.editor.inner.accessibleName() == row.entry.label
            assert row.editor.inner.accessibleDescription()
            assert row.editor.inner.focusPolicy().value & 1, row.entry.path


def test_shown_numbers_read_back_as_they_are():
    for _, _, thing in every_thing(SITE.design):
        for entry in entries_of(SITE, thing):
            if entry.shape.holds in ("number", "whole number") and not entry.shape.lists:
                assert read_value(entry.shape, written_value(entry.shape, entry.value)) == entry.value or (
                    entry.value is None
                )


def test_reason_of_a_refusal_is_scrolled_into_view(qtbot):
    """In a low window the reason stood below the edge of the form, half cut."""
    _, panel = form_of(qtbot, IDS[0])
    panel.resize(268, 200)
    panel.show()
    qtbot.waitExposed(panel)
    for row in [row for row in typed(panel) if wrong_texts(row)][:6]:
        panel.view.verticalScrollBar().setValue(0)
        row.refuse(
            "A number in metres is needed here, for instance 12.5, and no words at all, which nobody can add up."
        )
        reason = row.findChildren(QLabel)[1]

        def whole(reason=reason):
            top = reason.mapTo(panel.view.viewport(), reason.rect().topLeft()).y()
            assert top >= 0
            assert top + reason.height() <= panel.view.viewport().height()

        qtbot.waitUntil(whole)
