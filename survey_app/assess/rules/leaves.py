"""Crowns in or near the ray, now and once they have grown."""

from __future__ import annotations

from collections.abc import Iterator

from survey_app.assess.findings import Draft, work_on_site
from survey_app.assess.record import HopRow
from survey_app.assess.rules.blockers import Blocker, blockers, grown, spot_of, title_of, too_near, words_of
from survey_app.assess.rules.clearing import clearing
from survey_app.assess.rules.each import about_each
from survey_app.assess.rules.view import View

__all__ = ["CODES", "RULES"]

CODES = {"leaf-and-growth": "Leaves in the way, now or soon"}

_NEAR_ZONES = 1.0


@about_each("hops")
def leaf_and_growth(view: View, hop_id: str) -> Iterator[Draft]:
    """A crown within the wanted part of the first zone, now or after the site's years of growth."""
    hop = view.hops[hop_id]
    now = next((one for one in blockers(view, hop) if one.kind == "trees" and too_near(view, one)), None)
    later = grown(view, hop)
    if now is not None:
        yield _draft(view, hop, now, _now_words(view, hop, now))
    elif later is not None and later.ratio < _NEAR_ZONES:
        when = f"In {later.years:g} years: " if later.years else ""
        yield _draft(view, hop, later, f"{when}{words_of(view, hop, later)}.")


def _now_words(view: View, hop: HopRow, one: Blocker) -> str:
    if not hop.foliage_depth_m or hop.foliage_loss_low_db is None or hop.foliage_loss_db is None:
        return f"{words_of(view, hop, one)}."
    return (
        f"The ray runs through {hop.foliage_depth_m:.0f} m of leaves of {title_of(view, one.thing)}, which take "
        f"{hop.foliage_loss_low_db:.0f} to {hop.foliage_loss_db:.0f} dB: not acceptable for video."
    )


def _draft(view: View, hop: HopRow, one: Blocker, message: str) -> Draft:
    near = too_near(view, one)
    name = title_of(view, one.thing)
    return Draft(
        code="leaf-and-growth",
        severity="warn" if near else "note",
        subject=hop.id,
        message=message,
        source="P833" if hop.foliage_depth_m else "PRACTICE",
        value=one.ratio,
        limit=view.job.defaults.free_zone_fraction if near else _NEAR_ZONES,
        unit="1",
        hop=hop.id,
        place=spot_of(view, hop, one),
        cures=(
            *(clearing(view, hop.id) if near else ()),
            work_on_site(f"Use another mount, or have the pruning of {name} promised in writing."),
        ),
        concerns=(one.thing,),
    )


RULES = (leaf_and_growth,)
