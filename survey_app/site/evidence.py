"""Evidence: what was seen, measured and built. Append-only; no edit and no undo removes a row."""

from typing import Annotated, Literal

from survey_app.site.record import Id, Moment, Name, Record, Text, said

__all__ = [
    "AcceptanceRow",
    "AsBuilt",
    "BenchProof",
    "Evidence",
    "Reading",
    "Scan",
    "ScanRow",
    "Sight",
    "WalkNote",
]


class _Row(Record):
    """Common part: who, when, to which revision."""

    at: Annotated[Moment, said("When, with the offset from UTC")]
    by: Annotated[Name, said("Who")]
    revision: Annotated[Name, said("Revision of the design that was in hand")] = ""
    note: Annotated[Text, said("Free remark")] = ""


class Sight(_Row):
    """Whether one end of a hop was seen from the other."""

    hop: Annotated[Id, said("The hop")]
    result: Annotated[Literal["seen", "seen_with_lamp", "not_seen", "not_tried"], said("What was seen")]
    leaf: Annotated[Literal["in_leaf", "bare", "no_trees"], said("State of the leaves")] = "no_trees"
    photo: Annotated[Name, said("File under assets/")] = ""


class Reading(_Row):
    """Levels measured after mounting."""

    hop: Annotated[Id, said("The hop")]
    end: Annotated[Literal["access_point", "station"], said("Where it was read")]
    level_dbm: Annotated[float | None, said("Level as the unit shows it", ge=-120, le=20)] = None
    level_per_chain_dbm: Annotated[tuple[float, ...], said("Level per chain", max_length=8)] = ()
    noise_dbm: Annotated[float | None, said("Noise shown", ge=-130, le=0)] = None
    rate_mbps: Annotated[float | None, said("Link rate shown", ge=0, le=10000)] = None
    throughput_mbps: Annotated[float | None, said("Measured throughput", ge=0, le=10000)] = None
    volts_v: Annotated[float | None, said("Volts at the radio under load", ge=0, le=400)] = None
    power_mode: Annotated[Literal["fixed", "automatic"], said("Power state while reading")] = "fixed"


class AsBuilt(_Row):
    """What really hangs, where it differs from the design."""

    subject: Annotated[Id, said("The mount, radio or camera")]
    height_m: Annotated[float | None, said("Height as built", ge=-100, le=1000)] = None
    bearing_true_deg: Annotated[float | None, said("Bearing as set", ge=0, lt=360)] = None
    tilt_deg: Annotated[float | None, said("Bracket tilt as set", ge=-90, le=90)] = None
    power_dbm: Annotated[float | None, said("Power as set", ge=-20, le=60)] = None
    channel: Annotated[int | None, said("Channel as set", ge=1, le=400)] = None
    reason: Annotated[Text, said("Why it differs")] = ""


class ScanRow(Record):
    """One channel of a scan."""

    channel: Annotated[int, said("Channel number", ge=1, le=400)]
    width_mhz: Annotated[float, said("Width", ge=0.1, le=320)] = 20.0
    level_dbm: Annotated[float, said("Strongest level heard", ge=-120, le=20)]
    busy_percent: Annotated[float | None, said("Part of the time that the channel was busy", ge=0, le=100)] = None


class Scan(_Row):
    """What else is on the air, measured at a mount."""

    mount: Annotated[Id, said("Where it was taken")]
    antenna: Annotated[Name, said("With what")] = ""
    bearing_true_deg: Annotated[float | None, said("Along which bearing", ge=0, lt=360)] = None
    rows: Annotated[tuple[ScanRow, ...], said("One row a channel", max_length=500)] = ()


class BenchProof(_Row):
    """A radio passed on the bench before it left."""

    radio: Annotated[Id, said("The radio")]
    passed: Annotated[bool, said("Whether it passed")]
    serial: Annotated[Name, said("Serial number read off the unit")] = ""
    hardware_address: Annotated[Name, said("Hardware address read off the unit")] = ""


class AcceptanceRow(_Row):
    """A hop or camera was accepted, or not."""

    subject: Annotated[Id, said("The hop or camera")]
    accepted: Annotated[bool, said("Whether it was accepted")]
    figures: Annotated[Text, said("Measured figures in words")] = ""


class WalkNote(_Row):
    """A note from the walk."""

    subject: Annotated[Id | None, said("What it is about; null = the site")] = None
    words: Annotated[Text, said("The note")]
    photo: Annotated[Name, said("File under assets/")] = ""


class Evidence(Record):
    """The append-only half of a site."""

    sights: Annotated[tuple[Sight, ...], said("Sight along hops", max_length=100000)] = ()
    readings: Annotated[tuple[Reading, ...], said("Levels read on site", max_length=100000)] = ()
    as_built: Annotated[tuple[AsBuilt, ...], said("Differences as built", max_length=100000)] = ()
    scans: Annotated[tuple[Scan, ...], said("Scans of the air", max_length=10000)] = ()
    bench: Annotated[tuple[BenchProof, ...], said("Bench proofs", max_length=100000)] = ()
    acceptance: Annotated[tuple[AcceptanceRow, ...], said("Acceptance", max_length=100000)] = ()
    walk_notes: Annotated[tuple[WalkNote, ...], said("Notes of the walk", max_length=100000)] = ()
