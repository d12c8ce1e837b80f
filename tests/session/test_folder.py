"""What belongs to a document beside its file: pictures, alternatives, the list of recent sites."""

from __future__ import annotations

import datetime
import json
import os
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.errors import InputError, UsageError
from survey_app.session import (
    Document,
    alternatives,
    forget_missing,
    forget_site,
    recent_sites,
    remember_site,
)
from survey_app.session import assets as assets_module
from survey_app.session.alternatives import alternative_file
from survey_app.session.comparison import changes
from survey_app.session.moment import said_moment
from survey_app.site import edits
from survey_app.site.asset import name_fault
from survey_app.site.file import read_site, write_site
from survey_app.site.site import Photograph
from tests.session.lives import revised
from tests.site.full_site import full_site

# -- pictures


@pytest.fixture
def document(yard: Path, state: Path) -> Document:
    """Return an open document."""
    return Document.open(yard, state_folder=state)


def picture(tmp_path: Path, content: bytes, name: str = "a picture.JPG") -> Path:
    (tmp_path / name).write_bytes(content)
    return tmp_path / name


def test_a_picture_is_named_by_its_content(document: Document, tmp_path: Path) -> None:
    first = document.copy_asset(picture(tmp_path, b"one"))
    assert first.endswith(".jpg")
    assert name_fault(first) is None
    assert document.copy_asset(picture(tmp_path, b"one", "other.jpg")) == first
    second = document.copy_asset(picture(tmp_path, b"two"))
    assert second != first
    assert document.copy_asset(picture(tmp_path, b"one", "x.strange suffix")) == first.removesuffix(".jpg")
    document.apply(edits.add(document.site, Photograph(id="p1", file=first)))
    document.save()
    assert document.shelf.path(first).read_bytes() == b"one"


def test_a_copy_that_was_damaged_is_made_again(document: Document, tmp_path: Path) -> None:
    name = document.copy_asset(picture(tmp_path, b"one"))
    document.shelf.path(name).write_bytes(b"eno")
    assert document.copy_asset(picture(tmp_path, b"one")) == name
    assert document.shelf.path(name).read_bytes() == b"one"


def test_what_is_no_picture_file_is_refused(
    document: Document, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with pytest.raises(InputError, match="is not a file"):
        document.copy_asset(tmp_path)
    with pytest.raises(InputError, match="is not a file"):
        document.copy_asset(tmp_path / "nothing.png")
    monkeypatch.setattr(assets_module, "MOST_ASSET_BYTES", 10)
    with pytest.raises(InputError, match="larger than"):
        document.copy_asset(picture(tmp_path, b"x" * 11))
    assert document.unused_assets() == ()


def test_tidy_moves_only_what_no_site_and_no_step_uses(document: Document, tmp_path: Path, state: Path) -> None:
    names = {word: document.copy_asset(picture(tmp_path, word.encode())) for word in ("now", "undone", "other", "none")}
    document.apply(edits.add(document.site, Photograph(id="now", file=names["now"])))
    document.duplicate_as_alternative("second")
    other = edits.add(document.site, Photograph(id="other", file=names["other"]))
    write_site(other.after, document.folder / "alternatives" / "second.json")  # type: ignore[operator]
    document.apply(edits.add(document.site, Photograph(id="undone", file=names["undone"])))
    document.undo()
    with pytest.raises(UsageError, match="not saved"):
        document.tidy()
    document.save()
    assert document.unused_assets() == (names["none"],)
    assert document.tidy() == (names["none"],)
    assert document.unused_assets() == ()
    assert all(document.shelf.path(names[word]).exists() for word in ("now", "undone", "other"))
    (trashed,) = (state / "trash").rglob(names["none"])
    assert trashed.read_bytes() == b"none"


def test_tidy_is_refused_where_another_site_of_the_folder_cannot_be_read(document: Document, tmp_path: Path) -> None:
    name = document.copy_asset(picture(tmp_path, b"one"))
    file = document.duplicate_as_alternative("second")
    file.write_text("{")
    with pytest.raises(InputError, match="nobody can tell which pictures it uses"):
        document.tidy()
    assert document.shelf.path(name).exists()


def test_nothing_to_tidy_without_pictures(document: Document) -> None:
    assert document.tidy() == ()


def test_a_bare_document_has_no_place_for_pictures(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="no folder for pictures"):
        Document(full_site()).copy_asset(picture(tmp_path, b"one"))


# -- alternatives


def test_an_alternative_holds_the_present_site_and_the_document_stays_where_it_is(document: Document) -> None:
    document.apply(revised(document.site, "B"))
    file = document.duplicate_as_alternative("Omni, östlich")
    assert file.name == "omni-ostlich.json"
    assert read_site(file) == document.site
    assert document.path is not None
    assert document.path.name == "site.json"
    assert not document.is_saved
    assert [one.name for one in alternatives(document.folder)] == ["omni-ostlich"]  # type: ignore[arg-type]


@pytest.mark.parametrize("name", ["Omni", "OMNI", " omni ", "ömni"])
def test_an_alternative_of_that_name_is_never_written_over(document: Document, name: str) -> None:
    file = document.duplicate_as_alternative("omni")
    before = file.read_bytes()
    document.apply(revised(document.site, "B"))
    with pytest.raises(UsageError, match="already"):
        document.duplicate_as_alternative(name)
    assert file.read_bytes() == before


@pytest.mark.parametrize("name", ["", "  ", "港", "con", "NUL", "com1"])
def test_a_name_that_no_file_can_have_is_refused(document: Document, name: str) -> None:
    with pytest.raises(UsageError):
        document.duplicate_as_alternative(name)
    assert alternatives(document.folder) == ()  # type: ignore[arg-type]


@given(name=st.text(max_size=100))
def test_any_name_makes_a_file_that_every_system_takes_or_is_refused(name: str) -> None:
    try:
        file = alternative_file(Path("nowhere-at-all"), name)
    except UsageError:
        return
    assert name_fault(file.name) is None
    assert file.parent == Path("nowhere-at-all") / "alternatives"


def test_an_alternative_of_an_alternative_lies_beside_it(document: Document, state: Path) -> None:
    other = Document.open(document.duplicate_as_alternative("one"), state_folder=state)
    assert other.duplicate_as_alternative("two").parent == other.path.parent  # type: ignore[union-attr]
    assert [one.name for one in alternatives(document.folder)] == ["one", "two"]  # type: ignore[arg-type]


def test_a_document_without_a_folder_has_no_alternatives(state: Path) -> None:
    with pytest.raises(UsageError, match="save it first"):
        Document.new(full_site(), state_folder=state).duplicate_as_alternative("x")


# -- recent sites


def test_recent_sites_are_newest_first_each_once_and_at_most_twelve(tmp_path: Path, state: Path) -> None:
    assert recent_sites(state) == ()
    for number in range(15):
        remember_site(tmp_path / f"s{number}" / "site.json", f"Site {number}", state_folder=state)
    remember_site(tmp_path / "s10" / ".." / "s10" / "site.json", "Site ten", state_folder=state)
    found = recent_sites(state)
    assert [one.name for one in found][:3] == ["Site ten", "Site 14", "Site 13"]
    assert len(found) == 12
    assert len({one.path for one in found}) == 12
    assert found[0].path == tmp_path / "s10" / "site.json"


def test_recent_sites_that_are_gone_stay_until_somebody_asks(yard: Path, tmp_path: Path, state: Path) -> None:
    remember_site(yard / "site.json", "Yard", state_folder=state)
    remember_site(tmp_path / "gone" / "site.json", "Gone", state_folder=state)
    assert [one.is_there for one in recent_sites(state)] == [False, True]
    assert [one.name for one in forget_missing(state)] == ["Yard"]
    assert forget_site(yard / "site.json", state_folder=state) == recent_sites(state) == ()


@pytest.mark.parametrize("text", ["", "{", "{}", "[5]", '[{"path": 5}]', "\x00", "[" * 100_000])
def test_a_damaged_list_of_recent_sites_is_an_empty_one(tmp_path: Path, state: Path, text: str) -> None:
    state.mkdir()
    (state / "recent.json").write_text(text)
    assert recent_sites(state) == ()
    assert len(remember_site(tmp_path / "site.json", "Site", state_folder=state)) == 1


def test_one_damaged_row_of_recent_sites_does_not_take_the_others_along(tmp_path: Path, state: Path) -> None:
    remember_site(tmp_path / "site.json", "Site", state_folder=state)
    rows = json.loads((state / "recent.json").read_text())
    (state / "recent.json").write_text(json.dumps([{"path": "x"}, *rows, {**rows[0], "at": "never"}]))
    assert [one.name for one in recent_sites(state)] == ["Site"]


def test_recent_sites_where_nothing_can_be_written_are_those_of_before(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    assert remember_site(tmp_path / "site.json", "Site", state_folder=tmp_path / "file" / "state") == ()


# -- what differs, and when


def test_what_differs_is_counted_by_ids() -> None:
    before = full_site()
    after = edits.remove(before, "hop").after
    after = edits.add(after, Photograph(id="new", file="x.jpg")).after
    after = edits.change(after, "gate-mount", height_m=5.0).after
    found = changes(before, after)
    assert (found.added, found.changed, found.removed, found.evidence, found.figures) == (1, 1, 1, 0, 0)
    assert changes(before, before) == (0, 0, 0, 0, 0)
    assert (changes(after, before).added, changes(after, before).removed) == (1, 1)


def test_a_moment_that_no_clock_can_show_is_said_all_the_same() -> None:
    offset = datetime.timezone(datetime.timedelta(hours=14))
    assert said_moment(datetime.datetime(1, 1, 1, tzinfo=offset)).startswith("0001-01-01")
    assert len(said_moment(datetime.datetime(2026, 11, 27, tzinfo=datetime.UTC))) == len("2026-11-27 07:12")
    assert os.sep not in said_moment(datetime.datetime(2026, 11, 27, tzinfo=datetime.UTC))
