from __future__ import annotations

import json
from pathlib import Path

import pytest

from survey_app.data import shared_folder
from survey_app.errors import InputError, UnknownNameError, UsageError
from survey_app.gear import Catalogue, load_catalogue, user_gear_folder, user_gear_folders
from survey_app.site.gear_type import GearType, SundryType

CATALOGUE = load_catalogue()


def write(folder: Path, name: str, *items: dict[str, object]) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / name
    path.write_text(json.dumps({"format": "survey-gear", "version": 1, "items": items}), encoding="utf-8")
    return path


def plug(**fields: object) -> dict[str, object]:
    return {"kind": "sundry", "id": "my-plug", "name": "My plug", "what": "plug", "rule": "plug"} | fields


def test_catalogue_holds_every_type_of_every_file_once() -> None:
    listed = [
        item["id"]
        for path in sorted((shared_folder() / "gear").glob("*.json"))
        for item in json.loads(path.read_text(encoding="utf-8"))["items"]
    ]
    assert sorted(listed) == [item.id for item in CATALOGUE]
    assert len(CATALOGUE) == len(set(listed))
    assert sum(len(CATALOGUE.of_kind(kind)) for kind in CATALOGUE.kinds()) == len(CATALOGUE)


def test_every_counting_rule_has_exactly_one_sundry() -> None:
    rules = SundryType.model_fields["rule"].annotation.__args__  # type: ignore[union-attr]
    assert sorted(item.rule for item in CATALOGUE.of_kind("sundry") if isinstance(item, SundryType)) == sorted(rules)


def test_every_type_is_marked_as_an_invention_and_none_works_at_60_ghz() -> None:
    for item in CATALOGUE:
        assert item.maker == "invented"
        assert "invented type" in item.provenance
        assert getattr(item, "tunes_high_mhz", 0.0) < 6000


@pytest.mark.parametrize("name", ["bowline-p16", "Bowline P16", "  bowline P16 "])
def test_find_takes_id_or_name(name: str) -> None:
    assert CATALOGUE.find(name).id == "bowline-p16"


@pytest.mark.parametrize(
    ("wrong", "offered"),
    [("bowline-p61", "bowline-p16"), ("Cleet 50", "cleat-50"), ("sheave", "sheave-d25"), ("p19", "bowline-p19")],
)
def test_find_offers_the_nearest_names(wrong: str, offered: str) -> None:
    with pytest.raises(UnknownNameError) as caught:
        CATALOGUE.find(wrong)
    assert wrong in str(caught.value)
    assert offered in str(caught.value)
    assert caught.value.exit_status == 2


def test_find_without_anything_near_still_says_what_to_do() -> None:
    with pytest.raises(UnknownNameError, match="see the list"):
        CATALOGUE.find("§§§")


def test_copies_for_gives_each_type_once_and_sorted() -> None:
    copies = CATALOGUE.copies_for(["cleat-50", "bowline-p16", "cleat-50"])
    assert [copy.id for copy in copies] == ["bowline-p16", "cleat-50"]
    assert copies[0] is CATALOGUE.by_id["bowline-p16"]
    with pytest.raises(UnknownNameError):
        CATALOGUE.copies_for(["no-such-thing"])


def test_catalogue_cannot_be_changed() -> None:
    with pytest.raises(TypeError):
        CATALOGUE.by_id["x"] = CATALOGUE.items[0]  # type: ignore[index]
    with pytest.raises(AttributeError):
        CATALOGUE.items = ()  # type: ignore[misc]


def test_own_folder_adds_types_and_its_figures_win(tmp_path: Path) -> None:
    theirs = json.loads(CATALOGUE.find("plug-rj").model_dump_json()) | {"price": 0.4, "order_code": "77-1"}
    path = write(tmp_path, "own.json", plug(), theirs)
    own = load_catalogue([tmp_path])
    assert len(own) == len(CATALOGUE) + 1
    assert own.find("plug-rj").price == 0.4
    assert own.file_of("plug-rj") == path
    assert own.file_of("bowline-p16").parent == shared_folder() / "gear"


def test_own_folder_that_is_missing_is_wrong_use(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="does not exist"):
        load_catalogue([tmp_path / "nowhere"])
    with pytest.raises(UsageError, match="is not a folder"):
        load_catalogue([write(tmp_path, "a.json", plug())])


def test_id_in_two_files_of_one_folder_is_refused(tmp_path: Path) -> None:
    write(tmp_path, "a.json", plug())
    write(tmp_path, "b.json", plug())
    with pytest.raises(InputError, match=r"b\.json: 'my-plug' is already in a\.json"):
        load_catalogue([tmp_path])


def test_user_folder_is_named_without_being_made() -> None:
    folder = user_gear_folder()
    assert folder.name == "gear"
    assert folder.is_absolute()
    assert user_gear_folders() in ((), (folder,))


def test_order_of_files_does_not_matter(tmp_path: Path) -> None:
    write(tmp_path, "z.json", plug())
    write(tmp_path, "a.json", plug(id="other"))
    assert [item.id for item in load_catalogue([tmp_path])] == sorted(item.id for item in load_catalogue([tmp_path]))


def test_catalogue_of_nothing_is_a_value() -> None:
    empty: tuple[GearType, ...] = ()
    assert len(Catalogue(empty, ())) == 0
    assert "x" not in Catalogue(empty, ())
