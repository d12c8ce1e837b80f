"""The bare command and `open`: a window where one can be shown, one sentence where none can."""

from __future__ import annotations

import socket
import sys
import types
from collections.abc import Callable
from pathlib import Path

import pytest

from survey_app.cli import window
from survey_app.session import Document
from tests.cli.process import Cli, environment, survey_app

APPLICATION = "survey_app.desktop.shell.application"
on_linux = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="other systems always have a screen")


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[Path | None]:
    """Return what the window was asked to open; no window is shown."""
    found: list[Path | None] = []

    def run_desktop(path: Path | None) -> int:
        if path is not None:
            Document.open(path).close()
        found.append(path)
        return 0

    module = types.ModuleType(APPLICATION)
    module.run_desktop = run_desktop  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, APPLICATION, module)
    monkeypatch.setenv("QT_QPA_PLATFORM", "offscreen")
    return found


def test_no_command_opens_the_window_without_a_site(cli: Cli, asked: list[Path | None]) -> None:
    found = cli()
    assert (found.status, found.out, found.err) == (0, "", "")
    assert asked == [None]


def test_open_gives_the_site_to_the_window(cli: Cli, asked: list[Path | None], boatyard: Path) -> None:
    assert cli("open", boatyard).status == 0
    assert asked == [boatyard]


def test_status_of_the_window_is_that_of_the_command(cli: Cli, asked: list[Path | None]) -> None:
    sys.modules[APPLICATION].run_desktop = lambda _path: 70  # type: ignore[attr-defined]
    assert cli().status == 70


@pytest.mark.parametrize("text", ["", "{", '{"format": "survey-site", "version": 99}'])
def test_open_on_what_is_no_site_says_what_check_says_before_any_window(
    cli: Cli, asked: list[Path | None], tmp_path: Path, text: str
) -> None:
    (tmp_path / "site.json").write_text(text)
    opened, checked = cli("open", tmp_path), cli("check", tmp_path)
    assert opened.status == 3
    assert (opened.out, opened.err) == ("", checked.err)
    assert asked == []


def test_open_on_nothing_offers_the_nearest(cli: Cli, asked: list[Path | None], boatyard: Path) -> None:
    found = cli("open", boatyard.with_name("boatyrad"))
    assert found.status == 2
    assert "did you mean" in found.err
    assert asked == []


@on_linux
@pytest.mark.parametrize("command", [(), ("open", "boatyard")])
def test_without_a_screen_one_sentence_and_status_2(command: tuple[str, ...], boatyard: Path, tmp_path: Path) -> None:
    surroundings = environment(XDG_STATE_HOME=str(tmp_path))
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        surroundings.pop(name, None)
    found = survey_app(*command, env=surroundings, cwd=boatyard.parent)
    assert found.returncode == 2
    assert found.stdout == b""
    said = found.stderr.decode()
    assert said.count("\n") == 1
    assert said.startswith("survey-app: the window cannot open here (there is no screen")
    assert "survey-app check" in said


def fails(monkeypatch: pytest.MonkeyPatch, error: ImportError) -> None:
    def run_desktop(path: Path | None) -> int:
        raise error

    monkeypatch.setattr(sys.modules[APPLICATION], "run_desktop", run_desktop)


def test_without_the_window_library_one_sentence_and_status_2(
    cli: Cli, asked: list[Path | None], monkeypatch: pytest.MonkeyPatch
) -> None:
    what = "libEGL.so.1: cannot open shared object file"
    fails(monkeypatch, ImportError(f"{what}\nand more", name="PySide6.QtWidgets"))
    found = cli()
    assert found.status == 2
    assert f"the window cannot open here ({what})" in found.err
    assert found.err.count("\n") == 1


def test_a_fault_of_the_window_itself_is_no_wrong_use(
    cli: Cli, asked: list[Path | None], monkeypatch: pytest.MonkeyPatch
) -> None:
    fails(monkeypatch, ImportError("cannot import name 'x'", name="survey_app.desktop"))
    assert cli().status == 70


def test_the_real_window_refuses_what_is_no_site_before_it_opens(tmp_path: Path) -> None:
    (tmp_path / "site.json").write_text("{")
    surroundings = environment(QT_QPA_PLATFORM="offscreen", XDG_STATE_HOME=str(tmp_path / "state"))
    opened, checked = (survey_app(command, tmp_path, env=surroundings) for command in ("open", "check"))
    assert (opened.returncode, opened.stdout, opened.stderr) == (3, b"", checked.stderr)


@on_linux
def test_a_screen_that_does_not_answer_is_told(cli: Cli, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("QT_QPA_PLATFORM", raising=False)
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
    monkeypatch.setenv("DISPLAY", ":64123")
    found = cli()
    assert found.status == 2
    assert "the screen :64123 does not answer" in found.err


@on_linux
@pytest.mark.parametrize("name", ["DISPLAY", "WAYLAND_DISPLAY"])
def test_a_screen_that_listens_is_used(
    name: str, cli: Cli, asked: list[Path | None], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    for other in ("QT_QPA_PLATFORM", "DISPLAY", "WAYLAND_DISPLAY"):
        monkeypatch.delenv(other, raising=False)
    with socket.socket(socket.AF_UNIX, socket.SOCK_STREAM) as server:
        if name == "DISPLAY":
            server.bind("\0/tmp/.X11-unix/X64124")
            value = ":64124.0"
        else:
            server.bind(str(tmp_path / "wayland-9"))
            value = "wayland-9"
        server.listen()
        monkeypatch.setenv("XDG_RUNTIME_DIR", str(tmp_path))
        monkeypatch.setenv(name, value)
        assert cli().status == 0
    assert asked == [None]


@on_linux
@pytest.mark.parametrize(("display", "answers"), [("a strange one", True), ("127.0.0.1:59000", False), ("/x:0", True)])
def test_forms_of_a_display(display: str, answers: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    answered: Callable[[str], bool] = window._answers
    assert answered(display) is answers
