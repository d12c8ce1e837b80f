"""Prices of the tally's lines, and what a whole tally costs."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from survey_app.assess.record import Money, TallyRow
from survey_app.site.gear_type import GearType
from survey_app.site.prices import Price
from survey_app.site.site import Design

__all__ = ["Prices", "money_of"]

_COSTS = frozenset({"buy", "hire"})


@dataclass(frozen=True)
class Prices:
    """Prices of a site: those of its list before those that gear types bring along.

    Parameters
    ----------
    listed : mapping of str to Price
        Rows of the list by their items, letters small.
    of_gear : bool
        Whether prices of gear types are in the list's currency.
    """

    listed: Mapping[str, Price]
    of_gear: bool

    @classmethod
    def of(cls, design: Design) -> Prices:
        """Return the prices of a design."""
        found = design.price_list
        rows = found.rows if found is not None else ()
        return cls(
            {row.item.strip().casefold(): row for row in rows},
            found is None or design.currency == found.currency,
        )

    def unit_price(self, gear: GearType | None, what: str, unit: str) -> float | None:
        """Return the price of one unit by gear id, order code, name or words; None where it is not known.

        A listed price for another unit than the tally's (a drum, where metres are counted) is no price of the line.
        """
        keys = [gear.id, gear.order_code, gear.name] if gear is not None else []
        for key in (*keys, what):
            found = self.listed.get(key.strip().casefold()) if key else None
            if found is not None:
                return found.price if found.unit.strip() in ("", unit) else None
        return gear.price if gear is not None and self.of_gear else None


def money_of(design: Design, tally: Iterable[TallyRow]) -> Money | None:
    """Return what a tally costs, or None where the site has no currency or nothing has a price.

    The sum is order times price over all lines that are bought or hired; lines without a price are named, never
    taken as nothing.
    """
    listed = design.price_list
    if not design.currency:
        return None
    rows = [row for row in tally if row.status in _COSTS and row.order > 0.0]
    priced = [row for row in rows if row.unit_price is not None]
    if not priced:
        return None

    def total(bound: Literal["order", "low", "high"]) -> float:
        # only work has bounds
        sizes = [row.order if row.unit != "h" else getattr(row, bound) or 0.0 for row in priced]
        return math.fsum(size * (row.unit_price or 0.0) for size, row in zip(sizes, priced, strict=True))

    return Money(
        currency=design.currency,
        likely=total("order"),
        low=total("low"),
        high=total("high"),
        priced=len(priced),
        unpriced=tuple(row.what for row in rows if row.unit_price is None),
        dated=listed.dated if listed is not None else None,
        tax=listed.tax if listed is not None else "not_stated",
    )
