"""`what-if` says what an event does; nothing is edited, and the exit status does not judge."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from survey_app.site.edits.sharing import rebuilt, with_fields
from survey_app.site.file import read_site, site_to_bytes
from tests.cli.process import Cli


def test_failure_is_told_in_sentences_and_figures(cli: Cli, boatyard: Path) -> None:
    found = cli("what-if", boatyard, "--fails", "A-S")
    assert (found.status, found.err) == (0, "")
    lines = found.out.splitlines()
    assert lines[:2] == ["A-S fails.", "Dark until somebody acts: cam-a-1, cam-a-2, cam-b-1, cam-b-2."]
    assert "before" in found.out
    assert "worst margin" in found.out


def test_json_is_one_object_with_the_event(cli: Cli, college: Path) -> None:
    found = cli("what-if", college, "--rain", "60", "--json")
    told = json.loads(found.out)
    assert told["kind"] == "rain"
    assert told["event"] == "It rains 60 mm/h on all hops."
    assert told["change"] is not None
    assert found.status == 0, "the design stops, and what-if does not judge it"


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ((), "no event is named"),
        (("--rain", "3", "--fails", "A-S"), "2 events are named"),
        (("--rain", "900"), "between 0 and 300"),
        (("--rain", "nan"), "between 0 and 300"),
        (("--fails", "A-s"), "did you mean"),
        (("--radar", "ST-A"), "no access point called"),
        (("--neighbour", "gate"), "write MOUNT,CHANNEL,DBM,BUSY"),
        (("--neighbour", "gate,157,-70,30,20,1"), "write MOUNT,CHANNEL,DBM,BUSY"),
        (("--neighbour", "gate,157,-70,130"), "between 0 and 100"),
        (("--neighbour", "gaet,157,-70,30"), "did you mean gate"),
    ],
)
def test_wrong_use_is_one_sentence(cli: Cli, boatyard: Path, arguments: tuple[str, ...], said: str) -> None:
    found = cli("what-if", boatyard, *arguments)
    assert (found.status, found.out) == (2, "")
    assert said in found.err
    assert len(found.err.strip().splitlines()) == 1


def test_things_of_later_are_counted_when_asked_for_and_the_file_stays(
    cli: Cli, boatyard: Path, tmp_path: Path
) -> None:
    site = read_site(boatyard)
    cameras = tuple(rebuilt(row, row.id, status="later") if row.id == "cam-a-1" else row for row in site.design.cameras)
    file = tmp_path / "site.json"
    file.write_bytes(site_to_bytes(with_fields(site, design=with_fields(site.design, cameras=cameras))))
    before = file.read_bytes()
    now = json.loads(cli("check", tmp_path, "--json").out)
    then = json.loads(cli("check", tmp_path, "--json", "--with-later").out)
    assert (now["with_later"], then["with_later"]) == (False, True)
    assert "cam-a-1" not in {row["id"] for row in now["cameras"]}
    assert "cam-a-1" in {row["id"] for row in then["cameras"]}
    loads = [next(cell["load_fraction"] for cell in found["cells"] if cell["id"] == "A-S") for found in (now, then)]
    assert loads[0] < loads[1]
    assert "planned for later" in cli("check", tmp_path, "--with-later").out
    assert "planned for later" not in cli("check", tmp_path).out
    assert "cam-a-1" in cli("what-if", tmp_path, "--fails", "A-S", "--with-later").out
    assert file.read_bytes() == before
