"""Reading and writing the site file."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings

from survey_app.errors import OutputError, UsageError
from survey_app.site import FileFaultsError, Site, read_site, site_file, site_folder, write_site
from survey_app.site import file as file_module
from survey_app.site.edits import change
from survey_app.site.file import site_from_bytes, site_to_bytes
from survey_app.site.place import HeightKnown
from tests.site.full_site import full_site
from tests.site.random_sites import sites


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(sites())
def test_file_when_saved_and_loaded_gives_the_same_site_and_bytes(site: Site) -> None:
    data = site_to_bytes(site)
    again = site_from_bytes(data, "random")
    assert again == site
    assert site_to_bytes(again) == data


def test_file_of_full_site_when_saved_and_loaded_is_equal(tmp_path: Path) -> None:
    site = full_site()
    assert write_site(site, tmp_path) == tmp_path / "site.json"
    assert read_site(tmp_path) == site


def test_file_when_saved_is_utf8_text_that_begins_with_format_and_version() -> None:
    lines = site_to_bytes(full_site()).decode("utf-8").split("\n")
    assert lines[:3] == ["{", '  "format": "survey-site",', '  "version": 1,']
    assert lines[-1] == ""
    assert any("Büro „Süd“" in line for line in lines)
    assert max(map(len, lines)) <= 120


def test_file_when_one_height_changes_differs_in_one_line() -> None:
    site = full_site()
    after = change(site, "gate-mount", height_m=5.5).after
    old, new = (site_to_bytes(one).decode().split("\n") for one in (site, after))
    assert len(old) == len(new)
    assert len([1 for before, behind in zip(old, new, strict=True) if before != behind]) == 1


def test_file_when_a_row_is_added_only_gains_lines() -> None:
    site = full_site()
    after = change(site, "office", outline=(*site.design.structures[0].outline, _corner(site))).after
    old, new = (site_to_bytes(one).decode().split("\n") for one in (site, after))
    assert len(new) == len(old) + 1


def _corner(site: Site) -> Any:
    return site.design.structures[1].position


def test_file_leaves_defaults_out_and_keeps_what_differs() -> None:
    site = full_site()
    tree = json.loads(site_to_bytes(site))
    pole = tree["design"]["structures"][1]
    assert pole == {
        "id": "gate-pole",
        "kind": "pole",
        "position": {"x_m": -60, "y_m": 12.5},
        "height_m": 6.5,
        "section": "tapered",
    }
    # the field's default is a drawing's height: a guessed one differs, though it has nothing but its own defaults
    assert tree["design"]["structures"][0]["base_known"] == {"how": "guessed", "sigma_m": None}
    assert site.design.structures[0].base_known == HeightKnown()


def test_paths_name_the_same_site_by_folder_file_and_alternative(tmp_path: Path) -> None:
    site = full_site()
    write_site(site, tmp_path / "yard")
    write_site(site, tmp_path / "yard" / "alternatives" / "omni.json")
    for path in ("yard", "yard/site.json", "yard/alternatives/omni.json"):
        assert read_site(tmp_path / path) == site
        assert site_folder(tmp_path / path) == tmp_path / "yard"
    assert site_file(tmp_path / "yard") == tmp_path / "yard" / "site.json"


@pytest.mark.parametrize("name", ["nowhere", "nowhere/site.json", "empty"])
def test_read_when_there_is_no_file_is_wrong_use(tmp_path: Path, name: str) -> None:
    (tmp_path / "empty").mkdir()
    with pytest.raises(UsageError, match="there is no such site") as error:
        read_site(tmp_path / name)
    assert error.value.exit_status == 2


def test_read_when_the_file_is_a_folder_is_refused(tmp_path: Path) -> None:
    (tmp_path / "site.json").mkdir()
    with pytest.raises(FileFaultsError, match="is not a file"):
        read_site(tmp_path)


def test_read_when_the_system_refuses_names_the_reason(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write_site(full_site(), tmp_path)

    def refuse(*_: Any, **__: Any) -> Any:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    with pytest.raises(FileFaultsError, match=r"site\.json: cannot be read \(permission denied\)") as error:
        read_site(tmp_path)
    assert error.value.exit_status == 3


def test_write_when_the_file_is_read_only_is_refused_and_leaves_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    site = full_site()
    write_site(site, tmp_path)
    before = (tmp_path / "site.json").read_bytes()
    monkeypatch.setattr(os, "access", lambda *_: False)
    with pytest.raises(OutputError, match="read-only") as error:
        write_site(change(site, "gate-mount", height_m=5.5).after, tmp_path)
    assert error.value.exit_status == 73
    assert (tmp_path / "site.json").read_bytes() == before


def test_write_when_the_folder_is_a_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "yard").write_text("no folder")
    with pytest.raises(OutputError) as error:
        write_site(full_site(), tmp_path / "yard" / "site.json")
    assert error.value.exit_status == 73


def test_write_when_the_site_in_memory_is_broken_leaves_the_file(tmp_path: Path) -> None:
    from survey_app.errors import InternalError
    from survey_app.site.edits.sharing import with_fields

    site = full_site()
    write_site(site, tmp_path)
    before = (tmp_path / "site.json").read_bytes()
    broken = with_fields(site, design=with_fields(site.design, revision="much too long"))
    with pytest.raises(InternalError, match=r"design\.revision"):
        write_site(broken, tmp_path)
    assert (tmp_path / "site.json").read_bytes() == before


def test_write_when_the_file_grows_too_large_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(file_module, "MOST_BYTES", 100)
    with pytest.raises(OutputError, match="larger"):
        write_site(full_site(), tmp_path)


def test_read_when_a_photograph_is_reached_by_a_link_out_of_the_folder_is_refused(tmp_path: Path) -> None:
    folder = tmp_path / "yard"
    write_site(full_site(), folder)
    (folder / "assets").mkdir()
    (folder / "assets" / "gate").symlink_to(tmp_path, target_is_directory=True)
    with pytest.raises(FileFaultsError, match=r"design\.photographs\[0\]\.file: .* link that leaves the folder"):
        read_site(folder)


def test_faults_when_several_are_all_in_one_report() -> None:
    tree = json.loads(site_to_bytes(full_site()))
    tree["design"]["mounts"][3]["height_m"] = "twelve"
    tree["design"]["radios"][0]["colour"] = "red"
    del tree["design"]["as_of"]
    with pytest.raises(FileFaultsError) as error:
        site_from_bytes(json.dumps(tree).encode(), "yard/site.json")
    faults = {fault.place: fault.sentence for fault in error.value.faults}
    assert faults == {
        "design.as_of": "is missing, a date such as '2026-12-01' is needed",
        "design.mounts[3].height_m": "'twelve' is text, a number in metres is needed",
        "design.radios[0].colour": "no such field is known",
    }
    assert str(error.value).endswith("(the first of 3 faults).")


def test_faults_of_references_when_several_are_all_in_one_report() -> None:
    tree = json.loads(site_to_bytes(full_site()))
    tree["design"]["mounts"][1]["structure"] = "gate-pol"
    tree["design"]["hops"][0]["station"] = "ap"
    tree["design"]["photographs"][0]["file"] = "../x.jpg"
    with pytest.raises(FileFaultsError) as error:
        site_from_bytes(json.dumps(tree).encode(), "yard/site.json")
    assert [fault.place for fault in error.value.faults] == [
        "design.mounts[1].structure",
        "design.hops[0].station",
        "design.photographs[0].file",
    ]
    assert "did you mean 'gate-pole'" in error.value.faults[0].sentence


@pytest.mark.parametrize("name", ["x" * 300, "y/" * 3000, "a\0b", "x" * 300 + ".json"])
def test_name_that_no_file_can_have_is_no_site(name: str) -> None:
    with pytest.raises(UsageError, match="no such site"):
        read_site(name)
