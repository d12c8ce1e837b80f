"""Nothing lost: what is kept, when it is offered, when it is doubtful and moved aside, when it goes away."""

from __future__ import annotations

import os
import platform
import threading
from pathlib import Path

import pytest

from survey_app.errors import UsageError
from survey_app.session import Document, orphans, recover, set_orphan_aside
from survey_app.session import keeper as keeper_module
from survey_app.session.owner import Owner, this_process
from survey_app.session.recovery import DoubtfulError
from survey_app.session.state_folder import StateFolder
from survey_app.site import Site, edits
from survey_app.site.evidence import Sight
from survey_app.site.file import read_site, write_site
from tests.session.lives import Worker, aside, dead, header, kept, reason, revised, rewrite
from tests.site.full_site import MOMENT, full_site

root_may_write_everywhere = pytest.mark.skipif(
    hasattr(os, "geteuid") and os.geteuid() == 0, reason="the system refuses its administrator nothing"
)


def crashed(yard: Path, state: Path, revision: str = "B", owner: Owner | None = None) -> Site:
    """Leave unsaved work of a process that is gone, and return it."""
    document = Document.open(yard, owner=owner or dead(), state_folder=state)
    site = document.apply(revised(document.site, revision))
    assert document.keep()
    return site


def reopened(yard: Path, state: Path) -> Document:
    return Document.open(yard, state_folder=state)


def nothing_applied(yard: Path, state: Path, words: str) -> Document:
    """Open the site and check that the unsaved work was moved aside for a reason, neither applied nor deleted."""
    (file,) = kept(state)
    data = file.read_bytes()
    document = reopened(yard, state)
    assert document.offer is None
    assert document.site == read_site(yard)
    assert [one.read_bytes() for one in aside(state)] == [data]
    assert words in reason(state)
    (remark,) = document.remarks
    assert words in remark
    assert str(aside(state)[0]) in remark
    assert document.apply(revised(document.site, "Z")).design.revision == "Z"
    assert document.keep()
    document.close()
    assert len(aside(state)) == 1
    return document


# -- offered, taken, set aside


def test_unsaved_work_of_a_process_that_is_gone_is_offered_in_one_sentence(yard: Path, state: Path) -> None:
    document = Document.open(yard, owner=dead(), state_folder=state)
    document.apply(edits.change(document.site, "gate-mount", height_m=5.0))
    document.apply(edits.remove(document.site, "hop"))
    document.apply(edits.add_evidence(document.site, Sight(at=MOMENT, by="me", hop="hop", result="seen")))
    document.apply(revised(document.site, "B"))
    document.keep()
    offer = reopened(yard, state).offer
    assert offer is not None
    counted = offer.changes
    assert (counted.added, counted.changed, counted.removed) == (0, 1, 1)
    assert (counted.evidence, counted.figures) == (1, 1)
    assert "1 thing changed, 1 removed, 1 figure of the whole site set, 1 row of evidence noted" in offer.sentence
    assert "the last step was 'Set revision of the site'" in offer.sentence
    assert offer.sentence.count(".") == 1


def test_recovering_is_one_step_that_can_be_undone_and_is_not_saved(yard: Path, state: Path) -> None:
    work = crashed(yard, state)
    document = reopened(yard, state)
    first, step = document.site, document.step
    assert document.take_offer() == work
    assert (document.site, document.offer, document.is_saved) == (work, None, False)
    assert document.history.labels == ("Recover unsaved work",)
    assert document.step != step
    assert document.undo() is first
    assert document.is_saved
    document.redo()
    document.save()
    assert read_site(yard) == work
    document.close()
    assert kept(state) == []
    assert aside(state) == []


def test_recovered_work_that_crashes_again_is_offered_again(yard: Path, state: Path) -> None:
    work = crashed(yard, state)
    document = Document.open(yard, owner=dead(2), state_folder=state)
    document.take_offer()
    offer = reopened(yard, state).offer
    assert offer is not None
    assert offer.site == work


def test_recovering_after_a_reading_came_in_keeps_both(yard: Path, state: Path) -> None:
    document = Document.open(yard, owner=dead(), state_folder=state)
    old = Sight(at=MOMENT, by="old", hop="hop", result="seen")
    document.apply(edits.add_evidence(document.site, old))
    document.keep()
    document = reopened(yard, state)
    new = Sight(at=MOMENT, by="new", hop="hop", result="not_seen")
    document.apply(edits.add_evidence(document.site, new))
    document.take_offer()
    assert document.site.evidence.sights[-2:] == (new, old)


def test_an_offer_set_aside_is_not_deleted_and_not_made_again(yard: Path, state: Path) -> None:
    crashed(yard, state)
    document = reopened(yard, state)
    document.set_offer_aside()
    assert document.offer is None
    assert "user" in reason(state)
    document.close()
    assert reopened(yard, state).offer is None
    with pytest.raises(UsageError, match="no unsaved work"):
        document.take_offer()


def test_an_offer_that_nobody_answered_is_made_again_after_an_orderly_close(yard: Path, state: Path) -> None:
    work = crashed(yard, state)
    reopened(yard, state).close()
    document = reopened(yard, state)
    assert document.offer is not None
    assert document.offer.site == work
    assert document.remarks == ()


def test_an_offer_that_nobody_answered_is_moved_aside_before_newer_work_is_kept(yard: Path, state: Path) -> None:
    work = crashed(yard, state)
    document = reopened(yard, state)
    document.apply(revised(document.site, "C"))
    assert document.keep()
    assert "edited on" in reason(state)
    assert header(kept(state)[0])["owner"]["started"] == this_process().started
    # it can still be taken in this window
    document.take_offer()
    assert document.site.design is not work.design
    assert document.site == work
    assert document.undo().design.revision == "C"


def test_an_offer_that_nobody_answered_is_moved_aside_when_the_site_is_saved(yard: Path, state: Path) -> None:
    crashed(yard, state)
    document = reopened(yard, state)
    document.apply(revised(document.site, "C"))
    document.save()
    assert "saved without it" in reason(state)
    document.close()
    assert reopened(yard, state).offer is None


# -- fifteen cases and more


def test_crash_while_writing_leaves_the_older_work_whole(
    yard: Path, state: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    work = crashed(yard, state)
    document = Document.open(yard, owner=dead(3), state_folder=state)
    document.take_offer()
    document.apply(revised(document.site, "C"))

    def cut(path: Path, target: Path) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(Path, "replace", cut)
        with pytest.raises(KeyboardInterrupt):
            document.keep()
    offer = reopened(yard, state).offer
    assert offer is not None
    assert offer.site == work


def test_stale_when_the_file_has_changed_since(yard: Path, state: Path) -> None:
    crashed(yard, state)
    other = read_site(yard)
    write_site(edits.set_revision(other, "X").after, yard)
    nothing_applied(yard, state, "the site's file has changed since")


def test_site_that_is_gone_has_its_work_moved_aside_when_the_program_starts(yard: Path, state: Path) -> None:
    crashed(yard, state)
    (yard / "site.json").unlink()
    assert orphans(state) == ()
    assert "no longer there" in reason(state)
    assert kept(state) == []


def test_site_on_a_drive_that_is_unplugged_keeps_its_work(tmp_path: Path, state: Path) -> None:
    drive = tmp_path / "drive"
    write_site(full_site(), drive / "yard")
    work = crashed(drive / "yard", state)
    drive.rename(tmp_path / "elsewhere")
    assert orphans(state) == ()
    assert aside(state) == []
    (tmp_path / "elsewhere").rename(drive)
    offer = reopened(drive / "yard", state).offer
    assert offer is not None
    assert offer.site == work


def test_owner_that_still_runs_keeps_its_work_for_itself(yard: Path, state: Path) -> None:
    crashed(yard, state)
    with Worker("") as other:
        other.wait_ready()
        rewrite(kept(state)[0], {"owner": other.owner.plain()})
        nothing_applied(yard, state, "still runs")


def test_owner_that_was_killed_leaves_its_work_to_be_offered(yard: Path, state: Path) -> None:
    lines = (
        "import sys; from pathlib import Path; from survey_app.session import Document; "
        "from survey_app.site import edits; "
        "d = Document.open(sys.argv[1], state_folder=Path(sys.argv[2])); "
        "d.apply(edits.set_revision(d.site, 'K')); assert d.keep()"
    )
    with Worker(lines, yard, state) as other:
        other.wait_ready()
        looking = reopened(yard, state)
        assert looking.is_read_only
        assert looking.offer is None
        other.kill()
    document = reopened(yard, state)
    assert not document.is_read_only
    assert document.take_offer().design.revision == "K"
    document.save()
    assert read_site(yard).design.revision == "K"


def test_owner_whose_number_another_process_has_now_is_gone(yard: Path, state: Path) -> None:
    owner = this_process()._replace(started="before the system was started")
    assert owner.pid == os.getpid()
    crashed(yard, state, owner=owner)
    assert reopened(yard, state).offer is not None


@pytest.mark.parametrize(
    "first",
    [
        b"",
        b"\x00\xff",
        b"survey-recovery 1 00\n",
        b"survey-recovery one " + b"0" * 64 + b"\n{}\n",
        b"survey-recovery 1 " + b"0" * 64 + b"\n{}\n",
    ],
)
def test_damaged_header_is_moved_aside(yard: Path, state: Path, first: bytes) -> None:
    crashed(yard, state)
    kept(state)[0].write_bytes(first)
    nothing_applied(yard, state, "first line is damaged" if b"1 00000" not in first else "cut short or changed")


@pytest.mark.parametrize(
    "changes",
    [
        {"owner": None},
        {"owner": {"pid": "1", "started": "", "host": ""}},
        {"owner": {"pid": -1, "started": "", "host": ""}},
        {"at": "yesterday"},
        {"at": "2026-11-27T07:12:00"},
        {"document": 5},
        {"step": 5},
        {"program": None},
    ],
)
def test_header_that_says_nonsense_is_moved_aside(yard: Path, state: Path, changes: dict[str, object]) -> None:
    crashed(yard, state)
    rewrite(kept(state)[0], changes)
    nothing_applied(yard, state, "header is damaged")


@pytest.mark.parametrize("left", [0.1, 0.5, 0.99])
def test_file_that_was_cut_short_is_moved_aside(yard: Path, state: Path, left: float) -> None:
    crashed(yard, state)
    (file,) = kept(state)
    data = file.read_bytes()
    file.write_bytes(data[: int(len(data) * left)])
    nothing_applied(yard, state, "cut short or changed")


def test_body_with_one_letter_changed_is_moved_aside(yard: Path, state: Path) -> None:
    crashed(yard, state)
    (file,) = kept(state)
    data = bytearray(file.read_bytes())
    data[-40] ^= 1
    file.write_bytes(bytes(data))
    nothing_applied(yard, state, "cut short or changed")


def test_body_that_is_no_site_is_moved_aside(yard: Path, state: Path) -> None:
    crashed(yard, state)
    (file,) = kept(state)
    first, line, body = file.read_bytes().split(b"\n", 2)
    file.write_bytes(b"\n".join([first, line, body.replace(b'"survey-site"', b'"no-site"')]))
    rewrite(file, {})
    nothing_applied(yard, state, "no sound site")


def test_work_of_a_newer_program_is_moved_aside(yard: Path, state: Path) -> None:
    crashed(yard, state)
    rewrite(kept(state)[0], {"program": "99.0.0"})
    nothing_applied(yard, state, "newer version 99.0.0")


def test_work_in_another_layout_is_moved_aside(yard: Path, state: Path) -> None:
    crashed(yard, state)
    rewrite(kept(state)[0], {}, version=2)
    nothing_applied(yard, state, "it has version 2")


def test_work_of_an_older_program_is_offered(yard: Path, state: Path) -> None:
    crashed(yard, state)
    rewrite(kept(state)[0], {"program": "0.0.9"})
    assert reopened(yard, state).offer is not None


def test_work_of_another_site_under_this_name_is_moved_aside(yard: Path, state: Path, tmp_path: Path) -> None:
    crashed(yard, state)
    rewrite(kept(state)[0], {"document": str(tmp_path / "mill" / "site.json")})
    nothing_applied(yard, state, "belongs to another site")


def test_work_equal_to_the_file_is_dropped_without_a_word(yard: Path, state: Path) -> None:
    crashed(yard, state)
    (file,) = kept(state)
    data = (yard / "site.json").read_bytes()
    first, line, _ = file.read_bytes().split(b"\n", 2)
    file.write_bytes(b"\n".join([first, line, data]))
    rewrite(file, {})
    document = reopened(yard, state)
    assert (document.offer, document.remarks) == (None, ())
    assert (kept(state), aside(state)) == ([], [])


def test_saving_clears_it(yard: Path, state: Path) -> None:
    document = reopened(yard, state)
    document.apply(revised(document.site, "B"))
    document.keep()
    assert len(kept(state)) == 1
    document.save()
    assert kept(state) == []
    assert document.keep()
    assert kept(state) == []


def test_going_back_to_what_was_saved_clears_it(yard: Path, state: Path) -> None:
    document = reopened(yard, state)
    document.apply(revised(document.site, "B"))
    document.keep()
    document.undo()
    document.keep()
    assert kept(state) == []


def test_closing_clears_it_and_what_is_not_saved_is_given_up(yard: Path, state: Path) -> None:
    before = (yard / "site.json").read_bytes()
    document = reopened(yard, state)
    document.apply(revised(document.site, "B"))
    document.keep()
    document.close()
    document.close()
    assert (kept(state), aside(state)) == ([], [])
    assert list((state / "open").iterdir()) == []
    assert (yard / "site.json").read_bytes() == before
    assert not document.keep()
    assert kept(state) == []
    with pytest.raises(UsageError, match="closed"):
        document.apply(revised(document.site, "C"))


def test_a_second_window_leaves_the_work_of_the_first_alone(yard: Path, state: Path) -> None:
    first = reopened(yard, state)
    first.apply(revised(first.site, "B"))
    first.keep()
    data = kept(state)[0].read_bytes()
    second = reopened(yard, state)
    assert second.offer is None
    assert not second.keep()
    second.close()
    assert kept(state)[0].read_bytes() == data
    assert first.keep()


def test_a_document_that_was_never_saved_is_offered_on_the_start_page(state: Path) -> None:
    document = Document.new(full_site(), owner=dead(), state_folder=state)
    assert not document.needs_saving
    assert document.keep()
    assert kept(state) == []
    work = document.apply(revised(document.site, "B"))
    assert document.needs_saving
    document.keep()
    (orphan,) = orphans(state)
    assert "'Full site' was never saved" in orphan.sentence
    assert "Set revision of the site" in orphan.sentence
    found = recover(orphan, state_folder=state)
    assert found.site == work
    assert (found.path, found.is_saved, found.needs_saving) == (None, False, True)
    assert orphans(state) == ()
    with pytest.raises(UsageError, match="taken this unsaved work"):
        recover(orphan, state_folder=state)
    found.close()
    assert (kept(state), orphans(state)) == ([], ())


def test_an_orphan_in_hand_is_not_offered_to_another_window(state: Path) -> None:
    document = Document.new(full_site(), state_folder=state)
    document.apply(revised(document.site, "B"))
    document.keep()
    assert orphans(state) == ()


def test_an_orphan_set_aside_is_not_deleted(state: Path) -> None:
    document = Document.new(full_site(), owner=dead(), state_folder=state)
    document.apply(revised(document.site, "B"))
    document.keep()
    (orphan,) = orphans(state)
    assert set_orphan_aside(orphan, state_folder=state) == aside(state)[0]
    assert orphans(state) == ()


def test_what_a_crash_leaves_without_work_is_cleared_and_pictures_go_to_the_trash(
    yard: Path, state: Path, tmp_path: Path
) -> None:
    (tmp_path / "plan.png").write_bytes(b"plan")
    Document.open(yard, owner=dead(), state_folder=state)
    name = Document.new(full_site(), owner=dead(), state_folder=state).copy_asset(tmp_path / "plan.png")
    here = Document.new(full_site(), state_folder=state)
    here.copy_asset(tmp_path / "plan.png")
    with_work = Document.new(full_site(), owner=dead(), state_folder=state)
    with_work.copy_asset(tmp_path / "plan.png")
    with_work.apply(revised(with_work.site, "B"))
    with_work.keep()
    (orphan,) = orphans(state)
    assert len(list((state / "open").iterdir())) == 2
    assert len(list((state / "unsaved").iterdir())) == 2
    assert [one.read_bytes() for one in (state / "trash").rglob(name)] == [b"plan"]
    found = recover(orphan, state_folder=state)
    assert found.shelf.path(name).read_bytes() == here.shelf.path(name).read_bytes() == b"plan"


def test_a_damaged_orphan_is_moved_aside(state: Path) -> None:
    for number, damage in enumerate((b"damaged", None)):
        document = Document.new(full_site(), owner=dead(number), state_folder=state)
        document.apply(revised(document.site, "B"))
        document.keep()
        if damage is not None:
            kept(state)[0].write_bytes(damage)
    (orphan,) = orphans(state)
    assert len(aside(state)) == 1
    first, line, body = orphan.file.read_bytes().split(b"\n", 2)
    orphan.file.write_bytes(b"\n".join([first, line, body.replace(b'"survey-site"', b'"no-site"')]))
    rewrite(orphan.file, {})
    with pytest.raises(DoubtfulError, match="no sound site"):
        recover(orphan, state_folder=state)
    assert len(aside(state)) == 2


def test_state_folder_that_cannot_be_made_is_one_sentence_and_editing_goes_on(yard: Path, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    document = reopened(yard, tmp_path / "file" / "state")
    assert document.trouble.startswith("Unsaved work cannot be kept in ")
    assert document.trouble.endswith("save often.")
    assert document.trouble.count(".") == 1 + str(tmp_path).count(".")
    document.apply(revised(document.site, "B"))
    assert not document.keep()
    document.save()
    document.close()
    assert read_site(yard).design.revision == "B"


def test_state_folder_that_is_full_for_a_while_keeps_again_when_there_is_room(
    yard: Path, state: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    document = reopened(yard, state)
    assert document.trouble == ""
    document.apply(revised(document.site, "B"))

    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(keeper_module, "write_recovery", full)
        assert not document.keep()
        assert "no space left on device" in document.trouble
    assert document.keep()
    assert document.trouble == ""
    assert len(kept(state)) == 1


@root_may_write_everywhere
def test_state_folder_that_is_read_only_is_one_sentence(yard: Path, state: Path) -> None:
    state.mkdir()
    state.chmod(0o500)
    document = reopened(yard, state)
    state.chmod(0o700)
    assert "permission denied" in document.trouble


def test_doubtful_work_that_cannot_be_moved_is_not_written_over(
    yard: Path, state: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    crashed(yard, state)
    (file,) = kept(state)
    file.write_bytes(b"damaged")
    (state / "aside").write_text("a file in the way")
    document = reopened(yard, state)
    assert "cannot be moved aside" in document.trouble
    document.apply(revised(document.site, "C"))
    assert not document.keep()
    assert file.read_bytes() == b"damaged"


def test_work_kept_after_the_file_changed_behind_our_back_is_moved_aside_later(yard: Path, state: Path) -> None:
    document = Document.open(yard, owner=dead(), state_folder=state)
    document.apply(revised(document.site, "B"))
    write_site(edits.set_revision(read_site(yard), "X").after, yard)
    document.keep()
    nothing_applied(yard, state, "the site's file has changed since")


def test_kill_at_any_moment_of_keeping_leaves_one_whole_value(yard: Path, state: Path) -> None:
    """A process keeps one value after the other as fast as it can and is killed in the middle of it."""
    lines = """
import sys
from pathlib import Path
from survey_app.session import Document
from survey_app.site import edits
document = Document.open(sys.argv[1], state_folder=Path(sys.argv[2]))
number = 0
while True:
    number += 1
    document.apply(edits.set_revision(document.site, f"{sys.argv[3]}-{number}"))
    assert document.keep()
    if number == 3:
        print("ready", flush=True)
"""
    for turn in range(4):
        with Worker(lines, yard, state, turn) as other:
            other.wait_ready()
            other.kill()
        document = reopened(yard, state)
        assert document.remarks == ()
        offer = document.offer
        assert offer is not None
        assert int(offer.site.design.revision.removeprefix(f"{turn}-")) >= 3
        document.take_offer()
        document.save()
        document.close()
        assert read_site(yard) == offer.site


def test_kill_before_anything_was_kept_leaves_nothing_to_answer(yard: Path, state: Path) -> None:
    lines = "import sys; from pathlib import Path; from survey_app.session import Document; Document.open(sys.argv[1], state_folder=Path(sys.argv[2]))"
    with Worker(lines, yard, state) as other:
        other.wait_ready()
        other.kill()
    document = reopened(yard, state)
    assert (document.offer, document.remarks, document.read_only_reason) == (None, (), "")


# -- from another thread, and two on one file


def test_a_thread_that_comes_late_writes_nothing_over_what_was_saved(yard: Path, state: Path) -> None:
    document = reopened(yard, state)
    document.apply(revised(document.site, "B"))
    late = document.snapshot()
    document.save()
    assert not document.keep(late)
    assert kept(state) == []
    document.apply(revised(document.site, "C"))
    document.keep()
    newest = kept(state)[0].read_bytes()
    assert not document.keep(late)
    assert kept(state)[0].read_bytes() == newest


def test_keeping_from_a_thread_while_the_site_is_edited_and_saved(yard: Path, state: Path) -> None:
    document = reopened(yard, state)
    done = threading.Event()
    failures: list[BaseException] = []

    def keep_all_the_time() -> None:
        try:
            while not done.is_set():
                document.keep(document.snapshot())
        except BaseException as error:
            failures.append(error)

    thread = threading.Thread(target=keep_all_the_time)
    thread.start()
    try:
        for number in range(60):
            document.apply(revised(document.site, f"R{number}"))
            if number % 10 == 9:
                document.save()
    finally:
        done.set()
        thread.join()
    assert failures == []
    assert document.is_saved
    assert kept(state) == []
    assert read_site(yard).design.revision == "R59"


def test_a_window_whose_hold_was_taken_keeps_nothing_over_the_other(yard: Path, state: Path) -> None:
    away = Owner(1, "then", f"not-{platform.node()}")
    first = Document.open(yard, owner=away, state_folder=state)
    second = reopened(yard, state)
    second.take_over()
    second.apply(revised(second.site, "B"))
    second.keep()
    data = kept(state)[0].read_bytes()
    first.apply(revised(first.site, "C"))
    assert not first.keep()
    assert "taken this site over" in first.trouble
    first.close()
    assert kept(state)[0].read_bytes() == data
    assert second.keep()


def test_what_another_kept_while_the_hold_was_lost_is_moved_aside(yard: Path, state: Path) -> None:
    document = reopened(yard, state)
    for lock in (state / "open").iterdir():
        lock.unlink()
    work = crashed(yard, state, "X")
    document.apply(revised(document.site, "B"))
    assert document.keep()
    assert "meanwhile" in reason(state)
    assert header(kept(state)[0])["owner"] == this_process().plain()
    assert work.design.revision.encode() in aside(state)[0].read_bytes()


def test_only_the_user_may_read_unsaved_work(yard: Path, state: Path) -> None:
    crashed(yard, state)
    if os.name == "posix":
        assert kept(state)[0].stat().st_mode & 0o077 == 0


def test_key_is_the_same_by_whatever_way_a_site_is_reached(yard: Path, tmp_path: Path) -> None:
    key = StateFolder.key(yard / "site.json")
    assert StateFolder.key(yard / ".." / "yard" / "site.json") == key
    assert StateFolder.key(yard / "alternatives" / "site.json") != key
    if os.name == "posix":
        (tmp_path / "link").symlink_to(yard)
        assert StateFolder.key(tmp_path / "link" / "site.json") == key
