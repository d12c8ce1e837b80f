"""`sheets`, `bench`, `schedule`, `network`, `tally`, `demo`: what is written, where, and as what."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import openpyxl
import pypdfium2
import pytest

from survey_app.assess.pipeline import assess
from survey_app.site import read_site
from tests.cli.process import ROOT, Cli

KINDS = {
    "sheets": ["boatyard-A-mounting-sheets.pdf"],
    "bench": ["boatyard-A-bench-sheets.pdf"],
    "schedule": ["boatyard-A-hop-schedule.csv", "boatyard-A-hop-schedule.pdf"],
    "network": ["boatyard-A-network.pdf"],
    "tally": ["boatyard-A-tally.csv", "boatyard-A-tally.pdf", "boatyard-A-tally.xlsx"],
}


def _is_what_it_says(file: Path) -> bool:
    data = file.read_bytes()
    if file.suffix == ".pdf":
        return len(pypdfium2.PdfDocument(data)) > 0
    if file.suffix == ".xlsx":
        return len(openpyxl.load_workbook(io.BytesIO(data)).sheetnames) > 0
    return len(list(csv.reader(io.StringIO(data.decode("utf-8-sig"))))) > 1


@pytest.mark.parametrize("command", KINDS)
def test_folder_gets_every_kind_of_file_under_its_own_name(
    cli: Cli, boatyard: Path, tmp_path: Path, command: str
) -> None:
    found = cli(command, boatyard, "-o", tmp_path / "out")
    assert (found.status, found.err) == (0, "")
    files = sorted((tmp_path / "out").iterdir())
    assert [file.name for file in files] == KINDS[command]
    assert sorted(found.out.splitlines()) == [str(file) for file in files]
    assert all(_is_what_it_says(file) for file in files)


@pytest.mark.parametrize("ending", ["pdf", "xlsx", "csv"])
def test_ending_of_a_file_chooses_its_kind(cli: Cli, small: Path, tmp_path: Path, ending: str) -> None:
    file = tmp_path / f"count.{ending}"
    assert cli("tally", small, "-o", file).status == 0
    assert [path.name for path in tmp_path.iterdir()] == [file.name]
    assert _is_what_it_says(file)


def test_without_a_target_the_current_folder_gets_the_file(
    cli: Cli, boatyard: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert cli("schedule", boatyard).status == 0
    assert sorted(path.name for path in tmp_path.iterdir()) == KINDS["schedule"]


def test_ending_that_is_not_its_own_is_refused(cli: Cli, small: Path, tmp_path: Path) -> None:
    found = cli("sheets", small, "-o", tmp_path / "sheets.xlsx")
    assert found.status == 2
    assert ".pdf" in found.err


def test_same_site_gives_the_same_bytes(cli: Cli, small: Path, tmp_path: Path) -> None:
    for folder in ("one", "two"):
        for command in KINDS:
            cli(command, small, "-o", tmp_path / folder)
    for file in (tmp_path / "one").iterdir():
        assert file.read_bytes() == (tmp_path / "two" / file.name).read_bytes(), file.name


def test_one_sheet_per_radio_on_the_paper_that_was_asked_for(cli: Cli, small: Path, tmp_path: Path) -> None:
    radios = len(assess(read_site(small)).radios)
    for paper, width_pt in (("a4", 595), ("letter", 612)):
        cli("sheets", small, "--paper", paper, "-o", tmp_path / f"{paper}.pdf")
        document = pypdfium2.PdfDocument(tmp_path / f"{paper}.pdf")
        assert len(document) == radios
        assert document[0].get_width() == pytest.approx(width_pt, abs=1)


def test_demos_are_listed_without_a_name(cli: Cli) -> None:
    lines = cli("demo").out.splitlines()
    names = sorted(path.name for path in (ROOT / "demo_sites").iterdir() if path.is_dir())
    assert [line.split()[0] for line in lines] == names


@pytest.mark.parametrize("name", sorted(path.name for path in (ROOT / "demo_sites").iterdir() if path.is_dir()))
def test_demo_is_a_whole_site_with_its_whole_paper_set(cli: Cli, name: str, tmp_path: Path) -> None:
    target = tmp_path / "out"
    found = cli("demo", name, "-o", target)
    stops = any(f.severity == "stop" and f.accepted is None for f in assess(read_site(target)).findings)
    assert found.status == int(stops)
    assert (target / "site.json").read_bytes() == (ROOT / "demo_sites" / name / "site.json").read_bytes()
    files = sorted(path.name for path in (target / "paper" / "A").iterdir())
    assert files == [
        "bench-sheets.pdf", "cover.pdf", "hop-schedule.csv", "hop-schedule.pdf", "mounting-sheets.pdf", "network.pdf", "tally.csv", "tally.pdf", "tally.xlsx",
    ]  # fmt: skip
    assert all(_is_what_it_says(target / "paper" / "A" / file) for file in files)
    assert sorted(found.out.splitlines()) == sorted(
        str(path) for path in (target / "site.json", *(target / "paper" / "A" / file for file in files))
    )


def test_demo_that_fails_leaves_nothing_behind(cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("survey_app.site.atomic._write_through", full)
    found = cli("demo", "boatyard", "-o", tmp_path / "new" / "yard")
    assert (found.status, found.out) == (73, "")
    assert not (tmp_path / "new" / "yard").exists()
