"""The records of a region's radio rules: one row per band, place and use, each with its document.

A rule is data, never code: everything that limits a radio stands in a row of a region file, and what no row permits is
not permitted.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import Annotated, Literal, Self, TypeAlias

from pydantic import StringConstraints, model_validator

from survey_app.site.record import Id, Name, Record, Text, said
from survey_app.spectrum.channels import middle_mhz, overlap_mhz

__all__ = [
    "BandRow",
    "ChainRule",
    "ChannelList",
    "Country",
    "Density",
    "ElevationMask",
    "LongerCheck",
    "Place",
    "PowerLimits",
    "RadarDuty",
    "Region",
    "RegionCode",
    "Topology",
]

Place: TypeAlias = Literal["indoor", "outdoor"]
"""Where a radio hangs."""

Topology: TypeAlias = Literal["multipoint_hub", "point_to_point", "client"]
"""What a radio is in its cell, which decides the limit; the antenna does not."""

RegionCode = Annotated[str, StringConstraints(pattern=r"^[A-Z][A-Z0-9]{1,7}$")]
"""Two to eight capital letters and digits, a letter first."""

SourceKey = Annotated[str, StringConstraints(pattern=r"^[A-Z][A-Z0-9]{1,19}$")]
"""A key of the list of references."""

IsoDate = Annotated[str, StringConstraints(pattern=r"^(19|20)\d\d(-(0[1-9]|1[0-2])(-(0[1-9]|[12]\d|3[01]))?)?$")]
"""A year, a year and month, or a day: 2024, 2024-02, 2024-02-06."""

Sentence = Annotated[str, StringConstraints(min_length=1, max_length=600, pattern=r"^[^\x00-\x1f\x7f]*$")]
"""One line of words, not empty."""

_WIDTH = said("Channel width: 5, 10, 20, 40, 80 or 160")


class Density(Record):
    """Most power in a narrow slice of the channel."""

    dbm: Annotated[float, said("Most power in the slice", ge=-60, le=60)]
    without_control_dbm: Annotated[
        float | None, said("The same for equipment without power control; null = the same", ge=-60, le=60)
    ] = None
    per_mhz: Annotated[float, said("Width of the slice, for example 1, 0.5 or 0.003", gt=0, le=1000)]
    kind: Annotated[
        Literal["conducted", "eirp"], said('Where it is counted: "conducted" (delivered to the antennas) or "eirp"')
    ]


class PowerLimits(Record):
    """Power limits of a row; every one that is not null holds, together with the others."""

    conducted_dbm: Annotated[
        float | None, said("Most power delivered to the antennas, sum over chains; null = none", ge=-60, le=60)
    ] = None
    free_gain_dbi: Annotated[
        float | None, said("Antenna gain up to which conducted power is not lowered; null = any", ge=0, le=60)
    ] = None
    backoff_db_per_db: Annotated[
        float, said("Conducted power to take away for each dB of gain beyond the free gain; 0 = nothing", ge=0, le=3)
    ] = 0.0
    eirp_dbm: Annotated[float | None, said("Most EIRP; null = none", ge=-60, le=90)] = None
    eirp_without_control_dbm: Annotated[
        float | None, said("Most EIRP of equipment without power control; null = the same", ge=-60, le=90)
    ] = None
    density: Annotated[Density | None, said("Most power in a slice of the channel; null = none")] = None

    @model_validator(mode="after")
    def _says_enough(self) -> Self:
        if self.conducted_dbm is None and self.eirp_dbm is None:
            raise ValueError("a row needs at least one of conducted_dbm and eirp_dbm")
        if self.backoff_db_per_db > 0 and (self.free_gain_dbi is None or self.conducted_dbm is None):
            raise ValueError("backoff_db_per_db above 0 needs conducted_dbm and free_gain_dbi")
        return self

    @property
    def lower_without_control(self) -> bool:
        """Whether lower figures are given for equipment without power control."""
        return self.eirp_without_control_dbm is not None or (
            self.density is not None and self.density.without_control_dbm is not None
        )


class LongerCheck(Record):
    """A stretch in which listening for radar before use takes longer."""

    low_mhz: Annotated[float, said("Lower edge", gt=0)]
    high_mhz: Annotated[float, said("Upper edge", gt=0)]
    check_s: Annotated[int, said("Time to listen before a channel there is used", ge=0, le=86400)]


class RadarDuty(Record):
    """The duty to listen for radar and to make way for it."""

    check_s: Annotated[int, said("Time to listen before a channel is used", ge=0, le=86400)]
    move_s: Annotated[int, said("Time in which a channel must be left", ge=0, le=3600)]
    non_occupancy_min: Annotated[
        int, said("Time for which a channel stays barred after radar was heard", ge=0, le=1440)
    ]
    within_mhz: Annotated[
        tuple[float, float] | None, said("Part of the band in which the duty holds, [low, high]; null = all of it")
    ] = None
    longer: Annotated[tuple[LongerCheck, ...], said("Stretches with a longer check", max_length=20)] = ()


class ChannelList(Record):
    """Channels of one width that are offered in a row."""

    width_mhz: Annotated[Literal[5, 10, 20, 40, 80, 160], _WIDTH]
    channels: Annotated[tuple[int, ...], said("Channel numbers, rising; each names the middle of its block")]

    @model_validator(mode="after")
    def _rising(self) -> Self:
        if list(self.channels) != sorted(set(self.channels)) or any(n < 1 or n > 200 for n in self.channels):
            raise ValueError("channels are numbers from 1 to 200, rising, each once")
        return self


class ElevationMask(Record):
    """Limit of the EIRP that depends on the angle above the horizon."""

    place: Annotated[Literal["outdoor", "both"], said('Where it holds: "outdoor" or "both"')]
    above_eirp_dbm: Annotated[
        float | None, said("It holds only for a radio whose EIRP is above this; null = for all", ge=-60, le=90)
    ] = None
    kind: Annotated[Literal["eirp", "eirp_density"], said('"eirp" in dBm, or "eirp_density" in dBm per MHz')]
    points: Annotated[
        tuple[tuple[float, float], ...],
        said("[elevation in degrees, limit], rising; straight between, no limit below the first", min_length=1),
    ]

    @model_validator(mode="after")
    def _rising(self) -> Self:
        angles = [angle for angle, _ in self.points]
        if angles != sorted(set(angles)) or angles[0] < -90 or angles[-1] > 90:
            raise ValueError("points rise in elevation, each angle once, between -90 and 90")
        return self


class BandRow(Record):
    """One row: who may do what in one band, by which paragraph of which document."""

    id: Annotated[Id, said("A short slug, unique in the region")]
    low_mhz: Annotated[float, said("Lower edge of the band", ge=1000, le=50000)]
    high_mhz: Annotated[float, said("Upper edge of the band", ge=1000, le=50000)]
    place: Annotated[Literal["indoor", "outdoor", "both"], said('"indoor", "outdoor" or "both"')]
    topologies: Annotated[
        tuple[Topology, ...],
        said('Who it is for, a list of "multipoint_hub", "point_to_point", "client"', min_length=1, max_length=3),
    ]
    limits: Annotated[PowerLimits, said("The power limits")]
    power_control_required: Annotated[
        bool, said("Equipment needs power control, unless lower limits without it are given; true or false")
    ]
    radar: Annotated[RadarDuty | None, said("The radar duty, or null where there is none")]
    channels: Annotated[tuple[ChannelList, ...], said("Channels that are offered, a list for each width", max_length=6)]
    closed_mhz: Annotated[
        tuple[tuple[float, float], ...], said("Parts of the band that must stay empty, [low, high]", max_length=20)
    ] = ()
    widest_mhz: Annotated[float | None, said("Widest channel; null = as wide as the band", gt=0, le=320)] = None
    elevation_mask: Annotated[ElevationMask | None, said("Limit by angle above the horizon; null = none")] = None
    licence: Annotated[
        Literal["exempt", "registered", "licensed"], said('"exempt", "registered" (light licence) or "licensed"')
    ]
    document: Annotated[Sentence, said("The document, by name; not empty")]
    section: Annotated[Sentence, said("Its paragraph; - where it has none")]
    edition: Annotated[Sentence, said("The edition that was seen; not empty")]
    date: Annotated[IsoDate, said("Date of that edition: year, year-month or year-month-day")]
    source: Annotated[SourceKey, said("Key in the list of references; a row of one's own may leave it out")] = "OWN"
    verified: Annotated[bool, said("Somebody held the row against the document or a copy of it; true or false")]
    provenance: Annotated[
        Literal["printed", "secondary", "memory"],
        said('"printed" (the text was seen), "secondary" (a copy or a summary) or "memory"'),
    ]
    from_memory: Annotated[
        tuple[str, ...], said("Fields of a verified row that nobody could verify, by name", max_length=20)
    ] = ()
    disabled: Annotated[Text, said("Why the row is not used, one sentence; empty = it is used")] = ""
    note: Annotated[Text, said("What else to know; may be empty")]

    @model_validator(mode="after")
    def _fits_together(self) -> Self:
        for fault in _row_faults(self):
            raise ValueError(fault)
        return self

    @property
    def usable(self) -> bool:
        """Whether the program plans by this row."""
        return self.verified and not self.disabled

    @property
    def why_not_usable(self) -> str:
        """One sentence that says why the row is not used; empty for a row that is used."""
        if self.usable:
            return ""
        if self.disabled:
            return self.disabled
        return (
            f"Row {self.id} ({self.document}, {self.section}) is not used because nobody has verified it "
            f"against its document."
        )

    @property
    def citation(self) -> str:
        """Document, paragraph, edition and date in words."""
        section = self.section if self.section.startswith("(") else f" {self.section}"
        when = "" if self.date in self.edition.replace(".", "-") else f" of {self.date}"
        return f"{self.document}{'' if self.section == '-' else section}, {self.edition}{when}"


def _row_faults(row: BandRow) -> Iterable[str]:
    """Say what does not fit together in a row."""
    if row.low_mhz >= row.high_mhz:
        yield "low_mhz must be below high_mhz"
    if len(set(row.topologies)) < len(row.topologies):
        yield "topologies names one twice"
    if row.verified and row.provenance == "memory":
        yield 'a row from memory cannot be verified; set verified to false, or provenance to "printed" once it was read'
    stretches = [*row.closed_mhz, *((part.low_mhz, part.high_mhz) for part in (row.radar.longer if row.radar else ()))]
    if row.radar and row.radar.within_mhz:
        stretches.append(row.radar.within_mhz)
    for low_mhz, high_mhz in stretches:
        if not row.low_mhz <= low_mhz < high_mhz <= row.high_mhz:
            yield f"the stretch {low_mhz:g}-{high_mhz:g} MHz is empty or leaves the band"
    widths = Counter(part.width_mhz for part in row.channels)
    if widths and max(widths.values()) > 1:
        yield "channels has two lists for one width"
    fields = set(BandRow.model_fields) | {f"limits.{name}" for name in PowerLimits.model_fields}
    for part in row.channels:
        for channel in part.channels:
            centre = middle_mhz(channel)
            span = (centre - part.width_mhz / 2, centre + part.width_mhz / 2)
            if overlap_mhz(span, (row.low_mhz, row.high_mhz)) == 0:
                yield f"channel {channel} at {part.width_mhz} MHz lies outside {row.low_mhz:g}-{row.high_mhz:g} MHz"
    for name in row.from_memory:
        if name not in fields:
            yield f"from_memory names '{name}', which is not a field of a row"


class Country(Record):
    """A country in which the region's rules hold."""

    code: Annotated[str, said("Two capital letters (ISO 3166)", pattern=r"^[A-Z]{2}$")]
    name: Annotated[Name, said("Its name", min_length=1)]
    hint: Annotated[Text, said("What differs there; empty = nothing known")] = ""


class ChainRule(Record):
    """Whether chains that send the same signal into antennas of one polarisation add to the antenna's gain."""

    counted: Annotated[bool, said("Whether 10 log N is added to the gain where the limit is held against it")]
    source: Annotated[SourceKey, said("Key of the list of references")]
    section: Annotated[Name, said("Where it stands there")] = ""
    provenance: Annotated[
        Literal["printed", "secondary", "memory"],
        said('Where it was read: "printed", "secondary" (a copy or summary) or "memory"'),
    ]
    note: Annotated[Sentence, said("What it says, in a sentence")]


class Region(Record):
    """The rules of one region: a file of its own."""

    format: Annotated[Literal["spectrum-region"], said('"spectrum-region"')]
    version: Annotated[Literal[1], said("1")]
    region: Annotated[RegionCode, said("Code of the region, two to eight capital letters or digits")]
    also_called: Annotated[tuple[RegionCode, ...], said("Other codes that people use for it", max_length=10)] = ()
    name: Annotated[Name, said("Its name for people", min_length=1)]
    authority: Annotated[Name, said("Who makes the rules", min_length=1)]
    edition: Annotated[IsoDate, said("When the rows were last held against their documents: year-month")]
    countries: Annotated[tuple[Country, ...], said("Countries in which the rules hold", max_length=300)] = ()
    notes: Annotated[tuple[Text, ...], said("What holds for all rows", max_length=50)] = ()
    chains: Annotated[
        ChainRule | None, said("Whether several chains add to the gain; null = nobody knows, so they do")
    ] = None
    rows: Annotated[
        tuple[BandRow, ...], said("The rows; where two permit the same, the first is taken", max_length=500)
    ]

    @model_validator(mode="after")
    def _each_once(self) -> Self:
        for what, names in (("row id", [row.id for row in self.rows]), ("country", [c.code for c in self.countries])):
            twice = [name for name, count in Counter(names).items() if count > 1]
            if twice:
                raise ValueError(f"the {what} {twice[0]} stands there twice")
        return self

    def __hash__(self) -> int:
        # answers are kept by region; comparing tells apart what is called alike, so rows need no hash
        return hash((self.region, self.edition))

    def row(self, row_id: str) -> BandRow | None:
        """Return a row by its id, or None."""
        return next((row for row in self.rows if row.id == row_id), None)

    @property
    def counts_chains(self) -> bool:
        """Whether chains add to the gain: what no document denies is counted."""
        return self.chains is None or self.chains.counted

    def country(self, code: str) -> Country | None:
        """Return a country of the region by its two letters, or None where the rules do not hold there."""
        return next((country for country in self.countries if country.code == code), None)

    @property
    def rules_edition(self) -> str:
        """What a sheet says about the rules it was made by.

        Examples
        --------
        >>> from survey_app.spectrum.regions import load_regions
        >>> load_regions().find("US").rules_edition
        'US rules, checked 2026-11'
        """
        return f"{self.region} rules, checked {self.edition}"
