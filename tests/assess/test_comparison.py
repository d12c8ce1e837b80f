"""Alternatives side by side: sums by another route, what is best of a row, lines of the tally that differ."""

from __future__ import annotations

import datetime
from functools import cache
from typing import Any

import pytest

from survey_app.assess.comparison import compare
from survey_app.assess.pipeline import assess
from survey_app.assess.record import Assessment, Comparison
from survey_app.site.edits import remove, set_prices
from survey_app.site.prices import Price, PriceList
from survey_app.site.site import Site
from tests.plot import one_hop, sector


@cache
def pair() -> tuple[tuple[Site, Assessment], tuple[Site, Assessment]]:
    one, three = one_hop().site(), sector(60.0, 90.0, 120.0, cameras=3).site()
    return (one, assess(one)), (three, assess(three))


def priced(site: Site, **prices: float) -> Site:
    rows = tuple(Price(item=item.replace("_", " "), price=price) for item, price in prices.items())
    day = datetime.date(2026, 9, 1)
    return set_prices(site, PriceList(currency="EUR", dated=day, tax="excluded", rows=rows)).after


def figure(found: Comparison, quantity: str) -> Any:
    return next(row for row in found.figures if row.quantity == quantity)


def test_each_alternative_has_its_own_figures_and_the_better_one_is_marked() -> None:
    one, three = pair()
    found = compare({"one": one, "three": three})
    assert [option.name for option in found.options] == ["one", "three"]
    assert figure(found, "radios").values == (2.0, 4.0)
    assert figure(found, "radios").best == (0,)
    assert figure(found, "cameras that reach a recorder").best == (1,)
    loads = [100.0 * max(cell.load_fraction for cell in site[1].cells) for site in (one, three)]
    assert figure(found, "its load").values == pytest.approx(tuple(loads))
    assert figure(found, "cells").best == (), "more cells are neither better nor worse"


def test_alternatives_that_are_alike_have_no_best_and_no_line_that_differs() -> None:
    one, _ = pair()
    found = compare({"a": one, "b": one})
    assert found.parts == ()
    assert all(row.best == () for row in found.figures)


def test_lines_that_differ_are_those_of_both_tallies() -> None:
    one, three = pair()
    found = compare({"one": one, "three": three})
    told = {(row.what, row.status): row.orders for row in found.parts}
    for row in three[1].tally:
        if row.status not in ("buy", "hire"):
            continue
        before = sum(other.order for other in one[1].tally if (other.what, other.status) == (row.what, row.status))
        if before != row.order:
            assert told[(row.what, row.status)] == (before, row.order)
        else:
            assert (row.what, row.status) not in told


def test_cost_is_order_times_price_and_work_has_bounds() -> None:
    (site, _), _ = pair()
    site = priced(site, put_up_a_radio_on_a_pole=80.0, configure_and_document_a_radio=60.0)
    found = assess(site)
    rows = {row.what: row for row in found.tally}
    pole, desk = rows["put up a radio on a pole"], rows["configure and document a radio"]
    (option,) = compare({"a": (site, found)}).options
    assert option.money is not None
    assert option.money.likely == pytest.approx(80.0 * pole.order + 60.0 * desk.order)
    assert option.money.low == pytest.approx(80.0 * (pole.low or 0.0) + 60.0 * (desk.low or 0.0))
    assert option.money.low < option.money.likely < option.money.high
    assert option.money.priced == 2
    assert len(option.money.unpriced) == sum(row.status in ("buy", "hire") for row in found.tally) - 2
    assert option.money.tax == "excluded"


def test_price_for_another_unit_is_no_price_of_the_line() -> None:
    (site, _), _ = pair()
    wrong = Price(item="line-24s", price=120.0, unit="drum")
    listed = set_prices(site, PriceList(currency="EUR", rows=(wrong,))).after
    assert all(row.unit_price is None for row in assess(listed).tally)
    right = Price(item="line-24s", price=0.4, unit="m")
    listed = set_prices(site, PriceList(currency="EUR", rows=(right,))).after
    assert [row.unit_price for row in assess(listed).tally if row.gear == "line-24s"] == [0.4]


def test_costs_in_two_currencies_or_with_gaps_are_not_ranked() -> None:
    (site, _), (other, _) = pair()
    first, second = priced(site, label_plate=1.0), priced(other, label_plate=1.0)
    dollars = set_prices(second, PriceList(currency="USD", rows=(Price(item="label-plate", price=1.0),))).after
    found = compare({"a": (first, assess(first)), "b": (dollars, assess(dollars))})
    rows = [row for row in found.figures if row.quantity.startswith("cost")]
    assert all(row.best == () for row in rows)


def test_what_is_not_known_is_null_and_never_best() -> None:
    (site, found), three = pair()
    lonely = remove(site, found.hops[0].id, cascade=True).after
    compared = compare({"none": (lonely, assess(lonely)), "three": three})
    assert figure(compared, "its margin").values[0] is None
    assert figure(compared, "its margin").best == ()
    assert figure(compared, "cameras that reach a recorder").values[0] == 0.0
