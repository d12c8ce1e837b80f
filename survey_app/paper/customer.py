"""The page for the customer: what each alternative gives, what is assumed, what is not included, without jargon."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from survey_app.assess.record import Comparison, Option
from survey_app.paper.ledger import BROAD_MM, Cell, Column, Group, Table, Words
from survey_app.paper.rounding import number
from survey_app.site.site import Site

__all__ = ["customer_closing", "customer_tables"]

_Read = Callable[[Option], str]

_WORDS_MM = 62.0
_MOST = 6
_FULL = 0.60
_TIGHT = 0.80

_EXCLUDED = (
    "mains work and its certificate, unless a line of the offer says so",
    "permissions of owners and authorities, and their fees",
    "proof that poles, masts and walls carry the load: an engineer's work",
    "cutting or care of trees, and what grows or is built later",
    "the line to the outside world, and what is watched from there",
)


def customer_tables(found: Comparison) -> Iterator[Table]:
    """Yield the tables of the page: alternatives as columns, the first six at most in one."""
    options = found.options
    shared = _for_all(options)
    for start in range(0, len(options), _MOST):
        some = options[start : start + _MOST]
        width = (BROAD_MM - _WORDS_MM) / len(some)
        yield Table(
            columns=(
                Column(("",), _WORDS_MM, wraps=True),
                *(Column((option.name,), width, rule=True, wraps=True) for option in some),
            ),
            groups=(
                Group("What you get", tuple(_row(words, some, read) for words, read in _gets())),
                Group("What it takes", tuple(_row(words, some, read) for words, read in _takes())),
                Group("What is assumed", (_row("besides that of all", some, lambda one: _assumed(one, shared)),)),
            ),
            row_mm=6.2,
            head_mm=6.4,
        )


def _row(words: str, options: tuple[Option, ...], read: _Read) -> tuple[Cell, ...]:
    return (Words(words, bold=True), *(Words(read(option), lines=20) for option in options))


def _gets() -> Iterator[tuple[str, _Read]]:
    yield (
        "cameras that you can watch and record",
        lambda one: f"all {one.cameras}" if one.cameras_home == one.cameras else f"{one.cameras_home} of {one.cameras}",
    )
    yield "can it be built as drawn", _buildable
    yield "room to grow", _growth
    yield "how busy the busiest radio is", _busy
    yield "if one part fails", _failure
    yield "reserve against bad weather and ageing", _reserve


def _takes() -> Iterator[tuple[str, _Read]]:
    yield "places where somebody climbs", lambda one: str(one.climbs)
    yield "hours of work", lambda one: f"{number(one.hours_low, 0)} to {number(one.hours_high, 0)}"
    yield "days with a lift", lambda one: number(one.lift_days, 0) if one.lift_days else "none"
    yield "price", _price


def _buildable(option: Option) -> str:
    if option.stops:
        return f"no: {option.stops} thing{'' if option.stops == 1 else 's'} must be put right first"
    return f"yes, with {option.warns} point{'' if option.warns == 1 else 's'} to watch" if option.warns else "yes"


def _growth(option: Option) -> str:
    if option.more_cameras is None:
        return "not known yet"
    if option.more_cameras == 0:
        return "none: it is full"
    return f"{option.more_cameras} more camera{'' if option.more_cameras == 1 else 's'} of the usual kind"


def _busy(option: Option) -> str:
    load = option.load_fraction
    if load is None:
        return "not known yet"
    words = "overloaded" if load > 1 else "tight" if load > _TIGHT else "busy" if load > _FULL else "easy"
    return f"{words}, {number(100.0 * load, 0)} % of what it can carry"


def _failure(option: Option) -> str:
    if option.dark_at_worst == 0:
        return "no camera goes dark"
    words = f"at worst {option.dark_at_worst} of {option.cameras} cameras go dark until it is mended"
    if option.edge_hours:  # none or nothing: no promise
        words += f"; they record by themselves for {number(option.edge_hours, 0)} h at least"
    return words


def _reserve(option: Option) -> str:
    margin = option.worst_margin_db
    if margin is None:
        return "not known yet"
    # 3 dB is half the power; a layman is told in words
    return "ample" if margin >= 10.0 else "enough" if margin >= 3.0 else "too little"


def _price(option: Option) -> str:
    money = option.money
    if money is None:
        return "no prices are known yet"
    tax = {"included": ", tax included", "excluded": ", without tax", "not_stated": ""}[money.tax]
    dated = f", prices of {money.dated.isoformat()}" if money.dated is not None else ""
    less = f"; {len(money.unpriced)} items are not priced yet" if money.unpriced else ""
    return f"{number(money.low, 0)} to {number(money.high, 0)} {money.currency}{tax}{dated}{less}"


_PLAIN = (
    ("hop was not seen from end to end", "radio path was not looked along on site"),
    ("hops were not seen from end to end", "radio paths were not looked along on site"),
    ("Levels count what is drawn in the way, and nothing that is not drawn", "What stands in the way is as drawn"),
    ("the site has no relief", "its heights were not measured"),
)
_LEFT_OUT = ("Wanted margin",)


def _plain(option: Option) -> list[str]:
    """The assumptions of a design in words that need no radio: settings of the trade are left out."""
    told = []
    for sentence in option.assumptions:
        if sentence.startswith(_LEFT_OUT):
            continue
        for trade, plain in _PLAIN:
            sentence = sentence.replace(trade, plain)
        told.append(sentence)
    return told


def _for_all(options: tuple[Option, ...]) -> list[str]:
    rest = [set(_plain(option)) for option in options[1:]]
    return [sentence for sentence in _plain(options[0]) if all(sentence in one for one in rest)]


def _assumed(option: Option, shared: list[str]) -> str:
    return " ".join(sentence for sentence in _plain(option) if sentence not in shared) or "nothing more"


def customer_closing(site: Site, found: Comparison) -> Iterator[str]:
    """Yield what is not included, and what the figures rest on."""
    shared = _for_all(found.options)
    if shared:
        yield f"Assumed in all: {' '.join(shared)}"
    yield f"Not included: {'; '.join(_EXCLUDED)}."
    yield f"All figures are for work in {site.design.as_of.isoformat()[:7]} and hold for the drawings of that date."
    if any(option.stops for option in found.options):
        yield "An alternative that cannot be built as drawn is shown for comparison only."
