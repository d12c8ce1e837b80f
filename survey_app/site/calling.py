"""How people call a thing: its kind and its name."""

from __future__ import annotations

from survey_app.site.collection import collection_of
from survey_app.site.thing import Thing

__all__ = ["called", "kind_word"]


def kind_word(thing: Thing) -> str:
    """Return what people call a thing of this kind, in small letters.

    Examples
    --------
    >>> from survey_app.site.structure import Pole
    >>> from survey_app.site.place import PlanePoint
    >>> kind_word(Pole(kind="pole", id="P3", position=PlanePoint(x_m=0, y_m=0)))
    'pole'
    """
    collection = collection_of(type(thing))
    return str(getattr(thing, "kind")).replace("_", " ") if collection.name == "structures" else collection.word  # noqa: B009 - structures have one


def called(thing: Thing) -> str:
    """Return kind and name of a thing, as a step of the history or a word beside the pointer has it.

    Examples
    --------
    >>> from survey_app.site.structure import Pole
    >>> from survey_app.site.place import PlanePoint
    >>> foot = PlanePoint(x_m=0, y_m=0)
    >>> called(Pole(kind="pole", id="P3", position=foot)), called(Pole(kind="pole", id="P3", name="Pole 3", position=foot))
    ('Pole P3', 'Pole 3')
    """
    word, title = kind_word(thing), thing.title
    # a name that says what it is already is not told twice
    return title if title.casefold().startswith(word) else f"{word.capitalize()} {title}"
