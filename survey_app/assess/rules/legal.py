"""What the law of the region allows: region, country, channel, place, registration."""

from __future__ import annotations

from collections.abc import Iterator

from survey_app.assess.findings import Draft, cure, work_on_site
from survey_app.assess.law import place_of
from survey_app.assess.record import Cure
from survey_app.assess.rules.channel_offer import channel_cures, members_of
from survey_app.assess.rules.view import View
from survey_app.assess.rules.words import joined
from survey_app.spectrum.permission import Refusal

__all__ = ["CODES", "RULES"]

CODES = {
    "region-unset": "No region chosen",
    "region-unknown": "Region not known",
    "country-elsewhere": "Country outside the region",
    "no-channel": "No channel",
    "no-rule-known": "No rule permits this channel",
    "band-not-outdoors": "Indoor band used outdoors",
    "licence-needed": "Registration or licence needed",
}


def _region_cures(view: View) -> tuple[Cure, ...]:
    """Offer the region of the country, or each of the regions where the country says nothing."""
    country = view.job.design.country
    regions = view.regions.of_country(country) if country is not None else ()
    return tuple(
        cure(f"Use the rules of {region.region} ({region.name}).", "set_region", region=region.region)
        for region in regions or view.regions.regions
    )


def region_unset(view: View) -> Iterator[Draft]:
    """Without a region nothing is allowed."""
    if view.job.design.region is None:
        yield Draft(
            code="region-unset",
            severity="stop",
            subject="site",
            message="No region is chosen, so no channel is allowed and no power limit is known.",
            source="PRACTICE",
            cures=_region_cures(view),
            concerns=tuple(view.radios),
        )


def region_unknown(view: View) -> Iterator[Draft]:
    """A region for which no rules are at hand."""
    code = view.job.design.region
    if code is None or view.numbers.law.region is not None:
        return
    yield Draft(
        code="region-unknown",
        severity="stop",
        subject="site",
        message=f"There are no rules for the region '{code}'; known are {joined(view.regions.codes)}.",
        source="PRACTICE",
        cures=_region_cures(view),
        concerns=tuple(view.radios),
    )


def country_elsewhere(view: View) -> Iterator[Draft]:
    """A country in which the chosen rules do not hold."""
    design, region = view.job.design, view.numbers.law.region
    if region is None or design.country is None:
        return
    fault = view.regions.country_fault(region.region, design.country)
    if not fault:
        return
    ask = work_on_site(
        f"Ask which radio rules hold in {design.country}, and write them into a region file of your own."
    )
    yield Draft(
        code="country-elsewhere",
        severity="stop",
        subject="site",
        message=fault,
        source="PRACTICE",
        cures=_region_cures(view) if view.regions.of_country(design.country) else (ask,),
        concerns=tuple(view.radios),
        edition=view.numbers.law.edition,
    )


def no_channel(view: View) -> Iterator[Draft]:
    """An access point with stations but without a channel, or with a number that is none."""
    for cell in view.cells.values():
        if cell.centre_mhz is None:
            none = "The access point has no channel" if cell.channel is None else f"There is no channel {cell.channel}"
            yield Draft(
                code="no-channel",
                severity="stop",
                subject=cell.access_point,
                message=f"{none}, so no level of its cell is known.",
                source="PRACTICE",
                radio=cell.access_point,
                place=view.at_radio(cell.access_point),
                cures=channel_cures(view, cell.access_point)
                or (work_on_site("Choose the region and a channel, after a scan at the access point."),),
                concerns=cell.stations,
            )


def _refused(view: View) -> Iterator[tuple[str, bool, list[tuple[str, Refusal]]]]:
    """Yield each access point, whether the place is what stands in the way, and the refused radios of its cell."""
    grouped: dict[tuple[str, bool], list[tuple[str, Refusal]]] = {}
    for n, row in enumerate(view.radios.values()):
        refusal = view.numbers.law.refusals[n]
        if refusal is not None and row.channel is not None:
            indoors_only = refusal.kind == "wrong_place" and place_of(view.job, view.job.radios[row.id]) == "outdoor"
            grouped.setdefault((row.cell or row.id, indoors_only), []).append((row.id, refusal))
    for (access_point, indoors_only), radios in grouped.items():
        yield access_point, indoors_only, radios


def no_rule_known(view: View) -> Iterator[Draft]:
    """What no row of the region permits is not permitted; an indoor band outdoors has a code of its own."""
    for access_point, indoors_only, radios in _refused(view):
        refusal = radios[0][1]
        ids = [key for key, _ in radios]
        only = f" It concerns {joined(ids)}." if ids != list(members_of(view, access_point)) else ""
        yield Draft(
            code="band-not-outdoors" if indoors_only else "no-rule-known",
            severity="stop",
            subject=access_point,
            message=f"Channel {view.radios[access_point].channel}: {refusal.sentence}{only}",
            source=refusal.source or "PRACTICE",
            radio=access_point,
            place=view.at_radio(ids[0]),
            cures=channel_cures(view, access_point)
            or (work_on_site("Use a radio for another band, or bring the cell indoors."),),
            concerns=tuple(key for key in ids if key != access_point),
            edition=view.numbers.law.edition,
        )


def licence_needed(view: View) -> Iterator[Draft]:
    """A band that wants a registration; once for a cell."""
    asked: dict[str, list[int]] = {}
    for n, row in enumerate(view.radios.values()):
        rules = view.numbers.law.rule_sets[n]
        if rules is not None and rules.needs_licence:
            asked.setdefault(row.cell or row.id, []).append(n)
    for access_point, rows in asked.items():
        rules = view.numbers.law.rule_sets[rows[0]]
        assert rules is not None
        ids = [view.numbers.radios.ids[n] for n in rows]
        yield Draft(
            code="licence-needed",
            severity="note",
            subject=access_point,
            message=f"This band wants a registration or a light licence ({rules.citation}).",
            source=rules.source,
            radio=access_point,
            place=view.at_radio(access_point),
            cures=(
                work_on_site("Register it before it goes on the air."),
                *channel_cures(view, access_point, without="licence"),
            ),
            concerns=tuple(key for key in ids if key != access_point),
            edition=view.numbers.law.edition,
        )


RULES = (
    region_unset,
    region_unknown,
    country_elsewhere,
    no_channel,
    no_rule_known,
    licence_needed,
)
