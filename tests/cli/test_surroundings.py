"""The same bytes whatever the machine is set to: language, time zone, a home with spaces and letters of any script."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import platformdirs
import pytest

from tests.cli.process import ROOT, environment, survey_app

# what can be set together is: one difference is as plain among three settings as alone
SURROUNDINGS = {
    "c, no colour": {"LANG": "C", "LC_ALL": "C", "NO_COLOR": "1"},
    "latin, decimal comma, kathmandu": {
        "LANG": "de_DE.ISO-8859-1", "PYTHONIOENCODING": "latin-1", "LC_NUMERIC": "de_DE.UTF-8", "TZ": "Asia/Kathmandu",
    },
    "ascii, colour": {
        "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0", "LC_ALL": "POSIX",
        "FORCE_COLOR": "1", "CLICOLOR_FORCE": "1", "TERM": "xterm-256color",
    },
}  # fmt: skip


HOME = "hëim mit 空白"


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    return _outputs({}, tmp_path_factory.mktemp("plain"))


# several commands in one process of those surroundings: starting one takes longer than the work
PROGRAM = """
import sys
from itertools import groupby
from survey_app.cli.run import run
for next_one, words in groupby(sys.argv[1:], ";".__eq__):
    if next_one:
        continue
    words = list(words)
    status = run(words)
    assert status in (0, 1), (status, words)
    sys.stdout.buffer.write(b"\\0")
    sys.stdout.buffer.flush()
"""


def _outputs(changes: dict[str, str], folder: Path) -> dict[str, bytes]:
    # machine code that is kept already is read back, not made anew
    kept = {"XDG_CACHE_HOME": str(platformdirs.user_cache_path())}
    env = environment(HOME=str(folder / HOME), **kept, **changes)
    env.pop("PYTHONHASHSEED", None)
    yard = str(ROOT / "demo_sites" / "college")
    paper = folder / "päper wîth späces"
    commands = {
        "check": ["check", yard],
        "json": ["check", yard, "--json"],
        "aim": ["aim", "--from", "43.55,-69.6,16", "--to", "43.551,-69.598,8", "--date", "2026-12-01"],
        "schedule": ["schedule", yard, "-o", str(paper)],
    }
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM, *(word for words in commands.values() for word in (*words, ";"))],
        env=env,
        capture_output=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stderr.decode(errors="replace")
    *said, rest = done.stdout.split(b"\0")
    assert rest == b""
    found = dict(zip(commands, said, strict=True))
    found["json"] = re.sub(rb'"generated": "[^"]+"', b"", found["json"])
    del found["schedule"]  # it names the folder
    return found | {file.name: file.read_bytes() for file in paper.iterdir()}


@pytest.mark.slow
@pytest.mark.parametrize("case", SURROUNDINGS)
def test_output_is_the_same_in_any_surroundings(case: str, plain: dict[str, bytes], tmp_path: Path) -> None:
    found = _outputs(SURROUNDINGS[case], tmp_path)
    assert {name for name in plain if found[name] != plain[name]} == set()
    assert all(plain.values())
    assert b"\x1b" not in plain["check"] + found["check"]


def test_site_in_a_folder_of_any_script_is_read_and_written(tmp_path: Path) -> None:
    folder = tmp_path / "ملعب 空白 ü"
    made = survey_app("new", "Ünïcode #$\\ 空", "--at", "43.55,-69.6", "--region", "US", "-o", folder)
    assert made.returncode == 0, made.stderr
    assert made.stdout.decode("utf-8").strip() == str(folder / "site.json")
    assert "Ünïcode #$\\ 空" in survey_app("check", folder).stdout.decode("utf-8")


def test_machine_code_is_kept_in_a_home_of_any_script(tmp_path: Path) -> None:
    program = (
        "import numpy as np; from survey_app.ground.ray import usable; assert usable(*np.zeros((2, 60_000, 3))).all()"
    )
    env = environment(HOME=str(tmp_path / HOME))
    env.pop("XDG_CACHE_HOME", None)
    subprocess.run([sys.executable, "-c", program], env=env, timeout=300, check=True)
    assert list((tmp_path / HOME).rglob("*.nbi"))


def test_home_that_does_not_exist_is_no_fault(tmp_path: Path) -> None:
    env = environment(HOME=str(tmp_path / "nowhere"), XDG_DATA_HOME="", XDG_STATE_HOME="", XDG_CACHE_HOME="")
    assert survey_app("gear", env=env).returncode == 0


def test_progress_is_shown_to_a_terminal_only(tmp_path: Path) -> None:
    found = survey_app("sheets", ROOT / "demo_sites" / "boatyard", "-o", tmp_path / "a.pdf")
    assert found.stderr == b""
