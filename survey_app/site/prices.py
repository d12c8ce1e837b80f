"""Prices: what one unit of a part or of a kind of work costs, from one dated list."""

from typing import Annotated, Literal

from pydantic import AfterValidator

from survey_app.site.record import Day, Name, Record, said

__all__ = ["Price", "PriceList"]


class Price(Record):
    """What one unit of something costs."""

    item: Annotated[Name, said("Gear id, order code, or the words of the tally's line", min_length=1)]
    price: Annotated[float, said("Price of one unit, in the list's currency", ge=0, le=1e9)]
    unit: Annotated[Name, said("Unit that the price is for; empty = the tally's own")] = ""


def _once(rows: tuple[Price, ...]) -> tuple[Price, ...]:
    seen: set[str] = set()
    for row in rows:
        key = row.item.strip().casefold()
        if key in seen:
            raise ValueError(f"'{row.item}' has two prices, one is needed")
        seen.add(key)
    return rows


class PriceList(Record):
    """One list of prices; all in one currency."""

    currency: Annotated[Name, said("Currency of all its prices", min_length=1, max_length=12)]
    dated: Annotated[Day | None, said("Day from which the prices hold; null = not stated")] = None
    tax: Annotated[Literal["included", "excluded", "not_stated"], said("Whether tax is in the prices")] = "not_stated"
    source: Annotated[Name, said("Where the prices come from")] = ""
    rows: Annotated[tuple[Price, ...], said("Prices, one an item", max_length=5000), AfterValidator(_once)] = ()
