"""Locked things: what is refused, what is not."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from survey_app.errors import UsageError
from survey_app.session import History
from survey_app.site import Site, edits
from survey_app.site.collection import COLLECTIONS
from survey_app.site.edits import Edit
from survey_app.site.place import EdgePlace
from tests.site.full_site import at, full_site
from tests.site.sound import sound, unshared


def _locked(*ids: str) -> Site:
    return edits.set_locked(Site(design=full_site().design), ids, True).after


@pytest.mark.parametrize(
    ("thing", "edit"),
    [
        ("gate-pole", lambda site: edits.move_by(site, "gate-pole", dx_m=1.0, dy_m=0.0)),
        ("gate-pole", lambda site: edits.move_to(site, "gate-pole", at(1.0, 1.0))),
        ("gate-pole", lambda site: edits.remove(site, "gate-pole", cascade=True)),
        ("gate-pole", lambda site: edits.rotate(site, ["gate-pole"], 15.0, at(0.0, 0.0))),
        ("gate-pole", lambda site: edits.align(site, ["gate-pole", "crane"], "right")),
        # the note in the middle is the one that would move
        ("note", lambda site: edits.distribute(site, ["gate-pole", "note", "crane"], "x")),
        ("gate-pole", lambda site: edits.change(site, "gate-pole", position=at(1.0, 1.0))),
        ("gate-mount", lambda site: edits.remove(site, "gate-pole", cascade=True)),
        ("roof-mount", lambda site: edits.move_by(site, "office", dx_m=1.0, dy_m=0.0)),
        ("wall-mount", lambda site: edits.slide(site, "wall-mount", 1.0)),
        ("office", lambda site: edits.move_corner(site, "office", 0, at(-1.0, 0.0))),
        ("office", lambda site: edits.insert_corner(site, "office", 1, at(5.0, 0.0))),
        ("office", lambda site: edits.move_edge(site, "office", 2, 1.0)),
        ("st", lambda site: edits.hang(site, "st", "roof-mount")),
        ("door", lambda site: edits.change(site, "door", along_m=2.0)),
        ("sheet", lambda site: edits.move_by(site, "sheet", dx_m=1.0, dy_m=0.0)),
        ("lane", lambda site: edits.remove(site, "lane")),
    ],
)
def test_locked_thing_is_neither_moved_nor_removed(thing: str, edit: Callable[[Site], Edit]) -> None:
    site = _locked(thing)
    with pytest.raises(UsageError, match="is locked; unlock it first"):
        edit(site)
    unlocked = edits.set_locked(site, [thing], False).after
    assert not edit(unlocked).changes_nothing


def test_locked_thing_can_be_renamed_changed_and_followed() -> None:
    site = _locked("office", "wall-mount", "gate-pole", "gate-mount")
    sound(edits.rename(site, "office", "house"))
    sound(edits.change(site, "gate-pole", height_m=7.0))
    sound(edits.set_height(site, "wall-mount", 4.0, "ground"))
    sound(edits.set_status(site, "office", status="existing"))
    sound(edits.remove(site, "ladder"))
    sound(edits.duplicate(site, ["gate-pole"], 5.0, 5.0))


def test_locked_mount_keeps_its_wall_when_corners_are_renumbered() -> None:
    site = _locked("wall-mount")
    after = sound(edits.insert_corner(site, "office", 1, at(9.0, 0.0)))
    assert after.design.mounts[0].place == EdgePlace(kind="edge", edge=2, along_m=4.5)


def test_copy_of_a_locked_thing_is_free() -> None:
    site = _locked("gate-pole")
    edit = edits.duplicate(site, ["gate-pole"], 5.0, 5.0)
    assert [row.locked for row in edit.after.design.structures if row.id in ("gate-pole", "gate-pole-2")] == [
        True,
        False,
    ]


def test_lock_is_a_step_with_a_name_that_can_be_undone() -> None:
    site = full_site()
    edit = edits.set_locked(site, ["gate-pole", "st"], True)
    assert edit.label == "Lock 2 things"
    assert unshared(site, sound(edit)) == {"structures", "radios"}
    assert edits.set_locked(edit.after, ["gate-pole"], True).changes_nothing
    assert edits.set_locked(edit.after, ["gate-pole"], False).label == "Unlock Pole gate-pole"
    history = History(site)
    history.apply(edit)
    assert history.undo() is site


def test_lock_of_everything_holds_everything() -> None:
    site = Site(design=full_site().design)
    every = [thing.id for one in COLLECTIONS for thing in getattr(site.design, one.name)]
    locked = sound(edits.set_locked(site, every, True))
    for one in every:
        with pytest.raises(UsageError, match="is locked"):
            edits.remove(locked, one, cascade=True)


def test_moves_that_join_say_how_far_it_went_in_all() -> None:
    history = History(full_site())
    for _ in range(4):
        history.apply(edits.move_by(history.current, "gate-pole", dx_m=3.0, dy_m=4.0))
    assert history.labels == ("Move Pole gate-pole by 20.0 m",)


@pytest.mark.parametrize(
    ("ids", "units", "label"),
    [
        (["gate-pole"], "metric", "Move Pole gate-pole by 5.0 m"),
        (["gate-pole"], "feet", "Move Pole gate-pole by 16.4 ft"),
        (["gate-pole", "crane"], "both", "Move 2 things by 5.0 m"),
        (["office"], "metric", "Move Building Büro „Süd“ by 5.0 m"),
        (["sheet"], "metric", "Move Plan picture sheet by 5.0 m"),
    ],
)
def test_move_says_what_and_how_far(ids: list[str], units: str, label: str) -> None:
    site = edits.change_design(full_site(), units=units).after
    edit = edits.move_by(site, *ids, dx_m=3.0, dy_m=-4.0)
    sound(edit)
    assert edit.label == label


def test_move_of_a_plan_picture_takes_its_known_points_along() -> None:
    (picture,) = edits.move_by(full_site(), "sheet", dx_m=1.0, dy_m=2.0).after.design.plan_pictures
    assert [point.position for point in picture.control_points] == [at(-89.0, -48.0), at(111.0, -48.0)]
    assert [point.x_px for point in picture.control_points] == [100.0, 1100.0]


def test_name_that_says_the_kind_is_not_told_twice() -> None:
    site = edits.change(full_site(), "gate-pole", name="Pole 3").after
    assert edits.move_by(site, "gate-pole", dx_m=4.2, dy_m=0.0).label == "Move Pole 3 by 4.2 m"
    assert edits.move_to(site, "gate-pole", at(-60.0, 12.5)).changes_nothing
    assert edits.move_to(site, "gate-pole", at(-60.0, 14.5)).label == "Move Pole 3 by 2.0 m"
