"""One rule in three tests: a site where it must fire, the nearest miss where it must not, and what cures it."""

from __future__ import annotations

import functools
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from survey_app.assess.record import Assessment, Cure, Finding
from survey_app.gear.catalogue import Catalogue, load_catalogue
from survey_app.site.edits import add_gear, perform
from survey_app.site.site import Site
from survey_app.spectrum.regions import Regions, load_regions
from tests.laws import checked
from tests.plot import Plot

__all__ = ["Case", "apply_cure", "assessed", "catalogue", "regions"]

Draw = Callable[[], Plot]


@functools.cache
def regions() -> Regions:
    """Return the radio rules, read once, with those of a made-up country."""
    return load_regions(Path(__file__).parent / "own_regions")


@functools.cache
def catalogue() -> Catalogue:
    """Return the catalogue, read once."""
    return load_catalogue()


def assessed(site: Site) -> Assessment:
    """Assess a site and hold the laws against it."""
    return checked(site, regions=regions())


@functools.lru_cache(maxsize=256)
def _drawn(draw: Draw) -> tuple[Site, Assessment]:
    """Return the site that a function draws and its assessment: a fault that fires is the one that is cured."""
    site = draw().site()
    return site, assessed(site)


def apply_cure(site: Site, cure: Cure) -> Site:
    """Return the site after the edit that a cure names; gear of the catalogue that it names comes along."""
    assert cure.edit is not None
    arguments = {argument.name: argument.value for argument in cure.arguments}
    for value in arguments.values():
        if isinstance(value, str) and value in catalogue() and all(item.id != value for item in site.design.gear):
            site = add_gear(site, catalogue().find(value)).after
    return perform(site, cure.edit, arguments).after


@dataclass(frozen=True)
class Case:
    """One rule.

    Parameters
    ----------
    code, severity, subject, second : str
        The finding that must be there.
    planted, near : callable
        Draw the site with the fault, and the one that just misses it.
    mended : callable or None
        What is done on site, where no cure is an edit.
    leaves_note : bool
        A cure may leave a note of the same code: still near, and no longer too near.
    """

    code: str
    severity: str
    subject: str
    planted: Draw
    near: Draw
    mended: Callable[[Site], Site] | None = None
    second: str | None = None
    leaves_note: bool = False

    @property
    def name(self) -> str:
        """Name of the case among the others of its code."""
        return f"{self.code}-{self.severity}-{self.planted.__name__}"

    def of(self, found: Assessment) -> list[Finding]:
        """Return the findings of this code about this subject."""
        return [
            row
            for row in found.findings
            if row.code == self.code and row.subject == self.subject and self.second in (None, row.second_subject)
        ]

    def fires(self) -> None:
        """The planted fault is found, in words with what they are about."""
        rows = self.of(_drawn(self.planted)[1])
        assert [row.severity for row in rows] == [self.severity]

    def misses(self) -> None:
        """The nearest miss is not found, by this code about anything."""
        found = _drawn(self.near)[1]
        assert [row.message for row in found.findings if row.code == self.code] == []

    def is_cured(self) -> None:
        """Its cure removes it and adds no new stop: every edit that is offered, or else the work on site.

        Where both ends have to be changed, the finding offers the next edit after the first.
        """
        site, before = _drawn(self.planted)
        (finding,) = self.of(before)
        edits = [cure for cure in finding.cures if cure.edit is not None]
        if self.mended is not None:
            self._gone(before, assessed(self.mended(site)))
        else:
            assert edits, "no cure is an edit, and no work on site is given"
        for cure in edits:
            self._gone(before, self._until_gone(site, cure))

    def _until_gone(self, site: Site, cure: Cure) -> Assessment:
        after = apply_cure(site, cure)
        for _ in range(3):
            found = assessed(after)
            rows = self.of(found)
            edits = [one for row in rows for one in row.cures if one.edit is not None]
            if not edits:
                return found
            after = apply_cure(after, edits[0])
        return found

    def _gone(self, before: Assessment, after: Assessment) -> None:
        left = [row for row in self.of(after) if not (self.leaves_note and row.severity == "note")]
        assert [row.message for row in left] == []
        stops = {row.id for row in before.findings if row.severity == "stop"}
        assert [row.id for row in after.findings if row.severity == "stop" and row.id not in stops] == []
