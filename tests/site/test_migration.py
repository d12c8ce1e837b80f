"""Older versions of the file."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from survey_app.site import FileFaultsError, read_site, write_site
from survey_app.site import file as file_module
from survey_app.site import migration as migration_module
from survey_app.site.file import site_from_bytes, site_to_bytes
from survey_app.site.migration import STEPS, keep_original, migrate, version_of
from survey_app.site.site import VERSION
from tests.site.full_site import full_site

SAMPLES = Path(__file__).parent / "samples"


def test_there_is_a_sample_and_a_step_for_every_version() -> None:
    assert sorted(one.name for one in SAMPLES.iterdir()) == [f"version-{one}.json" for one in range(1, VERSION + 1)]
    assert set(STEPS) == set(range(1, VERSION))


@pytest.mark.parametrize("version", range(1, VERSION + 1))
def test_sample_of_every_version_gives_the_full_site(version: int) -> None:
    data = (SAMPLES / f"version-{version}.json").read_bytes()
    assert site_from_bytes(data, "sample") == full_site()


def test_sample_of_the_present_version_is_what_is_written_today() -> None:
    assert (SAMPLES / f"version-{VERSION}.json").read_bytes() == site_to_bytes(full_site())


def _from_1(tree: dict[str, Any]) -> dict[str, Any]:
    return {**tree, "design": {**tree["design"], "name": tree["design"]["title"]}}


def _from_2(tree: dict[str, Any]) -> dict[str, Any]:
    design = {key: value for key, value in tree["design"].items() if key != "title"}
    return {**tree, "design": design}


OLD = {"format": "survey-site", "version": 1, "design": {"title": "Yard"}}


def test_migrate_goes_step_by_step_and_leaves_the_old_tree() -> None:
    before = json.dumps(OLD)
    new = migrate(OLD, "site.json", steps={1: _from_1, 2: _from_2}, newest=3)
    assert new == {"format": "survey-site", "version": 3, "design": {"name": "Yard"}}
    assert json.dumps(OLD) == before


def test_migrate_of_the_newest_version_returns_the_same_tree() -> None:
    assert migrate(OLD, "site.json") is OLD


def test_migrate_when_a_file_is_not_built_like_its_version_says_so() -> None:
    broken = {**OLD, "design": {}}
    with pytest.raises(FileFaultsError, match="says version 1, but is not built like one"):
        migrate(broken, "site.json", steps={1: _from_1, 2: _from_2}, newest=3)


def test_version_of_a_newer_file_asks_for_the_newer_program() -> None:
    with pytest.raises(FileFaultsError, match="made by a newer version of the program") as error:
        version_of({**OLD, "version": VERSION + 1}, "site.json")
    assert error.value.exit_status == 3


def test_original_of_an_older_version_is_kept_once(tmp_path: Path) -> None:
    file = tmp_path / "site.json"
    file.write_text(json.dumps(OLD))
    kept = keep_original(file, newest=2)
    assert kept == tmp_path / "site.version-1.json"
    assert kept.read_bytes() == file.read_bytes()
    file.write_text(json.dumps({**OLD, "design": {"title": "Other"}}))
    assert keep_original(file, newest=2) == kept
    assert json.loads(kept.read_text()) == OLD


def test_original_of_the_present_version_is_not_kept(tmp_path: Path) -> None:
    write_site(full_site(), tmp_path)
    assert keep_original(tmp_path / "site.json") is None
    assert keep_original(tmp_path / "no.json") is None
    assert [one.name for one in tmp_path.iterdir()] == ["site.json"]


def test_older_file_when_read_and_saved_is_migrated_and_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """As it will be with version 2: here the present layout plays the second version."""
    tree = json.loads(site_to_bytes(full_site()))
    tree["design"]["title"] = tree["design"].pop("name")
    (tmp_path / "site.json").write_text(json.dumps(tree))

    def as_version_2(tree: dict[str, Any], source: str) -> dict[str, Any]:
        new = migrate(tree, source, steps={1: lambda one: _from_2(_from_1(one))}, newest=2)
        return {**new, "version": 1}

    monkeypatch.setattr(file_module, "migrate", as_version_2)
    site = read_site(tmp_path)
    assert site == full_site()
    monkeypatch.setattr(file_module, "keep_original", lambda path: keep_original(path, newest=2))
    write_site(site, tmp_path)
    assert json.loads((tmp_path / "site.version-1.json").read_text()) == tree
    assert migration_module.STEPS == STEPS
