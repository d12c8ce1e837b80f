"""A bar while long work goes on, where somebody watches."""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Callable, Iterator

__all__ = ["shown_progress"]


@contextlib.contextmanager
def shown_progress(words: str) -> Iterator[Callable[[int, int], None] | None]:
    """Give a function to be told how much is done, of how much; None where standard error is no terminal.

    Parameters
    ----------
    words : str
        What is being done.
    """
    if sys.stderr is None or not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(words, total=None)
        yield lambda done, total: bar.update(task, completed=done, total=total)
