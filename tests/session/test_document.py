"""The document in hand: edits through one door, one window at a time, where it lies and where it is saved."""

from __future__ import annotations

import os
import platform
import subprocess
import sys
from pathlib import Path

import pytest

from survey_app.errors import InputError, OutputError, UsageError
from survey_app.gear.catalogue import load_catalogue
from survey_app.session import ChangedBehindError, Document, state_folder
from survey_app.session.hold import claim, holder
from survey_app.session.owner import Owner, is_running, start_of, this_process
from survey_app.session.state_folder import StateFolder
from survey_app.site import edits
from survey_app.site.evidence import Sight
from survey_app.site.file import read_site, site_to_bytes, write_site
from tests.session.lives import ROOT, Worker, aside, dead, kept, revised
from tests.site.full_site import MOMENT, full_site


def opened(path: Path, state: Path) -> Document:
    return Document.open(path, state_folder=state)


# -- the one door


def test_step_changes_with_every_new_value_and_with_nothing_else(yard: Path, state: Path) -> None:
    document = opened(yard, state)
    steps = [document.step]
    document.apply(revised(document.site, "B"))
    steps.append(document.step)
    document.undo()
    steps.append(document.step)
    document.redo()
    steps.append(document.step)
    assert len(set(steps)) == 4
    document.apply(revised(document.site, "B"))
    document.keep()
    document.save()
    assert document.step == steps[-1]


def test_undo_of_everything_gives_the_very_site_that_was_opened(yard: Path, state: Path) -> None:
    document = opened(yard, state)
    first = document.site
    for number in range(20):
        document.apply(revised(document.site, f"R{number}"))
        document.keep()
    for _ in range(20):
        document.undo()
    assert document.site is first
    assert document.is_saved


def test_opening_takes_copies_of_gear_as_the_reader_of_the_file_does(yard: Path, state: Path) -> None:
    catalogue = tuple(load_catalogue())
    site = Document.open(yard, types=catalogue, state_folder=state).site
    assert site == read_site(yard, types=catalogue)
    assert len(site.design.gear) > len(read_site(yard).design.gear)


@pytest.mark.parametrize("text", ["", "{}", '{"format": "survey-site", "version": 99}'])
def test_what_is_no_site_is_refused_and_held_by_nobody(yard: Path, state: Path, text: str) -> None:
    (yard / "site.json").write_text(text)
    with pytest.raises(InputError):
        opened(yard, state)
    with pytest.raises(UsageError, match="no such site"):
        opened(yard / "nowhere", state)
    assert list((state / "open").iterdir()) == []


def test_bare_document_keeps_nothing_and_can_be_saved(tmp_path: Path) -> None:
    document = Document(full_site())
    document.apply(revised(document.site, "B"))
    assert not document.keep()
    assert (document.trouble, document.remarks, document.offer) == ("", (), None)
    with pytest.raises(UsageError, match="no file yet"):
        document.save()
    with pytest.raises(UsageError, match="no file yet"):
        document.save_beside()
    file = document.save(tmp_path / "yard")
    document.apply(revised(document.site, "C"))
    assert document.save() == file
    assert Document(read_site(file), file).is_saved
    document.close()


def test_a_document_knows_its_file_by_whatever_way_it_is_named(yard: Path, state: Path) -> None:
    document = opened(yard, state)
    assert document.lies_at(yard)
    assert document.lies_at(yard / ".." / "yard" / "site.json")
    assert not document.lies_at(yard / "alternatives" / "omni.json")
    assert not Document.new(full_site(), state_folder=state).lies_at(yard)


# -- two windows


def test_the_second_window_may_only_look(yard: Path, state: Path) -> None:
    first = opened(yard, state)
    second = opened(yard, state)
    assert not first.is_read_only
    assert second.is_read_only
    assert second.read_only_reason.startswith("the site is open in another window since 20")
    before, step = second.site, second.step
    with pytest.raises(UsageError, match=r"open in another window since .*; close it there"):
        second.apply(revised(second.site, "B"))
    for refused in (second.undo, second.redo, second.save, second.tidy):
        with pytest.raises(UsageError, match="open in another window"):
            refused()
    assert second.site is before
    assert second.step == step
    with pytest.raises(UsageError, match="open in another window since"):
        second.take_over()
    first.apply(revised(first.site, "B"))
    first.save()
    assert first.is_saved


def test_a_window_takes_over_with_what_the_first_has_saved(yard: Path, state: Path) -> None:
    first, second = opened(yard, state), opened(yard, state)
    first.apply(revised(first.site, "B"))
    first.save()
    first.close()
    step = second.step
    second.take_over()
    assert second.read_only_reason == ""
    assert second.site.design.revision == "B"
    assert second.step != step
    second.apply(revised(second.site, "C"))
    second.save()
    assert opened(yard, state).is_read_only


def test_a_window_takes_over_after_a_crash_with_an_offer(yard: Path, state: Path) -> None:
    lines = (
        "import sys; from pathlib import Path; from survey_app.session import Document; "
        "from survey_app.site import edits; "
        "d = Document.open(sys.argv[1], state_folder=Path(sys.argv[2])); "
        "d.apply(edits.set_revision(d.site, 'K')); assert d.keep()"
    )
    with Worker(lines, yard, state) as other:
        other.wait_ready()
        document = opened(yard, state)
        other.kill()
    site = document.site
    document.take_over()
    assert document.site is site
    assert document.offer is not None
    assert document.take_offer().design.revision == "K"


def test_taking_over_a_file_that_has_become_unreadable_leaves_the_document_as_it_was(yard: Path, state: Path) -> None:
    first, second = opened(yard, state), opened(yard, state)
    first.close()
    (yard / "site.json").write_text("{")
    with pytest.raises(InputError):
        second.take_over()
    assert second.is_read_only
    assert list((state / "open").iterdir()) == []


def test_a_site_open_on_another_computer_is_taken_on_the_users_word(yard: Path, state: Path) -> None:
    away = Owner(os.getpid(), "then", f"not-{platform.node()}")
    Document.open(yard, owner=away, state_folder=state).keep()
    document = opened(yard, state)
    assert f"open on the computer 'not-{platform.node()}'" in document.read_only_reason
    document.take_over()
    assert not document.is_read_only
    document.take_over()


def test_two_sites_are_two_documents(yard: Path, state: Path) -> None:
    first = opened(yard, state)
    file = first.duplicate_as_alternative("omni")
    assert not opened(file, state).is_read_only


def test_closing_lets_the_next_window_in(yard: Path, state: Path) -> None:
    opened(yard, state).close()
    assert not opened(yard, state).is_read_only


def test_only_one_of_many_that_come_at_once_gets_the_site(yard: Path, state: Path) -> None:
    """Also over a hold that a crash left."""
    claim(StateFolder(state), StateFolder.key(yard / "site.json"), dead(), document=yard)
    lines = (
        "import sys; from pathlib import Path; from survey_app.session import Document; "
        "print(bool(Document.open(sys.argv[1], state_folder=Path(sys.argv[2])).read_only_reason), flush=True); "
        "sys.stdin.read()"
    )
    command = [sys.executable, "-c", lines, str(yard), str(state)]
    others = [
        subprocess.Popen(command, cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) for _ in range(4)
    ]
    said = [other.stdout.readline().strip() for other in others if other.stdout]
    for other in others:
        other.communicate()
    assert sorted(said) == ["False", "True", "True", "True"]


@pytest.mark.parametrize("text", ["", "{", "[]", '{"owner": 5, "token": "x", "since": ""}', '{"token": ""}', "\udcff"])
def test_a_damaged_hold_holds_nobody_out(yard: Path, state: Path, text: str) -> None:
    document = opened(yard, state)
    (lock,) = (state / "open").iterdir()
    lock.write_bytes(text.encode("utf-8", "surrogateescape"))
    other = opened(yard, state)
    assert not other.is_read_only
    document.close()
    assert holder(StateFolder(state), StateFolder.key(yard / "site.json")) is not None


def test_a_window_that_hangs_over_the_state_folder_stops_nobody(
    yard: Path, state: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(state_folder, "_GUARD_TRIES", 3)
    with StateFolder(state).guarded():
        document = opened(yard, state)
        assert "does not let go of it" in document.trouble
        document.apply(revised(document.site, "B"))
        assert not document.keep()
    assert document.keep()
    assert document.trouble == ""
    assert opened(yard, state).is_read_only


def test_every_document_has_a_memo_of_its_own(yard: Path, state: Path) -> None:
    assert opened(yard, state).memo is not opened(yard, state).memo


# -- processes


def test_a_process_is_told_from_one_that_is_gone() -> None:
    me = this_process()
    assert is_running(me)
    assert start_of(me.pid) == me.started != ""
    assert not is_running(me._replace(started="another time"))
    assert is_running(me._replace(started=""))
    with Worker("") as other:
        other.wait_ready()
        owner = other.owner
        assert is_running(owner)
        assert owner.started != me.started
        other.kill()
        assert not is_running(owner)


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="a child that nobody has waited for")
def test_a_killed_child_that_nobody_waited_for_is_gone() -> None:
    child = subprocess.Popen([sys.executable, "-c", ""])
    try:
        os.waitid(os.P_PID, child.pid, os.WEXITED | os.WNOWAIT)
        assert start_of(child.pid) is None
    finally:
        child.wait()


@pytest.mark.skipif(os.name != "posix", reason="a tool of other systems")
def test_the_other_way_to_ask_for_a_process_knows_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    from survey_app.session import owner

    with Worker("") as other:
        other.wait_ready()
        pid = other.owner.pid
        first = owner._start_by_ps(pid)
        monkeypatch.setenv("TZ", "Pacific/Auckland")
        monkeypatch.setenv("LC_ALL", "de_DE.UTF-8")
        assert first is not None
        assert owner._start_by_ps(pid) == first
        monkeypatch.setenv("PATH", "")
        assert owner._start_by_ps(pid) == ""
        other.kill()
        assert owner._start_by_ps(pid) is None
    monkeypatch.undo()
    assert owner._start_by_ps(pid) is None


# -- saving


def test_a_file_that_somebody_else_changed_is_not_written_over(yard: Path, state: Path) -> None:
    document = opened(yard, state)
    theirs = edits.change(read_site(yard), "gate-mount", height_m=5.0).after
    write_site(theirs, yard)
    document.apply(revised(document.site, "B"))
    with pytest.raises(ChangedBehindError, match=r"changed by somebody else .*1 thing changed; save beside it"):
        document.save()
    assert read_site(yard) == theirs
    assert not document.is_saved
    file = document.save_beside()
    assert file.parent == yard
    assert document.path == file
    assert document.is_saved
    assert read_site(file).design.revision == "B"
    assert read_site(yard) == theirs
    document.apply(revised(document.site, "C"))
    assert document.save() == file
    document.close()
    assert (kept(state), aside(state), list((state / "open").iterdir())) == ([], [], [])


def test_evidence_that_somebody_else_noted_is_told_and_not_written_over(yard: Path, state: Path) -> None:
    document = opened(yard, state)
    site = read_site(yard)
    for number in range(2):
        row = Sight(at=MOMENT, by=f"me {number}", hop="hop", result="seen")
        site = edits.add_evidence(site, row).after
    write_site(site, yard)
    with pytest.raises(
        ChangedBehindError, match=r"noted 2 rows of evidence in the file .*the design in it is the same"
    ):
        document.save()
    assert read_site(yard) == site


def test_an_unchanged_document_over_a_changed_file_is_no_longer_saved(yard: Path, state: Path) -> None:
    document = opened(yard, state)
    assert document.behind() is None
    (yard / "site.json").write_bytes(b"{")
    assert "can no longer be read as a site" in str(document.behind())
    with pytest.raises(ChangedBehindError):
        document.save()
    assert document.needs_saving
    assert document.keep()
    assert len(kept(state)) == 1


def test_a_file_written_anew_with_the_same_site_is_told(yard: Path, state: Path) -> None:
    document = opened(yard, state)
    file = yard / "site.json"
    file.write_bytes(file.read_bytes() + b"\n")
    with pytest.raises(ChangedBehindError, match=r"written anew .*the site in it is the same"):
        document.save()


def test_a_file_that_is_gone_is_told_and_can_be_saved_beside_where_it_was(yard: Path, state: Path) -> None:
    document = opened(yard, state)
    (yard / "site.json").unlink()
    yard.rmdir()
    with pytest.raises(ChangedBehindError, match="no longer there"):
        document.save()
    assert read_site(document.save_beside()) == document.site


def test_what_is_there_can_be_taken_instead_and_what_was_not_saved_lies_aside(yard: Path, state: Path) -> None:
    document = opened(yard, state)
    document.apply(revised(document.site, "B"))
    theirs = edits.change(read_site(yard), "gate-mount", height_m=5.0).after
    write_site(theirs, yard)
    step = document.step
    assert document.reload() == theirs == document.site
    assert document.is_saved
    assert document.step != step
    assert document.history.labels == ()
    assert not document.is_read_only
    assert kept(state) == []
    assert b'"revision": "B"' in aside(state)[0].read_bytes()
    assert str(aside(state)[0]) in document.remarks[0]
    document.apply(revised(document.site, "C"))
    document.save()


def test_reading_again_without_changes_moves_nothing_aside(yard: Path, state: Path) -> None:
    document = opened(yard, state)
    document.reload()
    assert (aside(state), document.remarks) == ([], ())
    with pytest.raises(UsageError, match="no file yet"):
        Document.new(full_site(), state_folder=state).reload()


def test_reading_again_what_is_no_site_or_where_nothing_can_be_kept_changes_nothing(
    yard: Path, state: Path, tmp_path: Path
) -> None:
    (tmp_path / "file").write_text("in the way")
    document = opened(yard, tmp_path / "file" / "state")
    work = document.apply(revised(document.site, "B"))
    with pytest.raises(OutputError, match=r"cannot be kept .*save beside instead"):
        document.reload()
    (yard / "site.json").write_text("{")
    with pytest.raises(InputError):
        document.reload()
    assert document.site is work


def test_a_file_that_went_and_came_back_the_same_is_saved(yard: Path, state: Path) -> None:
    document = opened(yard, state)
    data = (yard / "site.json").read_bytes()
    (yard / "site.json").unlink()
    (yard / "site.json").write_bytes(data)
    document.apply(revised(document.site, "B"))
    document.save()
    assert read_site(yard).design.revision == "B"


def test_names_beside_are_free_and_open_with_the_folder_of_the_site(yard: Path, state: Path) -> None:
    files = []
    for _ in range(3):
        document = opened(yard, state)
        files.append(document.save_beside())
        document.close()
    assert len(set(files)) == 3
    assert all(file.name.startswith("site-mine-20") for file in files)
    assert opened(files[2], state).folder == yard


def test_saving_as_takes_pictures_along_and_the_hold(yard: Path, state: Path, tmp_path: Path) -> None:
    (tmp_path / "gate.JPG").write_bytes(b"picture")
    document = opened(yard, state)
    name = document.copy_asset(tmp_path / "gate.JPG")
    file = document.save(tmp_path / "new" / "yard")
    assert file == tmp_path / "new" / "yard" / "site.json"
    assert (file.parent / "assets" / name).read_bytes() == b"picture"
    assert (yard / "assets" / name).read_bytes() == b"picture"
    assert document.folder == file.parent
    assert opened(file, state).is_read_only
    assert not opened(yard, state).is_read_only


def test_saving_as_over_another_site_is_refused(yard: Path, state: Path, tmp_path: Path) -> None:
    other = tmp_path / "other"
    write_site(full_site(), other)
    before = (other / "site.json").read_bytes()
    document = opened(yard, state)
    for target in (other, other / "mine.json", other / "alternatives" / "mine.json"):
        with pytest.raises(OutputError, match="another site"):
            document.save(target)
    assert (other / "site.json").read_bytes() == before
    assert sorted(one.name for one in other.iterdir()) == ["site.json"]
    assert document.path == yard / "site.json"
    assert document.is_saved


def test_saving_as_in_the_own_folder_is_allowed_under_a_free_name(yard: Path, state: Path) -> None:
    document = opened(yard, state)
    assert document.save(yard / "alternatives" / "two.json").is_file()
    assert document.folder == yard


def test_saving_as_where_a_picture_of_that_name_differs_is_refused_and_leaves_nothing(
    yard: Path, state: Path, tmp_path: Path
) -> None:
    (yard / "assets").mkdir()
    (yard / "assets" / "a.png").write_bytes(b"one")
    (yard / "assets" / "b.png").write_bytes(b"ours")
    (tmp_path / "new" / "assets").mkdir(parents=True)
    (tmp_path / "new" / "assets" / "b.png").write_bytes(b"theirs")
    document = opened(yard, state)
    with pytest.raises(OutputError, match="another file of this name"):
        document.save(tmp_path / "new")
    found = sorted(one.name for one in (tmp_path / "new").rglob("*"))
    assert found == ["assets", "b.png"]
    assert document.path == yard / "site.json"
    assert not document.is_read_only
    document.save()


def test_saving_as_where_nothing_can_be_written_leaves_the_document_as_it_was(
    yard: Path, state: Path, tmp_path: Path
) -> None:
    (tmp_path / "file").write_text("in the way")
    document = opened(yard, state)
    document.apply(revised(document.site, "B"))
    document.keep()
    with pytest.raises(OutputError):
        document.save(tmp_path / "file" / "yard")
    assert document.path == yard / "site.json"
    assert not document.is_saved
    assert len(kept(state)) == 1
    assert len(list((state / "open").iterdir())) == 1


def test_a_read_only_document_saved_as_another_site_can_be_edited(yard: Path, state: Path, tmp_path: Path) -> None:
    first, second = opened(yard, state), opened(yard, state)
    second.save(tmp_path / "copy")
    assert not second.is_read_only
    second.apply(revised(second.site, "B"))
    second.save()
    first.apply(revised(first.site, "C"))
    first.save()
    assert [read_site(one).design.revision for one in (tmp_path / "copy", yard)] == ["B", "C"]


def test_pictures_of_a_document_that_was_never_saved_go_along_with_its_first_saving(
    state: Path, tmp_path: Path
) -> None:
    (tmp_path / "plan.png").write_bytes(b"plan")
    document = Document.new(full_site(), state_folder=state)
    name = document.copy_asset(tmp_path / "plan.png")
    assert document.shelf.path(name).read_bytes() == b"plan"
    assert document.folder is None
    document.save(tmp_path / "new")
    assert (tmp_path / "new" / "assets" / name).read_bytes() == b"plan"
    assert document.shelf.path(name) == tmp_path / "new" / "assets" / name
    assert list((state / "unsaved").iterdir()) == []
    assert len(list((state / "open").iterdir())) == 1
    document.close()


def test_pass_phrases_are_not_copied_along(yard: Path, state: Path, tmp_path: Path) -> None:
    (yard / "secrets.json").write_text('{"format": "survey-secrets", "version": 1}')
    opened(yard, state).save(tmp_path / "new")
    assert not (tmp_path / "new" / "secrets.json").exists()


def test_what_is_saved_is_what_the_file_holds_byte_for_byte(yard: Path, state: Path) -> None:
    document = opened(yard, state)
    document.apply(revised(document.site, "B"))
    document.save()
    assert (yard / "site.json").read_bytes() == site_to_bytes(document.site)
    assert document.behind() is None


def test_session_loads_no_window() -> None:
    program = (
        "import sys, survey_app.session; print([n for n in sys.modules if n.startswith(('PySide6', 'pyqtgraph'))])"
    )
    found = subprocess.run([sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=True)
    assert found.stdout == "[]\n"
