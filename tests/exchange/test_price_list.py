"""Lists of prices: what is understood in any usual form, and refusals that name the line."""

from __future__ import annotations

import datetime
from functools import cache
from pathlib import Path

import pytest

from survey_app.assess.pipeline import assess
from survey_app.assess.record import Assessment
from survey_app.errors import SurveyError
from survey_app.exchange.price_list import PriceWishes, import_prices, is_price_list
from survey_app.site.edits import change_design
from survey_app.site.site import Site
from tests.plot import one_hop


@cache
def yard() -> tuple[Site, Assessment]:
    site = one_hop().site()
    return site, assess(site)


def table(path: Path, text: str) -> Path:
    file = path / "prices.csv"
    file.write_bytes(text.encode())
    return file


@pytest.mark.parametrize(
    "text",
    [
        "item,price,unit,currency\nlabel-plate,3.50,piece,EUR\n",
        "item;price;unit;currency\nlabel-plate;3,50;piece;EUR\n",
        "\ufeffPart\tUnit price\tcurrency\nLABEL-PLATE\t3.5\tEUR\n\n",
    ],
)
def test_price_is_read_in_any_usual_form(tmp_path: Path, text: str) -> None:
    file = table(tmp_path, text)
    assert is_price_list(file)
    found, remarks = import_prices(file, *yard(), PriceWishes(dated=datetime.date(2026, 9, 1)))
    assert (found.currency, [row.price for row in found.rows]) == ("EUR", [3.5])
    assert remarks[0] == "1 prices in EUR; 1 are for lines of this tally."
    assert "have no price in it" in remarks[1]


def test_what_no_line_counts_and_other_units_and_old_lists_are_told(tmp_path: Path) -> None:
    text = "item,price,unit,currency\nline-24s,90,drum,EUR\nunheard-of,1,,EUR\n"
    _, remarks = import_prices(table(tmp_path, text), *yard(), PriceWishes(dated=datetime.date(2024, 1, 1)))
    told = " ".join(remarks)
    assert "counted per m, priced per drum" in told
    assert "1 items stand in no line of the tally: unheard-of." in told
    assert "more than a year before the work" in told


BAD = {
    "no currency": ("item,price\nlabel-plate,3\n", "does not say its currency"),
    "two currencies": ("item,price,currency\na,1,EUR\nb,1,USD\n", "in several currencies: EUR, USD"),
    "no items": ("what's that,price\n1,2\n", "has no column 'item'"),
    "a word": ("item,price,currency\na,cheap,EUR\n", "line 2: 'cheap' is no price"),
    "sign in the figure": ("item,price,currency\na,€3,EUR\n", "line 2: '€3' is no price"),
    "below nothing": ("item,price,currency\na,-1,EUR\n", "line 2: '-1' is no price"),
    "not a number": ("item,price,currency\na,nan,EUR\n", "line 2: 'nan' is no price"),
    "twice": ("item,price,currency\na,1,EUR\nA,2,EUR\n", "line 3: 'A' has a price already"),
    "no item": ("item,price,currency\n,1,EUR\n", "line 2: a price stands beside no item"),
    "empty": ("item,price,currency\n", "does not say its currency"),
    "column twice": ("item,price,price,currency\na,1,1,EUR\n", "two columns hold 'price'"),
}


@pytest.mark.parametrize("name", BAD)
def test_bad_list_is_refused_in_one_sentence(tmp_path: Path, name: str) -> None:
    text, words = BAD[name]
    with pytest.raises(SurveyError) as caught:
        import_prices(table(tmp_path, text), *yard(), PriceWishes())
    assert words in str(caught.value)
    assert "\n" not in str(caught.value)


def test_list_in_another_currency_than_the_site_is_refused(tmp_path: Path) -> None:
    site, found = yard()
    site = change_design(site, currency="DKK").after
    with pytest.raises(SurveyError, match="prices are in EUR, the site's currency is DKK"):
        import_prices(table(tmp_path, "item,price,currency\na,1,EUR\n"), site, found, PriceWishes())
