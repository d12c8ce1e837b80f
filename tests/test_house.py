"""The house: what stands at the top level, what travels in the wheel, what the test command and CI share."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
TOP = {
    "CHANGELOG.md", "DEVELOPERS.md", "README.md", "demo_sites", "pyproject.toml", "resources", "shared", "survey_app", "tests",
}  # fmt: skip


def _tracked() -> list[str]:
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False)
    if listed.returncode:
        pytest.skip("not a clone")
    return listed.stdout.splitlines()


def test_top_level_holds_what_it_should_and_nothing_else() -> None:
    assert {path.split("/")[0] for path in _tracked() if not path.startswith(".")} == TOP


def test_ci_runs_exactly_the_test_command_of_the_readme() -> None:
    blocks = re.findall(r"```bash\n(.*?)```", (ROOT / "README.md").read_text(encoding="utf-8"), re.DOTALL)
    command = blocks[1].strip()
    assert (ROOT / ".ci" / "run").read_text(encoding="utf-8").strip().endswith(f"exec {command}")


def test_no_module_is_longer_than_one_sitting() -> None:
    long = {}
    for path in _tracked():
        if path.startswith("survey_app/") and path.endswith(".py"):
            lines = (ROOT / path).read_text(encoding="utf-8").count("\n")
            if lines > 800:
                long[path] = lines
    assert not long


def test_every_quantity_that_floors_pass_on_is_in_the_list_once() -> None:
    rows = re.findall(
        r"^\| `?([a-z][a-z0-9_]*)`? \|", (ROOT / "shared" / "quantities.md").read_text(encoding="utf-8"), re.MULTILINE
    )
    names = [name for name in rows if name != "name"]
    twice = {name for name in names if names.count(name) > 1}
    assert names
    assert not twice
