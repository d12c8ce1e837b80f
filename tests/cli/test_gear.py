"""`gear`: list, show, check, and folders of one's own."""

from __future__ import annotations

import json
from pathlib import Path

from survey_app.gear import load_catalogue
from tests.cli.process import Cli


def test_list_has_every_type_on_a_line(cli: Cli) -> None:
    lines = cli("gear").out.splitlines()
    assert [line.split()[0] for line in lines] == [item.id for item in load_catalogue()]
    assert cli("gear", "list").out.splitlines() == lines


def test_list_of_one_kind_has_that_kind_only(cli: Cli) -> None:
    lines = cli("gear", "list", "--kind", "radio").out.splitlines()
    assert len(lines) == len(load_catalogue().of_kind("radio"))
    assert all(line.split()[1] == "radio" for line in lines)


def test_show_has_every_field_with_its_unit(cli: Cli) -> None:
    out = cli("gear", "show", "Bowline P16").out
    assert "pattern.gain_dbi" in out
    assert "16 dBi" in out
    assert "watts_w" in out
    assert "8 W" in out


def test_every_type_can_be_shown(cli: Cli) -> None:
    for item in load_catalogue():
        assert cli("gear", "show", item.id).status == 0


def test_check_counts_types_and_faults(cli: Cli) -> None:
    assert cli("gear", "check").out.splitlines()[-1] == f"{len(load_catalogue())} gear types, 0 faults"


def _own(folder: Path, **changes: object) -> Path:
    panel = json.loads(load_catalogue().find("bowline-p16").model_dump_json())
    folder.mkdir(parents=True)
    items = {"format": "survey-gear", "version": 1, "items": [panel | changes]}
    (folder / "mine.json").write_text(json.dumps(items), encoding="utf-8")
    return folder


def test_own_folder_replaces_built_in_figures(cli: Cli, tmp_path: Path) -> None:
    folder = _own(tmp_path / "mine", watts_w=9.0)
    assert "9 W" in cli("gear", "show", "bowline-p16", "--folder", folder).out
    assert "9 W" in cli("gear", "--folder", folder, "show", "bowline-p16").out


def test_folder_of_the_user_is_read_without_being_named(cli: Cli) -> None:
    from survey_app.gear.user_folder import user_gear_folder

    _own(user_gear_folder(), watts_w=9.0)
    assert "9 W" in cli("gear", "show", "bowline-p16").out


def test_wrong_entry_gets_file_entry_and_field(cli: Cli, tmp_path: Path) -> None:
    found = cli("gear", "check", "--folder", _own(tmp_path / "mine", watts_w=-1.0))
    assert found.status == 3
    for words in ("mine.json", "bowline-p16", "watts_w"):
        assert words in found.err


def test_implausible_entry_is_told_by_the_check(cli: Cli, tmp_path: Path) -> None:
    found = cli(
        "gear", "check", "--folder", _own(tmp_path / "mine", noise_figure_db=0.0, sensitivity_20mhz_dbm=[-130.0] * 8)
    )
    assert "bowline-p16, sensitivity_20mhz_dbm" in found.out
