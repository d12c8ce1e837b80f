"""What each command may import: nothing of Qt, and the slow libraries only where they are needed."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

from tests.cli.process import ROOT, environment

SLOW = ("shapely", "scipy", "numba", "typst", "xlsxwriter", "pypdfium2", "rich")
NEVER = ("PySide6", "PyQt6", "pyqtgraph", "matplotlib", "pytest", "hypothesis")
YARD = str(ROOT / "demo_sites" / "boatyard")
AIM = ["aim", "--from", "43.55,-69.6,16", "--to", "43.551,-69.598,8"]
# commands that may load the same run in one process: what none of them may load, none has loaded
CASES = {
    "without a site": (
        (["--help"], AIM, ["gear"], ["reach", "bowline-p18", "--region", "US", "--mbps", "20"]),
        (),
    ),
    "assessed": (
        (["check", YARD], ["explain", YARD, "A-S", "bearing_true_deg"]),
        ("numba", "scipy", "shapely"),
    ),
    "printed": (
        (["schedule", YARD, "-o", "{folder}/a.pdf"], ["sheets", YARD, "-o", "{folder}/b.pdf"]),
        ("numba", "scipy", "shapely", "typst", "pypdfium2"),
    ),
    "workbook": (
        (["tally", YARD, "-o", "{folder}/a.xlsx"],),
        ("numba", "scipy", "shapely", "xlsxwriter", "typst", "pypdfium2"),
    ),
}
PROGRAM = """
import json, sys
from survey_app.cli.run import run
statuses = [run(words) for words in json.loads(sys.argv[1])]
print(json.dumps([statuses, sorted({name.partition(".")[0] for name in sys.modules})]), file=sys.stderr)
"""


@pytest.mark.parametrize("case", CASES)
def test_commands_import_only_what_they_need(case: str, tmp_path: object) -> None:
    commands, allowed = CASES[case]
    words = [[word.replace("{folder}", str(tmp_path)) for word in command] for command in commands]
    found = subprocess.run(
        [sys.executable, "-c", PROGRAM, json.dumps(words)],
        env=environment(),
        capture_output=True,
        check=True,
        timeout=300,
    )
    statuses, names = json.loads(found.stderr.splitlines()[-1])
    assert set(statuses) == {0}
    assert not set(names) & set(NEVER)
    assert set(names) & set(SLOW) <= set(allowed)


def test_aim_loads_neither_the_document_nor_the_assessment() -> None:
    program = PROGRAM.replace('name.partition(".")[0]', "name")
    words = json.dumps([AIM])
    found = subprocess.run(
        [sys.executable, "-c", program, words], env=environment(), capture_output=True, check=True, timeout=300
    )
    _, names = json.loads(found.stderr.splitlines()[-1])
    ours = {name for name in names if name.startswith("survey_app.")}
    assert not {name for name in ours if name.startswith(("survey_app.site", "survey_app.gear", "survey_app.spectrum"))}
    assert {name for name in ours if name.startswith("survey_app.assess.")} == {"survey_app.assess.aim_line"}
