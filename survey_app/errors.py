"""The family of errors that a person is meant to read.

A fault of a *design* is a finding, never an exception. An exception means that the input or the program is wrong.
Lower floors raise; only the command line and the desktop catch and show.
"""

from __future__ import annotations

__all__ = ["InputError", "InternalError", "OutputError", "SurveyError", "UnknownNameError", "UsageError"]


class SurveyError(Exception):
    """Base of all errors with a sentence for the user: what is wrong, where, and what to do.

    Parameters
    ----------
    what : str
        What is wrong, as one clause without a full stop.
    where : str or None
        The place: a file, a line, a field ("radios[3].mount").
    remedy : str or None
        What to do about it, as one clause without a full stop.
    """

    exit_status = 70

    def __init__(self, what: str, *, where: str | None = None, remedy: str | None = None) -> None:
        self.what = what
        self.where = where
        self.remedy = remedy
        super().__init__(self.sentence())

    def sentence(self) -> str:
        """Return the one sentence for the user.

        Examples
        --------
        >>> SurveyError("height is missing", where="mounts[2].height_m", remedy="write it in metres").sentence()
        'mounts[2].height_m: height is missing; write it in metres.'
        """
        text = f"{self.where}: {self.what}" if self.where else self.what
        if self.remedy:
            text = f"{text}; {self.remedy}"
        return text if text.endswith("?") else f"{text}."


class UsageError(SurveyError, ValueError):
    """A wrong argument or a path that does not exist (exit status 2)."""

    exit_status = 2


class UnknownNameError(UsageError, LookupError):
    """A name (gear, site, subject, region) that is not known; the nearest names are offered (exit status 2)."""


class InputError(SurveyError, ValueError):
    """Input that cannot be read as what it should be (exit status 3)."""

    exit_status = 3


class OutputError(SurveyError, OSError):
    """Something that cannot be written (exit status 73)."""

    exit_status = 73


class InternalError(SurveyError, RuntimeError):
    """A fault of the program itself (exit status 70)."""
