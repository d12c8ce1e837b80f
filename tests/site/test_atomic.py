"""Writing whole or not at all."""

from __future__ import annotations

import os
import stat
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from survey_app.errors import OutputError
from survey_app.site import atomic, write_site
from survey_app.site.atomic import write_atomically
from tests.site.full_site import full_site

# One quiet process forks the savers, so that two hundred of them cost no start of the interpreter each.
KILLER = """
import os, random, signal, sys, time
from pathlib import Path
from survey_app.site import read_site, write_site
from survey_app.site.edits import change

folder, chance, contents = Path(sys.argv[1]), random.Random(7), set()
site = read_site(folder)
# the checks of the records are made before the children are, not by each of them
site = change(site, "gate-mount", height_m=1.0).after
for kill in range(200):
    if kill % 20 == 0:
        begin = time.perf_counter()
        write_site(site, folder)
        one_save_s = time.perf_counter() - begin
    child = os.fork()
    if child == 0:
        number = kill * 1000
        while True:
            number += 1
            site = change(site, "gate-mount", height_m=float(number % 900), note="x" * (number % 999)).after
            write_site(site, folder)
    time.sleep(min(chance.random() * 3 * one_save_s, 0.1))
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    site = read_site(folder)
    contents.add((folder / "site.json").read_bytes())
print(kill + 1, len(contents), len(list(folder.glob(".site.json.*.part"))))
"""


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
def test_site_when_the_program_is_killed_while_saving_always_loads(tmp_path: Path) -> None:
    """Two hundred kills at random moments; the site is read after each."""
    write_site(full_site(), tmp_path / "my yard")
    done = subprocess.run(
        [sys.executable, "-c", KILLER, str(tmp_path / "my yard")],
        capture_output=True,
        text=True,
        cwd=_ROOT,
        timeout=120,
        check=False,
    )
    assert done.stderr == ""
    kills, contents, left = map(int, done.stdout.split())
    assert kills == 200
    # the kills did fall into the saving: contents changed, and half-written files were left aside
    assert contents > 20
    assert left > 0


_ROOT = Path(__file__).resolve().parents[2]


@pytest.mark.parametrize("step", ["_write_through", "_replace"])
def test_write_when_it_fails_half_way_leaves_the_old_file_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    file = tmp_path / "site.json"
    file.write_bytes(b"old")
    real = getattr(atomic, step)

    def fail(path: Path, *rest: Any) -> None:
        if step == "_write_through":
            real(path, *rest)
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(atomic, step, fail)
    with pytest.raises(OutputError, match="no space left") as error:
        write_atomically(file, b"new")
    assert error.value.exit_status == 73
    assert [one.name for one in tmp_path.iterdir()] == ["site.json"]
    assert file.read_bytes() == b"old"


def test_write_when_the_old_file_is_held_for_a_moment_tries_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "site.json"
    file.write_bytes(b"old")
    real, tries = Path.replace, []

    def held(self: Path, target: Path) -> Path:
        tries.append(target)
        if len(tries) < 3:
            raise PermissionError(13, "sharing violation")
        return real(self, target)

    monkeypatch.setattr(Path, "replace", held)
    monkeypatch.setattr(atomic, "_LOCKS_OPEN_FILES", True)
    monkeypatch.setattr(atomic, "_PAUSE_S", 0.0)
    write_atomically(file, b"new")
    assert (file.read_bytes(), len(tries)) == (b"new", 3)


def test_write_when_the_old_file_stays_held_gives_up_with_a_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def held(self: Path, target: Path) -> Path:
        raise PermissionError(13, "Sharing violation")

    monkeypatch.setattr(Path, "replace", held)
    monkeypatch.setattr(atomic, "_LOCKS_OPEN_FILES", True)
    monkeypatch.setattr(atomic, "_PAUSE_S", 0.0)
    with pytest.raises(OutputError, match="sharing violation"):
        write_atomically(tmp_path / "site.json", b"new")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.skipif(os.name != "posix", reason="permission bits")
def test_write_keeps_the_permissions_of_the_file_that_it_replaces(tmp_path: Path) -> None:
    file = tmp_path / "site.json"
    file.write_bytes(b"old")
    file.chmod(0o640)
    write_atomically(file, b"new")
    assert stat.S_IMODE(file.stat().st_mode) == 0o640


def test_write_removes_what_a_killed_process_left_long_ago_and_nothing_else(tmp_path: Path) -> None:
    old, young, other = (
        tmp_path / name for name in (".site.json.aa.part", ".site.json.bb.part", ".other.json.cc.part")
    )
    for file in (old, young, other):
        file.write_bytes(b"half")
    for file in (old, other):
        os.utime(file, (1, 1))
    write_atomically(tmp_path / "site.json", b"new")
    assert sorted(one.name for one in tmp_path.iterdir()) == [".other.json.cc.part", ".site.json.bb.part", "site.json"]


def test_write_makes_missing_folders(tmp_path: Path) -> None:
    write_atomically(tmp_path / "a b" / "ü" / "site.json", b"new")
    assert (tmp_path / "a b" / "ü" / "site.json").read_bytes() == b"new"
