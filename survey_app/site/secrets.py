"""Pass phrases and logins of a site, in a file of their own that only its user may read.

They are no part of the site: no export, sheet or demo ever takes them from here. What is absent is a blank on paper.
"""

import os
import stat
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field, ValidationError

from survey_app.site.atomic import write_atomically
from survey_app.site.fault import Fault, FileFaultsError
from survey_app.site.json_text import MOST_BYTES, read_json_text
from survey_app.site.plain import layout, plain
from survey_app.site.record import Id, Record, said
from survey_app.site.validation import faults_of

__all__ = ["SECRETS_FILE", "Secret", "Secrets", "read_secrets", "secret_of", "secrets_are_exposed", "write_secrets"]

SECRETS_FILE = "secrets.json"
_USER_ONLY = stat.S_IRUSR | stat.S_IWUSR


class Secret(Record):
    """What only the people on the job know about one thing. Never shown by `repr`."""

    of: Annotated[Id, said("Id of the radio or device")]
    pass_phrase: Annotated[str, Field(description="Pass phrase of the radio path", max_length=300, repr=False)] = ""
    login: Annotated[str, Field(description="Name to log in with", max_length=300, repr=False)] = ""
    password: Annotated[str, Field(description="Password to log in with", max_length=300, repr=False)] = ""


class Secrets(Record):
    """All secrets of a site."""

    format: Annotated[Literal["survey-secrets"], said("What the file is")] = "survey-secrets"
    version: Annotated[Literal[1], said("Version of the file's layout")] = 1
    rows: Annotated[tuple[Secret, ...], said("One row a thing", max_length=40000)] = ()


def secret_of(secrets: Secrets, thing_id: str) -> Secret:
    """Return what is known about one thing; blanks where nothing is."""
    return next((row for row in secrets.rows if row.of == thing_id), Secret(of=thing_id))


def read_secrets(folder: Path) -> Secrets:
    """Read the secrets of a site; none where the file is absent.

    Raises
    ------
    FileFaultsError
        The file cannot be read. No message ever quotes what stands in it.
    """
    file = folder / SECRETS_FILE
    try:
        data = file.read_bytes() if file.exists() else None
    except OSError as error:
        reason = (error.strerror or "it cannot be opened").lower()
        raise FileFaultsError(str(file), [Fault("", f"cannot be read ({reason})")]) from error
    if data is None:
        return Secrets()
    if len(data) > MOST_BYTES:
        raise FileFaultsError(str(file), [Fault("", "is too large")])
    _check_text(data, str(file))
    try:
        secrets = Secrets.model_validate_json(data)
    except ValidationError as error:
        faults = faults_of(error, Secrets, quote=False)
        # the library's error holds the values: it must not travel along
        raise FileFaultsError(str(file), faults) from None
    twice = [row.of for number, row in enumerate(secrets.rows) if row.of in {one.of for one in secrets.rows[:number]}]
    if twice:
        raise FileFaultsError(str(file), [Fault("rows", f"the thing '{twice[0]}' stands twice")])
    return secrets


def _check_text(data: bytes, source: str) -> None:
    """Refuse what a JSON reader would swallow, without telling keys, which may be secrets put in the wrong place."""
    try:
        faults = read_json_text(data, source).faults
    except FileFaultsError as error:
        fault = error.faults[0]
        told = fault.place.startswith("line ") or "key" not in fault.sentence
        raise FileFaultsError(source, [fault if told else Fault("", "an object has too many keys")]) from None
    if faults:
        raise FileFaultsError(source, [Fault("", "a key stands twice, or a value is none that JSON has")])


def write_secrets(secrets: Secrets, folder: Path) -> Path:
    """Write the secrets of a site, readable for their user only.

    Raises
    ------
    OutputError
        The file cannot be written; what stood there is untouched.
    """
    file = folder / SECRETS_FILE
    tree = {"format": secrets.format, "version": secrets.version, **plain(secrets)}
    write_atomically(file, (layout(tree) + "\n").encode("utf-8"), mode=_USER_ONLY)
    return file


def secrets_are_exposed(folder: Path) -> bool:
    """Return whether others than its user may read the secrets file; always False where the system cannot tell."""
    file = folder / SECRETS_FILE
    return os.name == "posix" and file.exists() and bool(stat.S_IMODE(file.stat().st_mode) & 0o077)
