"""The file of secrets."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from survey_app.site import FileFaultsError, write_site
from survey_app.site.secrets import (
    Secret,
    Secrets,
    read_secrets,
    secret_of,
    secrets_are_exposed,
    write_secrets,
)
from tests.site.full_site import full_site

PLANTED = "hunter2 „süß“"


def test_secrets_when_absent_are_blank(tmp_path: Path) -> None:
    assert read_secrets(tmp_path) == Secrets()
    assert secret_of(Secrets(), "ap") == Secret(of="ap")
    assert not secrets_are_exposed(tmp_path)


def test_secrets_when_written_and_read_are_the_same_and_for_their_user_only(tmp_path: Path) -> None:
    secrets = Secrets(rows=(Secret(of="ap", pass_phrase=PLANTED), Secret(of="plug-1", login="me", password="pw")))
    file = write_secrets(secrets, tmp_path)
    assert read_secrets(tmp_path) == secrets
    assert secret_of(secrets, "ap").pass_phrase == PLANTED
    if os.name == "posix":
        assert stat.S_IMODE(file.stat().st_mode) == 0o600
        assert not secrets_are_exposed(tmp_path)
        file.chmod(0o644)
        assert secrets_are_exposed(tmp_path)
        write_secrets(secrets, tmp_path)
        assert not secrets_are_exposed(tmp_path)


def test_secrets_are_never_shown_by_repr() -> None:
    secrets = Secrets(rows=(Secret(of="ap", pass_phrase=PLANTED, password=PLANTED, login=PLANTED),))
    assert PLANTED not in repr(secrets) + str(secrets)


ROW = '{"format": "survey-secrets", "version": 1, "rows": [{"of": '
BROKEN = [
    f'{ROW}"ap", "pass_phrase": 5, "login": "{PLANTED}"}}]}}',
    f'{ROW}"{PLANTED}"}}]}}',
    f'{ROW}"ap", "pass_phrase": ["{PLANTED}"]}}]}}',
    f'{{"format": "{PLANTED}", "version": 1}}',
    f'{ROW}"ap", "pass_phrase": "{PLANTED}{"x" * 400}"}}]}}',
    f'{ROW}"ap", "pass_phrase": "{PLANTED}"',
    f'{ROW}"ap", "pass_phrase": "{PLANTED}\\q"}}]}}',
    f'{ROW}"a", "login": "{PLANTED}"}}, {{"of": "a"}}]}}',
    f'{ROW}"a", "login": NaN}}]}}',
    f'{{"{PLANTED}": 1}}',
    f'{{"{PLANTED}": 1, "{PLANTED}": 2}}',
    f'{ROW}"a", "{PLANTED}": NaN}}]}}',
    "{" + ", ".join(f'"{PLANTED}{number}": 1' for number in range(600)) + "}",
    "",
]


@pytest.mark.parametrize("text", BROKEN)
def test_secrets_when_the_file_is_broken_are_refused_without_quoting_it(tmp_path: Path, text: str) -> None:
    (tmp_path / "secrets.json").write_text(text, encoding="utf-8")
    with pytest.raises(FileFaultsError) as error:
        read_secrets(tmp_path)
    assert error.value.exit_status == 3
    chain = [error.value, error.value.__cause__]
    assert not error.value.__context__ or error.value.__suppress_context__
    assert PLANTED not in " ".join(f"{one} {getattr(one, 'faults', '')}" for one in chain)


def test_site_file_never_holds_secrets(tmp_path: Path) -> None:
    write_secrets(Secrets(rows=(Secret(of="ap", pass_phrase=PLANTED),)), tmp_path)
    file = write_site(full_site(), tmp_path)
    assert PLANTED not in file.read_text(encoding="utf-8")
