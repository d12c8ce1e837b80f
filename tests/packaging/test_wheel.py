"""The wheel holds all data, and installed in an empty environment outside the clone it gives the clone's bytes."""

from __future__ import annotations

import os
import site
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from survey_app.cli.run import run
from survey_app.site.file import write_site
from tests.plot import one_hop

ROOT = Path(__file__).resolve().parents[2]
DATA = ("shared", "resources", "demo_sites")


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
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", place], check=True, capture_output=True)
    binaries = place / ("Scripts" if os.name == "nt" else "bin")
    python = binaries / ("python.exe" if os.name == "nt" else "python")
    subprocess.run(
        [sys.executable, "-m", "pip", "--python", python, "install", "--quiet", "--no-deps", "--no-index", wheel],
        check=True,
        capture_output=True,
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


@pytest.fixture(scope="module")
def yard(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a site of one hop: small enough that its sheets need no compiler in a new environment."""
    folder = tmp_path_factory.mktemp("yard")
    write_site(one_hop().site(), folder)
    return folder


def test_wheel_holds_one_package_and_its_data_inside(wheel: Path) -> None:
    packed = zipfile.ZipFile(wheel)
    names = packed.namelist()
    tops = {name.split("/")[0] for name in names}
    assert {top for top in tops if not top.endswith(".dist-info")} == {"survey_app"}
    held = {name.removeprefix("survey_app/_data/") for name in names if name.startswith("survey_app/_data/")}
    files = [path for part in DATA for path in (ROOT / part).rglob("*") if path.is_file()]
    assert len(files) > 100
    assert {path.relative_to(ROOT).as_posix() for path in files} <= held
    for path in files:
        assert packed.read(f"survey_app/_data/{path.relative_to(ROOT).as_posix()}") == path.read_bytes(), path


def test_demos_are_listed_and_paper_from_the_wheel_has_the_bytes_of_the_clone(
    program: Path, yard: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    env = {key: value for key, value in os.environ.items() if not key.startswith("PYTHON")}

    def made(*words: object) -> str:
        done = subprocess.run(
            [program, *words], cwd=tmp_path, env=env, capture_output=True, text=True, encoding="utf-8", check=False
        )
        assert done.returncode == 0, done.stderr
        return done.stdout

    def here(*words: object) -> str:
        capsys.readouterr()
        assert run([str(word) for word in words]) == 0
        return capsys.readouterr().out

    assert made("demo") == here("demo")
    for command in ("sheets", "schedule", "tally"):
        made(command, yard, "-o", tmp_path / "wheel")
        here(command, yard, "-o", tmp_path / "clone")
    files = sorted(path.name for path in (tmp_path / "wheel").iterdir())
    assert len(files) == 6
    for file in files:
        assert (tmp_path / "wheel" / file).read_bytes() == (tmp_path / "clone" / file).read_bytes(), file
