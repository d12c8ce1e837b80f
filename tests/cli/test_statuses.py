"""Exit statuses, the split of the streams, and sentences instead of tracebacks."""

from __future__ import annotations

import json
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from survey_app.errors import InternalError
from tests.cli.process import Cli, environment, survey_app

WRONG_USE = [
    ("chekc",),
    ("check",),
    ("check", "no-such-site"),
    ("check", "--jsn", "x"),
    ("aim",),
    ("aim", "--from", "43.55,-69.6,1"),
    ("aim", "--from", "43.55,-69.6", "--to", "43.56,-69.6"),
    ("aim", "--from", "43.55,-69.6,1", "--to", "43.55,-69.6,1"),
    ("aim", "--from", "43,55 -69,6", "--to", "43.56,-69.6,1"),
    ("aim", "--from", "43.55,-69.6,1", "--to", "43.56,-69.6,1", "--mhz", "nan"),
    ("aim", "--from", "43.55,-69.6,1", "--to", "43.56,-69.6,1", "--mhz", "-5800"),
    ("aim", "--from", "43.55,-69.6,1", "--to", "43.56,-69.6,1", "--mhz", "fast"),
    ("aim", "--from", "43.55,-69.6,1", "--to", "43.56,-69.6,1", "--date", "1.12.2026"),
    ("aim", "--from", "43.55,-69.6,1", "--to", "43.56,-69.6,1", "--date", "2026-02-30"),
    ("gear", "shwo", "x"),
    ("gear", "show"),
    ("gear", "show", "bowline-p61"),
    ("gear", "list", "--kind", "radoi"),
    ("gear", "list", "--folder", "no-such-folder"),
    ("reach", "bowline-p18", "--region", "US"),
    ("reach", "bowline-p18", "--region", "XX", "--mbps", "5"),
    ("reach", "bowline-p18", "--region", "US", "--mbps", "0"),
    ("reach", "bowline-p18", "--region", "US", "--mbps", "nan"),
    ("reach", "bowline-p18", "--region", "US", "--mbps", "5", "--width", "30"),
    ("reach", "bowline-p18", "--region", "US", "--mbps", "5", "--margin", "-1"),
    ("reach", "bowline-p18", "--region", "US", "--mbps", "5", "--as", "mesh"),
    ("reach", "bowline-p18", "--region", "US", "--mbps", "5", "--channel", "14"),
    ("reach", "a", "b", "c", "--region", "US", "--mbps", "5"),
    ("reach", "becket-c", "--region", "US", "--mbps", "5"),
    ("reach", "line-24s", "--region", "US", "--mbps", "5"),
    ("new", "x"),
    ("new", "x", "--at", "91,0"),
    ("new", "x", "--at", "43.55,-69.6", "--region", "ZZ"),
    ("new", "", "--at", "43.55,-69.6"),
    ("new", "x" * 301, "--at", "43.55,-69.6"),
    ("new", "a\nb", "--at", "43.55,-69.6"),
    ("demo", "boatyrad"),
    ("sheets", "no-such-site"),
    ("open", "no-such-site"),
    ("open",),
    ("explain", "no-such-site", "A"),
]


@pytest.mark.parametrize("arguments", WRONG_USE, ids=lambda row: " ".join(row)[:60] or "nothing")
def test_wrong_use_ends_with_2_and_a_sentence_on_standard_error(
    cli: Cli, arguments: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    found = cli(*arguments)
    assert found.status == 2
    assert found.out == ""
    assert "Traceback" not in found.err
    last = found.err.strip().splitlines()[-1]
    assert last.startswith("survey-app")
    assert last.endswith((".", "?"))
    assert not list(tmp_path.iterdir()), "wrong use leaves nothing behind"


@pytest.mark.parametrize(
    ("arguments", "offered"),
    [
        (("chekc",), "check"),
        (("gear", "show", "bowline-p61"), "bowline-p16"),
        (("gear", "list", "--kind", "radoi"), "radio"),
        (("reach", "bowline-p61", "--region", "US", "--mbps", "5"), "bowline-p16"),
        (("reach", "bowline-p16", "--region", "UX", "--mbps", "5"), "US"),
        (("new", "x", "--at", "43.55,-69.6", "--region", "UEE"), "EU"),
        (("demo", "boatyrad"), "boatyard"),
        (("aim", "--form", "1,2,3"), "--from"),
    ],
)
def test_unknown_names_are_answered_with_the_nearest(cli: Cli, arguments: tuple[str, ...], offered: str) -> None:
    found = cli(*arguments)
    assert found.status == 2
    assert offered in found.err


def test_unknown_site_subject_and_quantity_are_answered_with_the_nearest(cli: Cli, boatyard: Path) -> None:
    assert "boatyard" in cli("check", boatyard.with_name("boatyrad")).err
    assert "alternatives/cured.json" in cli("check", boatyard / "alternatives" / "curd.json").err
    assert "A-S" in cli("explain", boatyard, "A-s").err
    assert "bearing_true_deg" in cli("explain", boatyard, "A-S", "bearing_treu_deg").err


@pytest.mark.parametrize(
    "text", ["", "{", "[]", '{"format": "survey-site", "version": 99}', '{"format": "other"}', "\x00"]
)
def test_unreadable_site_ends_with_3(cli: Cli, tmp_path: Path, text: str) -> None:
    (tmp_path / "site.json").write_text(text, encoding="utf-8")
    found = cli("check", tmp_path)
    assert (found.status, found.out) == (3, "")
    assert found.err.startswith("survey-app: ")
    assert "Traceback" not in found.err


def test_all_faults_of_a_file_are_told_at_once(cli: Cli, tmp_path: Path) -> None:
    text = '{"format": "survey-site", "version": 1, "design": {"nam": "x", "as_of": "soon", "units": "yards"}}'
    (tmp_path / "site.json").write_text(text, encoding="utf-8")
    lines = cli("check", tmp_path).err.splitlines()
    assert "the first of" in lines[0]
    assert {"name", "nam", "as_of", "units"} <= {
        word for line in lines for word in line.replace(":", " ").replace(".", " ").split()
    }


def test_design_with_a_stop_ends_with_1_and_says_which(cli: Cli, college: Path) -> None:
    found = cli("check", college)
    assert found.status == 1
    assert "stop" in found.out
    assert found.err.startswith("The design stops: ")


def test_stop_does_not_keep_paper_from_being_written(cli: Cli, college: Path, tmp_path: Path) -> None:
    found = cli("schedule", college, "-o", tmp_path / "schedule.pdf")
    assert found.status == 1
    assert (tmp_path / "schedule.pdf").read_bytes().startswith(b"%PDF")
    assert found.out == f"{tmp_path / 'schedule.pdf'}\n"


def test_sound_design_ends_with_0_and_an_empty_standard_error(cli: Cli, small: Path) -> None:
    found = cli("check", small)
    assert (found.status, found.err) == (0, "")


@pytest.mark.parametrize("command", ["sheets", "bench", "schedule", "network", "tally"])
def test_file_in_place_of_the_folder_ends_with_73(cli: Cli, small: Path, tmp_path: Path, command: str) -> None:
    blocked = tmp_path / "blocked"
    blocked.write_text("kept")
    found = cli(command, small, "-o", blocked / "paper")
    assert (found.status, found.out) == (73, "")
    assert str(blocked) in found.err
    assert blocked.read_text() == "kept"


@pytest.mark.parametrize("arguments", [("demo", "boatyard"), ("new", "x", "--at", "43.55,-69.6")])
def test_folder_that_is_not_empty_is_refused_with_73(cli: Cli, tmp_path: Path, arguments: tuple[str, ...]) -> None:
    (tmp_path / "mine.txt").write_text("kept")
    found = cli(*arguments, "-o", tmp_path)
    assert (found.status, found.out) == (73, "")
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


def test_full_disk_under_standard_output_ends_with_73(small: Path) -> None:
    if not Path("/dev/full").exists():
        pytest.skip("this system has no device that is always full")
    with Path("/dev/full").open("wb") as full:
        found = subprocess.run(
            [sys.executable, "-m", "survey_app", "check", small, "--json"],
            env=environment(), stdout=full, stderr=subprocess.PIPE, check=False,
        )  # fmt: skip
    assert found.returncode == 73
    assert found.stderr.decode().startswith("survey-app: standard output: ")
    assert b"Traceback" not in found.stderr


@pytest.mark.parametrize(
    "error", [ValueError("oddly"), InternalError("the page could not be set"), RecursionError("deep")]
)
def test_fault_of_the_program_ends_with_70_and_a_report(
    cli: Cli, monkeypatch: pytest.MonkeyPatch, boatyard: Path, error: Exception
) -> None:
    from survey_app.session.report import reports_folder

    def fails(*_: object) -> None:
        raise error

    monkeypatch.setattr("survey_app.assess.pipeline.assess", fails)
    found = cli("check", boatyard)
    assert (found.status, found.out) == (70, "")
    assert len(found.err.splitlines()) == 1
    reports = list(reports_folder().iterdir())
    assert len(reports) == 1
    assert str(reports[0]) in found.err
    text = reports[0].read_text(encoding="utf-8")
    assert "Traceback" in text
    assert "arguments: ['check'" in text


def test_report_goes_elsewhere_when_the_state_folder_is_closed(
    cli: Cli, monkeypatch: pytest.MonkeyPatch, boatyard: Path, tmp_path: Path
) -> None:
    blocked = tmp_path / "blocked"
    blocked.write_text("")
    monkeypatch.setenv("XDG_STATE_HOME", str(blocked))
    monkeypatch.setattr("tempfile.gettempdir", lambda: str(tmp_path / "temporary"))
    monkeypatch.setattr("survey_app.assess.pipeline.assess", lambda *_: 1 / 0)
    found = cli("check", boatyard)
    assert found.status == 70
    assert "temporary" in found.err


def test_interruption_ends_with_130_and_leaves_no_folder(tmp_path: Path) -> None:
    target = tmp_path / "yard"
    command = [sys.executable, "-m", "survey_app", "demo", "boatyard", "-o", str(target)]
    process = subprocess.Popen(command, env=environment(), stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    for _ in range(3000):
        if target.exists() or process.poll() is not None:
            break
        time.sleep(0.02)
    process.send_signal(signal.SIGINT)
    out, err = process.communicate(timeout=60)
    assert (process.returncode, err.decode()) == (130, "survey-app: interrupted.\n")
    assert out == b""
    assert not target.exists()


def test_closed_pipe_ends_quietly(boatyard: Path) -> None:
    command = f'"{sys.executable}" -m survey_app check "{boatyard}" --json | head -c 20; echo "${{PIPESTATUS[0]}}"'
    found = subprocess.run(["bash", "-c", command], env=environment(), capture_output=True, timeout=60, check=False)
    assert found.stderr == b""
    assert found.stdout.endswith(b"0\n")


def test_closed_standard_output_is_told(small: Path) -> None:
    command = f'"{sys.executable}" -m survey_app check "{small}" >&-'
    found = subprocess.run(["bash", "-c", command], env=environment(), capture_output=True, timeout=60, check=False)
    assert found.returncode == 73
    assert b"Traceback" not in found.stderr


def test_module_and_entry_point_are_one() -> None:
    found = survey_app("aim", "--from", "43.55,-69.6,16", "--to", "43.551,-69.598,8", "--json")
    assert found.returncode == 0
    assert json.loads(found.stdout)["from"]["lat_deg"] == 43.55
