"""A list of prices from a table of text: checked against what the site's tally counts."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from survey_app.assess.record import Assessment
from survey_app.errors import InputError, UsageError
from survey_app.exchange.table_text import TextTable, number_of, read_table
from survey_app.site.prices import Price, PriceList
from survey_app.site.site import Site

__all__ = ["PRICE_HEADS", "PriceWishes", "import_prices", "is_price_list"]

PRICE_HEADS = ("price", "unit_price", "unit price")
"""Heads of a column of prices: a table that has one is a list of prices."""

_NAMES = {
    "item": ("item", "gear", "id", "order_code", "order code", "what", "part", "article"),
    "price": PRICE_HEADS,
    "unit": ("unit", "per"),
    "currency": ("currency",),
}
_MOST_ROWS = 5000
_MOST_PRICE = 1e9
_OLD_DAYS = 365
_SHOWN = 5


@dataclass(frozen=True)
class PriceWishes:
    """What a person says of a list of prices that it does not say itself.

    Attributes
    ----------
    currency : str
        Currency of the prices; empty = as the list says, else the site's.
    dated : datetime.date or None
        From which day they hold.
    tax : {"included", "excluded", "not_stated"}
        Whether tax is in them.
    source : str
        Where they come from; empty = the file's name.
    """

    currency: str = ""
    dated: datetime.date | None = None
    tax: Literal["included", "excluded", "not_stated"] = "not_stated"
    source: str = ""


def is_price_list(path: Path) -> bool:
    """Whether a table of text has a column of prices; False where it cannot be read, which another reader says."""
    try:
        heads = read_table(path, most_rows=1_000_000, remedy="").heads
    except InputError:
        return False
    return any(head in PRICE_HEADS for head in heads)


def import_prices(
    path: Path, site: Site, assessment: Assessment, wishes: PriceWishes
) -> tuple[PriceList, tuple[str, ...]]:
    """Read a list of prices for a site.

    Parameters
    ----------
    path : Path
        Text in UTF-8, columns parted by commas, semicolons or tabs and named in the first line: `item` (gear id, order
        code or the words of a line of the tally), `price`, and `unit` and `currency` where they are known.
    site, assessment : Site, Assessment
        What is to be priced.
    wishes : PriceWishes
        What the list does not say itself.

    Returns
    -------
    tuple of PriceList and tuple of str
        The list, and what is to be said of it.

    Raises
    ------
    InputError
        It is no such list; the line is named.
    UsageError
        Its currency is not the one that was asked for.
    """
    table = read_table(path, most_rows=_MOST_ROWS, remedy="leave out what no tally counts")
    columns = table.columns(_NAMES)
    missing = [name for name in ("item", "price") if name not in columns]
    if missing:
        raise InputError(
            f"it has no column '{missing[0]}', its columns are {', '.join(table.heads)[:80]!r}",
            where=f"{table.where}, first line",
            remedy="name them item,price,unit,currency in the first line",
        )
    currency = _currency(table, columns, site, wishes)
    rows: dict[str, Price] = {}
    for line, cells in table.rows(columns):
        where = f"{table.where}, line {line}"
        if not cells["item"]:
            raise InputError("a price stands beside no item", where=where)
        price = number_of(cells["price"])
        if price is None or not 0.0 <= price <= _MOST_PRICE:
            raise InputError(
                f"{cells['price'][:30]!r} is no price",
                where=where,
                remedy="write a number such as 12.50, the currency in a column of its own",
            )
        key = cells["item"].casefold()
        if key in rows:
            raise InputError(f"'{cells['item'][:60]}' has a price already", where=where, remedy="keep one of the two")
        rows[key] = Price(item=cells["item"][:300], price=price, unit=cells.get("unit", "")[:300])
    if not rows:
        raise InputError("holds no price", where=table.where)
    found = PriceList(
        currency=currency,
        dated=wishes.dated,
        tax=wishes.tax,
        source=wishes.source or path.name,
        rows=tuple(rows.values()),
    )
    return found, _remarks(found, site, assessment)


def _currency(table: TextTable, columns: dict[str, int], site: Site, wishes: PriceWishes) -> str:
    named = {cells["currency"] for _, cells in table.rows(columns) if cells.get("currency")}
    if len(named) > 1:
        raise InputError(
            f"its prices are in several currencies: {', '.join(sorted(named))[:60]}",
            where=table.where,
            remedy="keep one currency in one list",
        )
    said = next(iter(named), "")
    if said and wishes.currency and said != wishes.currency:
        raise UsageError(
            f"its prices are in {said}, not in {wishes.currency}", where=table.where, remedy="leave --currency out"
        )
    currency = said or wishes.currency or site.design.currency
    if not currency:
        raise InputError(
            "does not say its currency", where=table.where, remedy="add a column 'currency', or name it with --currency"
        )
    if site.design.currency and site.design.currency != currency:
        raise UsageError(
            f"its prices are in {currency}, the site's currency is {site.design.currency}",
            where=table.where,
            remedy="change the site's currency first, or convert the prices",
        )
    if len(currency) > 12:
        raise InputError(f"'{currency[:30]}' is no currency", where=table.where, remedy="write its three letters")
    return currency


def _remarks(found: PriceList, site: Site, assessment: Assessment) -> tuple[str, ...]:
    gear = {row.id: row for row in site.design.gear}
    keys = {row.item.strip().casefold(): row for row in found.rows}
    used: set[str] = set()
    bare: list[str] = []
    other: list[str] = []
    for row in assessment.tally:
        if row.status not in ("buy", "hire"):
            continue
        kind = gear.get(row.gear or "")
        names = [kind.id, kind.order_code, kind.name] if kind is not None else []
        hit = next((name.casefold() for name in (*names, row.what) if name and name.casefold() in keys), None)
        if hit is None:
            bare.append(row.what)
            continue
        used.add(hit)
        if keys[hit].unit.strip() not in ("", row.unit):
            other.append(f"{row.what} (counted per {row.unit}, priced per {keys[hit].unit.strip()})")
    remarks = [f"{len(found.rows)} prices in {found.currency}; {len(used)} are for lines of this tally."]
    if bare:
        remarks.append(f"{len(bare)} lines of the tally have no price in it: {_some(bare)}.")
    if other:
        remarks.append(f"{len(other)} prices are for another unit and are not taken: {_some(other)}.")
    idle = [row.item for key, row in keys.items() if key not in used]
    if idle:
        remarks.append(f"{len(idle)} items stand in no line of the tally: {_some(idle)}.")
    if found.dated is None:
        remarks.append("It does not say from which day its prices hold; name it with --dated.")
    elif (site.design.as_of - found.dated).days > _OLD_DAYS:
        remarks.append(f"Its prices are of {found.dated.isoformat()}, more than a year before the work.")
    return tuple(remarks)


def _some(words: list[str]) -> str:
    more = f" and {len(words) - _SHOWN} more" if len(words) > _SHOWN else ""
    return f"{'; '.join(words[:_SHOWN])}{more}"
