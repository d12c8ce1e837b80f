"""A part of a site as text: what is copied on one plan and pasted on another."""

from typing import Annotated, Any, Literal

from pydantic import ValidationError

from survey_app.site.asset import check_assets
from survey_app.site.fault import Fault, FileFaultsError
from survey_app.site.json_text import read_json_text
from survey_app.site.place import PlanePoint
from survey_app.site.plain import layout, plain
from survey_app.site.record import Record, said
from survey_app.site.references import check_references
from survey_app.site.site import Design, Site
from survey_app.site.validation import faults_of, shown

__all__ = ["FRAGMENT_FORMAT", "Fragment", "fragment_from_text", "fragment_to_text"]

FRAGMENT_FORMAT = "survey-fragment"
_VERSION = 1
_MOST_CHARACTERS = 16_000_000
_SOURCE = "clipboard"


class Fragment(Record):
    """Things of a site with the gear types that they use, sound in itself."""

    format: Annotated[Literal["survey-fragment"], said("What the text is")] = "survey-fragment"
    version: Annotated[Literal[1], said("Version of the text's layout")] = 1
    reference: Annotated[PlanePoint, said("Point of the plan that comes to where it is pasted")]
    design: Annotated[Design, said("The things")]


def fragment_to_text(fragment: Fragment) -> str:
    """Return a fragment as JSON text."""
    tree = {"format": fragment.format, "version": fragment.version, **plain(fragment)}
    return layout(tree) + "\n"


def fragment_from_text(text: str) -> Fragment:
    """Read a fragment, checked like a file: nothing in it is trusted.

    Parameters
    ----------
    text : str
        What lies on the clipboard.

    Raises
    ------
    FileFaultsError
        It is no part of a site, too large, or not sound; one sentence tells the first fault.

    Examples
    --------
    >>> fragment_from_text("a shopping list")
    Traceback (most recent call last):
        ...
    survey_app.site.fault.FileFaultsError: clipboard: holds no part of a site; copy things of a plan first.
    """
    if len(text) > _MOST_CHARACTERS:
        raise FileFaultsError(_SOURCE, [Fault("", "is larger than any part of a site")])
    if FRAGMENT_FORMAT not in text:
        raise _nothing()
    try:
        data = text.encode("utf-8")
    except UnicodeEncodeError:
        raise FileFaultsError(_SOURCE, [Fault("", "holds half a character, it is no text")]) from None
    read = read_json_text(data, _SOURCE)
    _check_format(read.tree)
    if read.faults:
        raise FileFaultsError(_SOURCE, read.faults)
    try:
        fragment = Fragment.model_validate_json(data)
    except ValidationError as error:
        raise FileFaultsError(_SOURCE, faults_of(error, Fragment)) from None
    site = Site(design=fragment.design)
    faults = (*check_references(site), *check_assets(site))
    if faults:
        raise FileFaultsError(_SOURCE, faults)
    return fragment


def _nothing() -> FileFaultsError:
    return FileFaultsError(_SOURCE, [Fault("", "holds no part of a site")], remedy="copy things of a plan first")


def _check_format(tree: Any) -> None:
    if not isinstance(tree, dict) or tree.get("format") != FRAGMENT_FORMAT:
        raise _nothing()
    version = tree.get("version")
    if type(version) is int and version > _VERSION:
        raise FileFaultsError(
            _SOURCE,
            [Fault("version", f"was copied by a newer version of the program (layout {shown(version)})")],
            remedy=f"this one reads layout {_VERSION}, install the newer one",
        )
