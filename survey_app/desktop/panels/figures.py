"""The computed figures of the selected thing, as the form shows them: rounded as on paper, with their quantity."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from survey_app.desktop.desk import Rows
from survey_app.paper.rounding import bearing, declination, feet_and_inches, level, number, signed_tenths, tenths, tilt
from survey_app.paper.schedule_rows import clear_words
from survey_app.site.record import Record

if TYPE_CHECKING:
    from survey_app.assess.record import (
        AreaRow,
        Assessment,
        CameraRow,
        CellRow,
        DirectionRow,
        HeadEndRow,
        HopEndRow,
        HopRow,
        MountRow,
        NullReason,
        RadioRow,
        SupplyRow,
        WireRow,
    )

__all__ = ["Figure", "figures_of", "site_figures"]

_FOOT_M = 0.3048
_TIED = "\N{NO-BREAK SPACE}"


@dataclass(frozen=True)
class Figure:
    """One computed value.

    Attributes
    ----------
    label, text : str
        What it is, and the value in words.
    subject, quantity : str
        What `explain` is asked for.
    strong : bool
        Whether an installer works with it: shown bold.
    why : str
        Why it is not known, where it is not.
    folded : bool
        Whether it stands under "more figures".
    """

    label: str
    text: str
    subject: str
    quantity: str
    strong: bool = False
    why: str = ""
    folded: bool = False


class _Words:
    """Lengths in the units of the site."""

    def __init__(self, units: str) -> None:
        self.units = units

    def distance(self, value_m: float) -> str:
        """A distance on the plan, to 0.1 m or to the foot."""
        metres, feet = f"{number(value_m, 1)}{_TIED}m", f"{number(value_m / _FOOT_M, 0)}{_TIED}ft"
        return {"metric": metres, "feet": feet}.get(self.units, f"{metres}, {feet}")

    def reach(self, value_m: float) -> str:
        """How far something carries, to the metre or the foot."""
        metres, feet = f"{number(value_m, 0)}{_TIED}m", f"{number(value_m / _FOOT_M, 0)}{_TIED}ft"
        return feet if self.units == "feet" else metres

    def height(self, value_m: float) -> str:
        """A height, to 0.1 m or to the inch."""
        metres, feet = f"{number(value_m, 1)}{_TIED}m", feet_and_inches(value_m)
        return {"metric": metres, "feet": feet}.get(self.units, f"{metres}, {feet}")


def _null(row: Record | None, field: str) -> tuple[str, str]:
    reasons: tuple[NullReason, ...] = getattr(row, "null_reasons", ())
    for reason in reasons:
        if reason.field in (field, field.rpartition(".")[2]):
            return ("none" if reason.kind == "not_applicable" else "not known"), reason.sentence
    return "not known", ""


def _figure(
    label: str,
    row: Record,
    subject: str,
    quantity: str,
    words: Callable[[Any], str],
    *,
    strong: bool = False,
) -> Figure:
    value: Any = row
    for step in quantity.split("."):
        value = getattr(value, step)
    if value is None:
        text, why = _null(row, quantity)
        return Figure(label, text, subject, quantity, why=why)
    return Figure(label, words(value), subject, quantity, strong)


def _db(value: float) -> str:
    return f"{number(value, 1)}{_TIED}dB"


def _dbm(value: float) -> str:
    return f"{number(value, 1)}{_TIED}dBm"


def _mbps(value: float) -> str:
    return f"{number(value, 0 if value >= 10 else 1)}{_TIED}Mbit/s"


def _volts(value: float) -> str:
    return f"{number(value, 1)}{_TIED}V"


def _watts(value: float) -> str:
    return f"{number(value, 1)}{_TIED}W"


def _percent(value: float) -> str:
    return f"{number(100.0 * value, 0)}{_TIED}%"


def figures_of(rows: Rows, thing_id: str, units: str) -> tuple[Figure, ...]:
    """Return the computed figures of one thing; nothing for what is not assessed.

    Parameters
    ----------
    rows : Rows
        The newest assessment by id.
    thing_id : str
        The thing.
    units : {"metric", "feet", "both"}
        What people read.
    """
    words = _Words(units)
    tables: tuple[tuple[Mapping[str, Any], Callable[..., Iterator[Figure]]], ...] = (
        (rows.hops, _hop),
        (rows.radios, _radio),
        (rows.mounts, _mount),
        (rows.cameras, _camera),
    )
    found: list[Figure] = []
    for table, make in tables:
        if thing_id in table:
            found += make(rows, table[thing_id], words)
    found += _others(rows.assessment, thing_id, words)
    return tuple(found)


def _hop(rows: Rows, row: HopRow, words: _Words) -> Iterator[Figure]:
    anchored = rows.assessment.north.anchored
    # who aims is mostly at the station: its end stands open, that of the access point is folded
    yield from _hop_end(row, "station", row.ends.station, anchored)
    yield _figure("distance", row, row.id, "distance_m", words.distance)
    why = _null(row, "fresnel_clearance_ratio")[1]
    yield Figure("clearance", _clear(row), row.id, "fresnel_clearance_ratio", why=why)
    yield _reading(row, "station", row.ends.station)
    slot, weaker = _weaker(row)
    yield Figure("rate, throughput", _rate(weaker), row.id, f"directions.{slot}.throughput_alone_mbps")
    yield _figure("fade margin", row, row.id, f"directions.{slot}.margin_at_needed_rate_db", _db)
    more = [*_hop_end(row, "access_point", row.ends.access_point, anchored)]
    more.append(_reading(row, "access_point", row.ends.access_point))
    more.append(_figure("free space loss", row, row.id, "free_space_loss_db", _db))
    if row.walls:
        more.append(Figure("through walls", _through(row), row.id, "wall_loss_db"))
    cell = rows.cells.get(row.cell)
    if cell is not None:
        more.append(_load(cell))
    yield from (replace(one, folded=True) for one in more)


def _through(row: HopRow) -> str:
    if row.wall_loss_db is None or row.wall_loss_low_db is None or row.wall_loss_high_db is None:
        return "not known"
    between = f"{number(row.wall_loss_low_db, 0)} to {number(row.wall_loss_high_db, 0)}"
    return f"{_db(row.wall_loss_db)} ({between})"


def _hop_end(row: HopRow, slot: str, end: HopEndRow, anchored: bool) -> Iterator[Figure]:
    at, name = f"ends.{slot}", end.radio
    if anchored:
        yield _figure(f"bearing at {name}, true", row, row.id, f"{at}.bearing_true_deg", bearing, strong=True)
        yield _figure(f"bearing at {name}, magnetic", row, row.id, f"{at}.bearing_magnetic_deg", bearing)
    else:
        yield _figure(f"bearing at {name}, plan", row, row.id, f"{at}.bearing_plan_deg", bearing, strong=True)
    yield _figure(f"tilt at {name}", row, row.id, f"{at}.tilt_deg", tilt, strong=True)


def _clear(row: HopRow) -> str:
    words = clear_words(row)
    figure, _, rest = words.partition(", ")
    if row.fresnel_clearance_ratio is None or not figure[-1:].isdigit():
        return words
    return f"{figure} × first zone{f', {rest}' if rest else ''}"


def _reading(row: HopRow, slot: str, end: HopEndRow) -> Figure:
    quantity = f"ends.{slot}.expected_as_shown_dbm"
    shown = end.expected_as_shown_dbm if end.expected_as_shown_dbm is not None else end.expected_reading_dbm
    label = f"reading at {end.radio}"
    if shown is None:
        text, why = _null(row, quantity)
        return Figure(label, text, row.id, quantity, why=why)
    if end.expected_as_shown_dbm is None:
        quantity = f"ends.{slot}.expected_reading_dbm"
    spread = "" if end.window is None else f" ±{number(end.window.good_high_dbm - end.window.expected_dbm, 0)}"
    return Figure(label, f"{level(shown)}{spread}{_TIED}dBm", row.id, quantity, strong=True)


def _weaker(row: HopRow) -> tuple[str, DirectionRow]:
    both = [(slot, getattr(row.directions, slot)) for slot in ("to_access_point", "to_station")]
    return min(both, key=lambda pair: -1.0 if pair[1].throughput_alone_mbps is None else pair[1].throughput_alone_mbps)


def _rate(row: DirectionRow) -> str:
    if row.throughput_alone_mbps is None:
        return "not known" if row.snr_db is None else "carries nothing"
    return f"MCS{_TIED}{row.mcs}, {_mbps(row.throughput_alone_mbps)}" if row.mcs is not None else "carries nothing"


def _load(cell: CellRow) -> Figure:
    if cell.load_fraction is None:
        text, why = _null(cell, "load_fraction")
        return Figure(f"load of cell {cell.id}", text, f"cell:{cell.id}", "load_fraction", why=why)
    return Figure(f"load of cell {cell.id}", _percent(cell.load_fraction), f"cell:{cell.id}", "load_fraction")


def _radio(rows: Rows, row: RadioRow, words: _Words) -> Iterator[Figure]:
    subject = f"radio:{row.id}"

    def figure(label: str, quantity: str, say: Callable[[Any], str], *, strong: bool = False) -> Figure:
        return _figure(label, row, subject, quantity, say, strong=strong)

    yield from _aim(row, subject)
    yield figure("over the ground", "height_above_ground_m", words.height)
    if row.eirp_dbm is not None and row.eirp_limit_dbm is not None:
        yield Figure("EIRP, limit", f"{number(row.eirp_dbm, 1)} of {_dbm(row.eirp_limit_dbm)}", subject, "eirp_dbm")
    else:
        yield figure("EIRP", "eirp_dbm", _dbm)
        yield figure("EIRP, limit", "eirp_limit_dbm", _dbm)
    yield Figure("channel", _channel(row), subject, "centre_mhz")
    if row.reach_m is not None:
        mcs = "" if row.reach_mcs is None else f" at MCS{_TIED}{row.reach_mcs}"
        yield Figure("reach", f"{words.reach(row.reach_m)}{mcs}", subject, "reach_m")
    if row.supply_v is not None:
        yield figure("volts at the unit", "supply_v", _volts)
    cell = rows.cells.get(row.cell or "")
    if cell is not None:
        yield _load(cell)
    more = [
        figure("power in aiming", "tx_power_total_dbm", _dbm),
        figure("power in service", "tx_power_auto_dbm", _dbm),
        figure("it draws", "supply_w", _watts),
    ]
    if row.declination_deg is not None:
        more.append(figure("declination", "declination_deg", declination))
    if row.keep_out_m is not None:
        more.append(figure("keep out", "keep_out_m", words.height))
    yield from (replace(one, folded=True) for one in more)


def _aim(row: RadioRow, subject: str) -> Iterator[Figure]:
    if row.aim_by == "all_round":
        yield Figure("aim", "all round", subject, "bearing_true_deg", strong=True)
    elif row.bearing_true_deg is not None:
        yield _figure("bearing, true", row, subject, "bearing_true_deg", bearing, strong=True)
        yield _figure("bearing, magnetic", row, subject, "bearing_magnetic_deg", bearing)
    else:
        yield _figure("bearing, plan", row, subject, "bearing_plan_deg", bearing, strong=True)
    yield _figure("tilt of the beam", row, subject, "tilt_deg", tilt)
    yield _figure("bracket tilt", row, subject, "bracket_tilt_deg", tilt, strong=True)


def _channel(row: RadioRow) -> str:
    return "not set" if row.channel is None else f"{row.channel} / {row.width_mhz:g}{_TIED}MHz"


def _mount(_rows: Rows, row: MountRow, words: _Words) -> Iterator[Figure]:
    subject = f"mount:{row.id}"
    yield _figure("over the ground", row, subject, "height_above_ground_m", words.height, strong=True)
    yield _figure("over the datum", row, subject, "elevation_m", words.height)
    yield _figure("height known to ±", row, subject, "height_sigma_m", words.height)
    if row.below_top_m is not None:
        yield _figure("below the top", row, subject, "below_top_m", words.height)
    if row.clamp is not None:
        yield Figure("clamp", row.clamp, subject, "clamp_range_mm")


def _camera(rows: Rows, row: CameraRow, words: _Words) -> Iterator[Figure]:
    subject = f"camera:{row.id}"
    yield _figure("lens over the ground", row, subject, "height_above_ground_m", words.height)
    if row.px_per_m is not None:
        met = f", {row.purpose_met}" if row.purpose_met else ""
        yield Figure("at the target", f"{number(row.px_per_m, 0)}{_TIED}px/m{met}", subject, "px_per_m", strong=True)
    if row.target_distance_m is not None:
        yield _figure("to the target", row, subject, "target_distance_m", words.distance)
    yield _figure("rate, day", row, subject, "network_rate_mbps", _mbps)
    yield _figure("rate, night", row, subject, "network_rate_night_mbps", _mbps)
    if row.supply_v is not None:
        yield _figure("volts at the camera", row, subject, "supply_v", _volts)
    yield _figure("it draws by night", row, subject, "supply_w_night", _watts)
    for route in rows.assessment.routes:
        if route.camera == row.id and route.head_end is not None:
            yield _figure("way home, narrowest", route, f"route:{row.id}", "bottleneck_mbps", _mbps)
            yield _figure("way home, delay", route, f"route:{row.id}", "latency_ms", _milliseconds)


def _milliseconds(value: float) -> str:
    return f"{number(value, 1)}{_TIED}ms"


def _others(found: Assessment, thing_id: str, words: _Words) -> Iterator[Figure]:
    units = {row.id for row in found.radios} | {row.id for row in found.cameras}
    for area in found.areas:
        if area.id == thing_id:
            yield from _area(area)
    for wire in found.wires:
        if wire.id == thing_id:
            yield from _wire(wire, words)
    for supply in found.supplies:
        if supply.id == thing_id and thing_id not in units:
            yield from _supply(supply)
    for end in found.head_ends:
        if end.id == thing_id:
            yield from _head_end(end)
    for climb in found.climbs:
        if climb.id == thing_id:
            yield _figure("place in the order", climb, f"climb:{climb.id}", "order", str)
            yield _figure("height to reach", climb, f"climb:{climb.id}", "reach_m", words.height)


def _area(area: AreaRow) -> Iterator[Figure]:
    subject = f"area:{area.id}"
    yield _figure("served, doors shut", area, subject, "served_fraction", _served, strong=True)
    yield _figure("served, doors open", area, subject, "served_open_fraction", _served)
    yield _figure("served, racks full", area, subject, "served_full_fraction", _served)
    if area.served_fraction is not None:
        yield _figure("link rate needed", area, subject, "needed_rate_mbps", _mbps)
    if area.rate_everywhere_mbps is not None:
        yield _figure("everywhere", area, subject, "rate_everywhere_mbps", _mbps)
    yield _figure("lowest level", area, subject, "weakest_level_dbm", _dbm)


def _served(fraction: float) -> str:
    """A part in per cent, never rounded up: all is only all of it."""
    return f"{number(int(fraction * 1000.0 + 1e-9) / 10.0, 1)}{_TIED}%"


def _wire(wire: WireRow, words: _Words) -> Iterator[Figure]:
    subject = f"wire:{wire.id}"
    yield _figure("run on the plan", wire, subject, "route_m", words.distance)
    yield _figure("length to order", wire, subject, "order_m", words.distance, strong=True)
    if wire.load_w:
        yield _figure("volts at its end", wire, subject, "volts_far_end_v", _volts)
        yield _figure("it carries", wire, subject, "load_w", _watts)
    yield _figure("surge protectors", wire, subject, "protectors", str)


def _supply(supply: SupplyRow) -> Iterator[Figure]:
    subject = f"supply:{supply.id}"
    yield _figure("volts", supply, subject, "volts_at_load", _volts)
    yield _figure("load", supply, subject, "load_w", _watts)
    if supply.limit_w is not None:
        yield _figure("it can give", supply, subject, "limit_w", _watts)


def _head_end(end: HeadEndRow) -> Iterator[Figure]:
    subject = f"head end:{end.id}"
    yield _figure("comes in", end, subject, "input_mbps", _mbps)
    if end.input_limit_mbps is not None:
        yield _figure("it can take", end, subject, "input_limit_mbps", _mbps)
    yield _figure("keeps pictures for", end, subject, "days", lambda value: f"{number(value, 0)} days")


def site_figures(found: Assessment) -> tuple[Figure, ...]:
    """Return the computed figures of the whole site: north, and the busiest cell."""
    north = found.north
    figures = []
    if north.declination_deg is not None:
        sigma = "" if north.sigma_deg is None else f" ±{signed_tenths(tenths(north.sigma_deg))}°"
        figures.append(Figure("declination", f"{declination(north.declination_deg)}{sigma}", "site", "declination_deg"))
    loads = [cell for cell in found.cells if cell.load_fraction is not None]
    if loads:
        figures.append(_load(max(loads, key=lambda cell: cell.load_fraction or 0.0)))
    return tuple(figures)
