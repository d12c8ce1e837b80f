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
CASES = {
    "help": (["--help"], ()),
    "aim": (["aim", "--from", "43.55,-69.6,16", "--to", "43.551,-69.598,8"], ()),
    "gear": (["gear"], ()),
    "reach": (["reach", "bowline-p18", "--region", "US", "--mbps", "20"], ()),
    "check": (["check", YARD], ("numba", "scipy", "shapely")),
    "explain": (["explain", YARD, "A-S", "bearing_true_deg"], ("numba", "scipy", "shapely")),
    "schedule": (["schedule", YARD, "-o", "{folder}/a.pdf"], ("numba", "scipy", "shapely", "typst", "pypdfium2")),
    "sheets": (["sheets", YARD, "-o", "{folder}/a.pdf"], ("numba", "scipy", "shapely", "typst", "pypdfium2")),
    "workbook": (
        ["tally", YARD, "-o", "{folder}/a.xlsx"],
        ("numba", "scipy", "shapely", "xlsxwriter", "typst", "pypdfium2"),
    ),
}
PROGRAM = """
import json, sys
from survey_app.cli.run import run
status = run(json.loads(sys.argv[1]))
print(json.dumps([status, sorted({name.partition(".")[0] for name in sys.modules})]), file=sys.stderr)
"""


@pytest.mark.parametrize("case", CASES)
def test_command_imports_only_what_it_needs(case: str, tmp_path: object) -> None:
    arguments, allowed = CASES[case]
    words = [word.replace("{folder}", str(tmp_path)) for word in arguments]
    found = subprocess.run(
        [sys.executable, "-c", PROGRAM, json.dumps(words)],
        env=environment(),
        capture_output=True,
        check=True,
        timeout=60,
    )
    status, names = json.loads(found.stderr.splitlines()[-1])
    assert status == 0
    assert not set(names) & set(NEVER)
    assert set(names) & set(SLOW) <= set(allowed)


def test_aim_loads_neither_the_document_nor_the_assessment() -> None:
    program = PROGRAM.replace('name.partition(".")[0]', "name")
    words = json.dumps(CASES["aim"][0])
    found = subprocess.run(
        [sys.executable, "-c", program, words], env=environment(), capture_output=True, check=True, timeout=60
    )
    _, names = json.loads(found.stderr.splitlines()[-1])
    ours = {name for name in names if name.startswith("survey_app.")}
    assert not {name for name in ours if name.startswith(("survey_app.site", "survey_app.gear", "survey_app.spectrum"))}
    assert {name for name in ours if name.startswith("survey_app.assess.")} == {"survey_app.assess.aim_line"}
