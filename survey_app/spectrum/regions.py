"""All regions that the program knows: those it ships with, and those of a user's own folder."""

from __future__ import annotations

from difflib import get_close_matches
from functools import lru_cache
from pathlib import Path
from typing import Annotated

from survey_app.data import shared_folder
from survey_app.errors import InputError, UnknownNameError
from survey_app.site.record import Record, said
from survey_app.spectrum.reading import read_region
from survey_app.spectrum.rules import Region

__all__ = ["Regions", "load_regions"]


class Regions(Record):
    """The regions, shipped ones first, each by its code."""

    regions: Annotated[tuple[Region, ...], said("The regions")]
    own: Annotated[tuple[str, ...], said("Codes of those that come from the user's folder")] = ()

    @property
    def codes(self) -> tuple[str, ...]:
        """Codes of all regions."""
        return tuple(region.region for region in self.regions)

    def find(self, code: str) -> Region:
        """Return a region by its code or another code that it is called by.

        Parameters
        ----------
        code : str
            For example `"US"`; capitals do not matter.

        Raises
        ------
        UnknownNameError
            No region has that code; the nearest are offered.

        Examples
        --------
        >>> load_regions().find("GB").region
        'UK'
        """
        wanted = code.strip().upper()
        for region in self.regions:
            if wanted == region.region or wanted in region.also_called:
                return region
        near = get_close_matches(wanted, self.codes, n=1, cutoff=0.5)
        hint = f"did you mean {near[0]}" if near else f"known regions: {', '.join(self.codes)}"
        raise UnknownNameError(f"no radio rules are known for the region '{code}'", remedy=hint)

    def of_country(self, country_code: str) -> tuple[Region, ...]:
        """Return the regions whose rules hold in a country, shipped ones first; empty where none does.

        Parameters
        ----------
        country_code : str
            Two letters.

        Examples
        --------
        >>> [region.region for region in load_regions().of_country("DK")]
        ['EU']
        """
        return tuple(region for region in self.regions if region.country(country_code.strip().upper()) is not None)

    def country_fault(self, region_code: str, country_code: str) -> str:
        """Return one sentence where a site's country and region do not go together; empty where they do.

        Examples
        --------
        >>> load_regions().country_fault("EU", "GB")
        'The rules of EU do not hold in GB; those of UK do.'
        """
        region = self.find(region_code)
        if region.country(country_code) is not None:
            return ""
        right = " or ".join(found.region for found in self.of_country(country_code))
        if right:
            return f"The rules of {region.region} do not hold in {country_code}; those of {right} do."
        return f"No radio rules are known for the country {country_code}; those of {region.region} were used."


def load_regions(extra_folder: Path | None = None) -> Regions:
    """Read all region files.

    Parameters
    ----------
    extra_folder : Path or None
        A folder with further region files (`*.json`), for regions that the program does not ship; None = none. A folder
        that does not exist holds none.

    Returns
    -------
    Regions
        Shipped regions in the order of their codes, then the user's own.

    Raises
    ------
    InputError
        A file is faulty, or two files use one code: shipped rows are never replaced silently.

    Notes
    -----
    A row that names no source counts as [OWN]_. Where a user's region names a country that a shipped one names, the
    shipped one comes first in `Regions.of_country`; a site chooses its region by code.

    Examples
    --------
    >>> load_regions().codes
    ('AU', 'CA', 'EU', 'UK', 'US')
    """
    shipped = sorted((shared_folder() / "spectrum").glob("*.json"))
    own = sorted(extra_folder.glob("*.json")) if extra_folder is not None and extra_folder.is_dir() else []
    taken: dict[str, str] = {}
    regions: list[Region] = []
    own_codes: list[str] = []
    for path in [*shipped, *own]:
        region = read_region(path) if path in own else _shipped(path)
        for code in (region.region, *region.also_called):
            if code in taken:
                raise InputError(
                    f"the region code {code} is already used by {taken[code]}",
                    where=f"{path.name}, field region",
                    remedy="give this region another code",
                )
            taken[code] = path.name
        regions.append(region)
        if path in own:
            own_codes.append(region.region)
    return Regions(regions=tuple(regions), own=tuple(own_codes))


@lru_cache(maxsize=32)
def _shipped(path: Path) -> Region:
    """Return a region that the program ships: its file is read once."""
    return read_region(path)
