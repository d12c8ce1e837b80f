"""How help is worded: every command ends with an example that runs."""

from __future__ import annotations

__all__ = ["example"]


def example(*lines: str) -> str:
    r"""Return the end of a command's help: its examples, each on a line of its own.

    Examples
    --------
    >>> print(example("survey-app gear")[2:])
    Example:
      survey-app gear
    """
    return "\b\n" + "\n".join(("Examples:" if len(lines) > 1 else "Example:", *(f"  {line}" for line in lines)))
