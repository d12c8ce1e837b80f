"""Rules that look at one thing at a time."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from survey_app.assess.findings import Draft
from survey_app.assess.rules.view import View

__all__ = ["AboutEach", "about_each"]


class AboutEach:
    """A rule made of one question about each thing of a kind; the answers are known one by one.

    Parameters
    ----------
    one : callable
        Takes a view and the id of a thing, and yields drafts.
    kind : str
        Field of the view that maps the ids.
    """

    def __init__(self, one: Callable[[View, str], Iterator[Draft]], kind: str) -> None:
        self._one, self._kind = one, kind
        self.__name__, self.__doc__ = one.__name__, one.__doc__

    def of(self, view: View) -> Iterable[str]:
        """Return the ids of the things that are asked about."""
        ids: Iterable[str] = getattr(view, self._kind)
        return ids

    def drafts(self, view: View, thing_id: str) -> tuple[Draft, ...]:
        """Return what is to be said about one thing."""
        return tuple(self._one(view, thing_id))

    def __call__(self, view: View) -> Iterator[Draft]:
        """Yield what is to be said about all things."""
        for thing_id in self.of(view):
            yield from self._one(view, thing_id)


def about_each(kind: str) -> Callable[[Callable[[View, str], Iterator[Draft]]], AboutEach]:
    """Make a rule of a question about one thing; `kind` is the field of the view that maps the ids."""
    return lambda one: AboutEach(one, kind)
