"""The wheel, installed in an empty environment outside the clone, runs the demo and gives the clone's bytes."""

from __future__ import annotations

import os
import site
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    subprocess.run(
        [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", folder, ROOT],
        check=True,
        capture_output=True,
    )
    return next(folder.glob("*.whl"))


@pytest.fixture(scope="module")
def program(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Install the wheel alone; what it depends on is lent by the running environment through a path file."""
    place = tmp_path_factory.mktemp("an empty place") / "env"
    subprocess.run([sys.executable, "-m", "venv", place], check=True, capture_output=True)
    binaries = place / ("Scripts" if os.name == "nt" else "bin")
    python = binaries / ("python.exe" if os.name == "nt" else "python")
    subprocess.run(
        [python, "-m", "pip", "install", "--quiet", "--no-deps", "--no-index", wheel], check=True, capture_output=True
    )
    found = subprocess.run(
        [python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))"],
        check=True,
        capture_output=True,
        text=True,
    )
    lent = "\n".join(path for path in site.getsitepackages() if "site-packages" in path)
    (Path(found.stdout.strip()) / "lent.pth").write_text(lent + "\n", encoding="utf-8")
    return binaries / ("survey-app.exe" if os.name == "nt" else "survey-app")


def test_wheel_holds_one_package_and_its_data_inside(wheel: Path) -> None:
    names = zipfile.ZipFile(wheel).namelist()
    tops = {name.split("/")[0] for name in names}
    assert {top for top in tops if not top.endswith(".dist-info")} == {"survey_app"}
    for part in ("shared/spectrum/us.json", "resources/sheets/mounting.typ", "demo_sites/boatyard/site.json"):
        assert f"survey_app/_data/{part}" in names


def test_demo_from_the_wheel_gives_the_bytes_of_the_clone(program: Path, tmp_path: Path) -> None:
    env = {key: value for key, value in os.environ.items() if not key.startswith("PYTHON")}
    made = subprocess.run(
        [program, "demo", "college", "-o", tmp_path / "yard"],
        cwd=tmp_path,
        env=env,
        capture_output=True,
        text=True,
        check=False,
    )
    assert made.returncode == 1, made.stderr  # the design has stops
    clone = subprocess.run(
        [sys.executable, "-m", "survey_app", "demo", "college", "-o", tmp_path / "clone"],
        cwd=ROOT, env=env, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert clone.returncode == 1, clone.stderr
    files = sorted(path.relative_to(tmp_path / "yard") for path in (tmp_path / "yard").rglob("*") if path.is_file())
    assert len(files) >= 10
    for file in files:
        assert (tmp_path / "yard" / file).read_bytes() == (tmp_path / "clone" / file).read_bytes(), file
