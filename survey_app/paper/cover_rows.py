"""What the cover says: counts, findings in full, assumptions, order of climbs, north, who gets which document."""

from __future__ import annotations

from functools import lru_cache

from survey_app.assess.record import Assessment, ClimbRow, Finding, Severity
from survey_app.data import shared_folder
from survey_app.paper.rounding import declination, feet_and_inches, metres, number, signed_tenths, tenths
from survey_app.paper.sources import Sources

__all__ = ["DOCUMENTS", "counts_in_words", "finding_parts", "north_words", "size_words", "way_words"]

_TIED = "\N{NO-BREAK SPACE}"

Part = tuple[str, bool, bool]
"""Words, bold, italic."""

DOCUMENTS = (
    ("Cover", "everyone", "how the design stands, what holds it, the order of the climbs"),
    ("Mounting sheets", "installer", "one page a radio: the aim, the level to expect, the cautions"),
    ("Bench sheets", "workshop", "what is set, typed back and proven before a radio leaves"),
    ("Hop schedule", "designer, installer's lead", "every hop from both ends, every route"),
    ("Network", "designer, who runs the network", "names, addresses, cells, routes, what fails with what"),
    ("Tally", "estimator, stores", "what to buy, have, reuse, remove and hire, and why"),
)
"""Document, who gets it, what for."""

CAUTIONS = (
    "Local codes and licensed practice come first. Work at height: a competent person plans it, never alone. Look for "
    "overhead lines before anything is raised. Mains, earth and surge work: a licensed electrician. Every owner agrees "
    "before anyone climbs. No work in storm, ice or lightning."
)


def counts_in_words(assessment: Assessment) -> str:
    """Return how many findings of each severity there are, always written out.

    Examples
    --------
    >>> from survey_app.assess.pipeline import assess
    >>> from survey_app.site.new import new_site
    >>> import datetime
    >>> counts_in_words(assess(new_site("Yard", as_of=datetime.date(2026, 12, 1))))
    '1 stop, 0 warns, 0 notes'
    """
    severities: tuple[Severity, ...] = ("stop", "warn", "note")
    words = ", ".join(many(assessment.count(severity), severity) for severity in severities)
    accepted = sum(finding.accepted is not None for finding in assessment.findings)
    return f"{words}; {accepted} accepted" if accepted else words


def many(count: int, word: str) -> str:
    """Return a count with its word, in the plural unless it is one."""
    return f"{count} {word}{'' if count == 1 else 's'}"


def size_words(assessment: Assessment) -> str:
    """Return what the design holds."""
    sizes = (
        (len(assessment.radios), "radio"),
        (len(assessment.hops), "hop"),
        (len(assessment.cells), "cell"),
        (len(assessment.cameras), "camera"),
        (len(assessment.climbs), "climb"),
    )
    return ", ".join(many(count, word) for count, word in sizes)


def finding_parts(finding: Finding) -> list[Part]:
    """Return a finding in full: subject and fault bold, cures plain, source italic, and who accepted it."""
    subject = finding.subject
    if finding.second_subject is not None:
        subject = f"{subject}, {finding.second_subject}"
    parts: list[Part] = [(f"{subject}: {finding.message}", True, False)]
    if finding.cures:
        parts.append((" Or: ".join(cure.text for cure in finding.cures), False, False))
    if finding.accepted is not None:
        accepted = finding.accepted
        parts.append((f"Accepted by {accepted.by}, {accepted.on.isoformat()}: {accepted.reason}", False, False))
    parts.append((_source_words(finding.source), False, True))
    return parts


def _source_words(key: str) -> str:
    if key == "PRACTICE":
        return "Common practice."
    found = _references().get(key, "")
    return f"{found} [{key}]" if found else f"[{key}]"


@lru_cache(maxsize=1)
def _references() -> dict[str, str]:
    """Short names of the sources: what stands in italics in the list of references."""
    names = {}
    for line in (shared_folder() / "references.md").read_text(encoding="utf-8").splitlines():
        if line.startswith("- [") and "]" in line:
            key, rest = line[3:].split("]", 1)
            title = rest.split("*")[1] if rest.count("*") >= 2 else ""
            names[key] = title
    return names


def north_words(sources: Sources) -> str:
    """Return which north the papers count from, and by how much a compass differs."""
    north = sources.assessment.north
    if not north.anchored:
        return "Plan north: the site has no anchor, so neither true nor magnetic north is known."
    if north.declination_deg is None:
        return f"True north. No magnetic bearing: {north.sentence}"
    size = tenths(north.declination_deg)
    word = "minus" if size >= 0 else "plus"
    sigma = "" if north.sigma_deg is None else f", sigma {number(north.sigma_deg, 1)}°"
    change = ""
    if north.yearly_change_deg is not None and tenths(north.yearly_change_deg):
        side = "east" if north.yearly_change_deg > 0.0 else "west"
        change = f", {signed_tenths(abs(tenths(north.yearly_change_deg)))}° {side} a year"
    return (
        f"True north. Magnetic = true {word} {signed_tenths(abs(size))}° "
        f"({declination(north.declination_deg)}{sigma}{change}, {north.date.isoformat()}, {north.model})."
    )


def way_words(climb: ClimbRow, *, feet: bool) -> str | None:
    """Return how one gets up and how high, or None where nobody noted the way."""
    if climb.way == "unknown":
        return None
    reach = metres(climb.reach_m)
    if not feet:
        return f"{climb.way} to {reach}"
    return f"{climb.way} to {reach}, {feet_and_inches(climb.reach_m).replace(' ', _TIED)}"
