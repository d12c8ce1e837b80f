"""The one history: what was done, undone and done again."""

from __future__ import annotations

import pytest

from survey_app.errors import UsageError
from survey_app.session import History
from survey_app.site import Site, checksum, edits
from survey_app.site.edits import Edit
from survey_app.site.edits.sharing import with_fields
from survey_app.site.evidence import Evidence, Reading
from tests.site.full_site import MOMENT, full_site


def _reading(note: str = "") -> Reading:
    return Reading(at=MOMENT, by="me", hop="hop", end="station", level_dbm=-55.0, note=note)


def test_undo_and_redo_return_the_very_same_values() -> None:
    first = full_site()
    history = History(first)
    values = [first]
    for height in (5.0, 5.5, 6.5):
        history.seal()
        values.append(history.apply(edits.change(history.current, "gate-mount", height_m=height)))
    for value in reversed(values[:-1]):
        assert history.undo() is value
    for value in values[1:]:
        assert history.redo() is value
    assert history.current is values[-1]


def test_labels_are_those_of_the_edits() -> None:
    history = History(full_site())
    assert (history.undo_label, history.redo_label, history.labels) == (None, None, ())
    history.apply(edits.change(history.current, "gate-mount", height_m=5.0))
    history.apply(edits.set_region(history.current, "GB"))
    assert history.labels == ("Set height of Mount gate-mount", "Set region of the site")
    history.undo()
    assert (history.undo_label, history.redo_label) == ("Set height of Mount gate-mount", "Set region of the site")


def test_a_new_edit_after_undo_forgets_what_was_undone() -> None:
    history = History(full_site())
    history.apply(edits.set_revision(history.current, "B"))
    history.undo()
    history.apply(edits.set_revision(history.current, "C"))
    assert history.redo_label is None
    with pytest.raises(UsageError, match="nothing to do again"):
        history.redo()


def test_undo_when_there_is_nothing_is_refused() -> None:
    with pytest.raises(UsageError, match="nothing to undo"):
        History(full_site()).undo()


def test_edits_with_the_same_merge_key_make_one_step() -> None:
    first = full_site()
    history = History(first)
    for height in range(10, 60):
        history.apply(edits.change(history.current, "gate-mount", height_m=height / 10))
    assert len(history.labels) == 1
    assert history.current.design.mounts[1].height_m == 5.9
    assert history.undo() is first


@pytest.mark.parametrize("end", ["seal", "mark_saved", "other", "undo"])
def test_a_step_that_has_ended_takes_no_more_edits(end: str) -> None:
    history = History(full_site())
    history.apply(edits.change(history.current, "gate-mount", height_m=5.0))
    if end == "other":
        history.apply(edits.set_revision(history.current, "B"))
    elif end == "undo":
        history.apply(edits.set_revision(history.current, "B"))
        history.undo()
    else:
        getattr(history, end)()
    before = len(history.labels)
    history.apply(edits.change(history.current, "gate-mount", height_m=5.5))
    assert len(history.labels) == before + 1


def test_an_edit_that_changes_nothing_is_no_step() -> None:
    first = full_site()
    history = History(first)
    assert history.apply(edits.change(first, "gate-mount", height_m=6.0)) is first
    assert history.labels == ()


def test_an_edit_of_an_older_design_is_refused() -> None:
    history = History(full_site())
    stale = edits.set_revision(history.current, "B")
    history.apply(edits.set_region(history.current, "GB"))
    with pytest.raises(UsageError, match="has changed since"):
        history.apply(stale)


def test_undo_never_takes_evidence_away() -> None:
    first = full_site()
    history = History(first)
    for number in range(3):
        history.seal()
        history.apply(edits.change(history.current, "gate-mount", height_m=5.0 + number))
    designs = [history.current.design]
    history.apply(edits.add_evidence(history.current, _reading()))
    assert len(history.labels) == 3
    for _ in range(3):
        history.undo()
        designs.append(history.current.design)
        assert history.current.evidence.readings[-1] == _reading()
    assert history.current.design is first.design
    assert checksum(history.current.design) == checksum(first.design)
    for _ in range(3):
        history.redo()
    assert history.current.design is designs[0]
    assert history.current.evidence.readings[-1] == _reading()


def test_removing_a_thing_keeps_its_evidence_also_over_undo_and_redo() -> None:
    history = History(full_site())
    history.apply(edits.add_evidence(history.current, _reading()))
    evidence = history.current.evidence
    history.apply(edits.remove(history.current, "hop"))
    assert history.current.evidence is evidence
    history.undo()
    history.redo()
    assert history.current.evidence is evidence
    assert history.current.design.hops == ()


def test_an_edit_made_before_a_reading_came_in_keeps_the_reading() -> None:
    history = History(full_site())
    design_edit = edits.set_revision(history.current, "B")
    other_reading = edits.add_evidence(history.current, _reading("second"))
    history.apply(edits.add_evidence(history.current, _reading("first")))
    history.apply(design_edit)
    assert history.current.design.revision == "B"
    assert [row.note for row in history.current.evidence.readings][-1] == "first"
    with pytest.raises(UsageError, match="has changed since"):
        history.apply(other_reading)


def test_two_readings_made_from_the_same_site_are_both_kept() -> None:
    history = History(full_site())
    both = [edits.add_evidence(history.current, _reading(note)) for note in ("first", "second")]
    for edit in both:
        history.apply(edit)
    assert [row.note for row in history.current.evidence.readings[-2:]] == ["first", "second"]


def test_an_edit_that_takes_evidence_away_is_refused() -> None:
    site = full_site()
    history = History(site)
    after = with_fields(site, evidence=Evidence())
    with pytest.raises(UsageError, match="only ever added"):
        history.apply(Edit("Forget", site, after, ()))
    changed = with_fields(site, evidence=with_fields(site.evidence, readings=(_reading(),)))
    with pytest.raises(UsageError, match="only ever added"):
        history.apply(Edit("Better", site, changed, ()))
    assert history.current is site


def test_saved_mark_follows_undo_and_evidence() -> None:
    history = History(full_site())
    assert history.is_saved
    history.apply(edits.set_revision(history.current, "B"))
    assert not history.is_saved
    history.undo()
    assert history.is_saved
    history.redo()
    history.mark_saved()
    assert history.is_saved
    history.apply(edits.add_evidence(history.current, _reading()))
    assert not history.is_saved
    history.mark_saved()
    history.mark_unsaved()
    assert not history.is_saved


def test_saved_mark_when_an_edit_came_while_the_file_was_written_stays_off() -> None:
    history = History(full_site())
    history.apply(edits.set_revision(history.current, "B"))
    written = history.current
    history.apply(edits.set_region(history.current, "GB"))
    history.mark_saved(written)
    assert not history.is_saved
    history.undo()
    assert history.is_saved


def test_history_when_it_grows_too_large_forgets_the_oldest_steps() -> None:
    history = History(full_site(), most_bytes=20_000)
    for number in range(100):
        history.apply(edits.set_revision(history.current, f"R{number}")._replace(merge_key=""))
    assert 5 < len(history.labels) < 20
    while history.undo_label is not None:
        history.undo()
    assert history.current.design.revision != "A"
    assert isinstance(history.current, Site)
