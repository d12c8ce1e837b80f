"""Every plausibility check: the catalogue passes, one wrong figure is found, its nearest right neighbour is not."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from pydantic import TypeAdapter

import survey_app.gear
from survey_app.gear import check_catalogue, check_gear, load_catalogue
from survey_app.site.gear_type import GearType

CATALOGUE = load_catalogue()
ADAPTER: TypeAdapter[GearType] = TypeAdapter(GearType)


def test_the_whole_catalogue_is_plausible() -> None:
    assert check_catalogue(CATALOGUE) == ()


def changed(gear_id: str, path: str, value: Any) -> GearType:
    entry = CATALOGUE.find(gear_id).model_dump()
    *way, last = path.split(".")
    inner: Any = entry
    for part in way:
        inner = inner[part]
    inner[last] = value
    return ADAPTER.validate_python(entry)


def levels(number: int, value: float) -> tuple[float, ...]:
    return _with_item("sensitivity_20mhz_dbm", number, value)


def powers(number: int, value: float) -> tuple[float, ...]:
    return _with_item("power_per_mcs_dbm", number, value)


def _with_item(field: str, number: int, value: float) -> tuple[float, ...]:
    values = list(getattr(CATALOGUE.find("bowline-p16"), field))
    values[number] = value
    return tuple(values)


AF_43 = ({"scheme": "802.3af", "volts_min_v": 43.0, "volts_max_v": 57.0},)
AF_37 = ({"scheme": "802.3af", "volts_min_v": 37.0, "volts_max_v": 57.0},)
TURNED = ({"scheme": "passive", "volts_min_v": 28.0, "volts_max_v": 18.0},)
OUT_60_V = ({"scheme": "802.3at", "volts_v": 56.5, "tolerance_percent": 2.0, "watts_w": 30.0, "ports": 5},)
OUT_55_V = ({"scheme": "802.3at", "volts_v": 55.0, "tolerance_percent": 2.0, "watts_w": 30.0, "ports": 5},)
OUT_40_W = ({"scheme": "802.3at", "volts_v": 54.0, "watts_w": 40.0, "ports": 5},)
OUT_7 = ({"scheme": "802.3at", "volts_v": 54.0, "watts_w": 30.0, "ports": 7},)
OUT_6 = ({"scheme": "802.3at", "volts_v": 54.0, "watts_w": 30.0, "ports": 6},)
TAP_11_W = ({"scheme": "passive", "volts_v": 24.0, "watts_w": 11.0, "pairs": "4,5+ 7,8-"},)
TAP_10_W = ({"scheme": "passive", "volts_v": 24.0, "watts_w": 10.0, "pairs": "4,5+ 7,8-"},)
CUT = {"angle_deg": (0.0, 90.0, 180.0), "relative_db": (0.0, -20.0, -30.0)}
CUT_LOW = {"angle_deg": (0.0, 90.0, 180.0), "relative_db": (-1.0, -20.0, -30.0)}
CUT_SHORT = {"angle_deg": (0.0, 90.0, 180.0), "relative_db": (0.0, -20.0)}
CUT_BACK = {"angle_deg": (0.0, 180.0, 90.0), "relative_db": (0.0, -20.0, -30.0)}

# type, field, value that must be found, value next to it that must not, code
CASES: list[tuple[str, str, Any, Any, str]] = [
    ("bowline-p16", "pattern.gain_dbi", 17.4, 17.2, "gain-above-beam"),
    ("rove-o12", "pattern.gain_dbi", 13.1, 12.9, "gain-above-beam"),
    ("rove-o12", "pattern.model", "sector", "omni", "model-against-width"),
    ("bowline-p16", "pattern.model", "omni", "lobe", "model-against-width"),
    ("bowline-p16", "pattern.model", "table", "lobe", "cut-missing"),
    ("bowline-p16", "pattern.azimuth_cut", CUT_SHORT, CUT, "cut-lengths"),
    ("bowline-p16", "pattern.azimuth_cut", CUT_BACK, CUT, "cut-order"),
    ("bowline-p16", "pattern.azimuth_cut", CUT_LOW, CUT, "cut-peak"),
    (
        "bowline-p16",
        "sensitivity_20mhz_dbm",
        levels(0, -95.5),
        levels(0, -94.5),
        "sensitivity-below-noise",
    ),
    (
        "bowline-p16",
        "sensitivity_20mhz_dbm",
        levels(4, -84.0),
        levels(4, -83.9),
        "sensitivity-falls",
    ),
    (
        "bowline-p16",
        "power_per_mcs_dbm",
        powers(7, 22.1),
        powers(7, 22.0),
        "power-rises",
    ),
    ("bowline-p16", "power_per_mcs_dbm", (25.0,) * 7, (25.0,) * 8, "rate-list-length"),
    ("bowline-p16", "power_floor_dbm", 21.5, 21.0, "power-floor"),
    ("bowline-p16", "watts_w", 0.3, 0.4, "power-out-above-in"),
    ("bowline-p16", "highest_mcs", 8, 7, "rate-index"),
    ("bowline-p19", "widths_mhz", (20,), (20, 40), "rate-index"),
    ("bowline-p16", "streams", 3, 2, "streams"),
    ("bowline-p16", "widths_mhz", (20, 80), (20, 40), "width-unknown"),
    ("bowline-p16", "tunes_high_mhz", 5189.0, 5190.0, "tuning-range"),
    ("bowline-p16", "max_input_dbm", 0.0, -1.0, "input-order"),
    ("bowline-p16", "sensitivity_20mhz_dbm", levels(7, -30.0), levels(7, -31.0), "input-order"),
    ("bowline-p16", "lights_dbm", (-80.0, -65.0, -72.0), (-80.0, -72.0, -65.0), "lights-order"),
    ("bowline-p16", "acir_db", (39.0, 23.0, 55.0), (23.0, 23.0, 55.0), "rejection-order"),
    ("bowline-p16", "efficiency_many_stations", 0.6, 0.55, "efficiency-order"),
    ("becket-c", "connectors", 0, 2, "no-antenna"),
    ("becket-c", "connectors", 1, 2, "connectors"),
    ("bowline-p16", "power_inputs", TURNED, AF_37, "volts-order"),
    ("lens-b4", "power_inputs", AF_43, AF_37, "volts-standard"),
    ("lens-b4", "watts_night_w", 13.0, 12.95, "watts-standard"),
    ("lens-b4", "watts_night_w", 4.9, 5.0, "night-below-day"),
    ("lens-b4", "angle_min_deg", 99.0, 98.0, "angle-order"),
    ("lens-b4", "cap_mbps", 40.0, 15.0, "rate-not-credible"),
    ("hitch-5", "power_outputs", OUT_60_V, OUT_55_V, "volts-standard"),
    ("hitch-5", "power_outputs", OUT_40_W, OUT_55_V, "watts-standard"),
    ("hitch-5", "power_outputs", OUT_7, OUT_6, "ports-missing"),
    ("hitch-5", "budget_w", 151.0, 150.0, "budget-above-ports"),
    ("hitch-5", "power_inputs", (), AF_37, "fed-by-nothing"),
    ("tap-54-24", "power_outputs", TAP_11_W, TAP_10_W, "power-out-above-in"),
    ("plug-24", "power_outputs", (), TAP_10_W, "feeds-nothing"),
    ("logbook-16", "channels", 0, 1, "recorder-incomplete"),
    ("fid-e4", "stream_mbps", None, 3.0, "encoder-incomplete"),
    ("line-24s", "ohm_per_km", 132.0, 93.8, "resistance-not-credible"),
    ("line-24s", "ohm_per_km", 49.0, 53.0, "resistance-not-credible"),
    ("line-24s", "ohm_per_km", None, 70.0, "resistance-missing"),
    ("line-f2", "ohm_per_km", 5.0, None, "resistance-of-fibre"),
    ("cell-12-100", "capacity_ah", 1000.0, 150.0, "energy-not-credible"),
    ("cleat-50", "tilt_step_deg", 3.0, 2.5, "tilt-step"),
    ("cleat-50", "body.pipe_min_mm", 90.0, 89.0, "pipe-order"),
    ("cleat-50", "body.pipe_max_mm", None, 90.0, "pipe-order"),
    ("cleat-50", "body", {}, {"pipe_min_mm": 48.0, "pipe_max_mm": 90.0}, "pipe-missing"),
    ("bowline-p16", "body.ingress", "IP7X", "IP55", "ingress-unknown"),
    ("bowline-p16", "body.ingress", "weatherproof", "IP66 and IP67", "ingress-unknown"),
    ("bowline-p16", "body.temp_min_c", 60.0, 59.0, "temperature-order"),
    ("column-6", "diameter_top_mm", 115.0, 114.0, "taper"),
    ("mast-6", "wall_mm", 31.0, 30.0, "wall-thickness"),
    ("cap-rj", "clamp_v", 60.0, 70.0, "clamps-the-supply"),
]


@pytest.mark.parametrize(
    ("gear_id", "path", "wrong", "right", "code"), CASES, ids=[f"{c[0]}-{c[4]}-{n}" for n, c in enumerate(CASES)]
)
def test_wrong_figure_is_found_and_the_one_beside_it_is_not(
    gear_id: str, path: str, wrong: Any, right: Any, code: str
) -> None:
    faults = [fault for fault in check_gear(changed(gear_id, path, wrong)) if fault.code == code]
    assert faults
    assert all(fault.gear == gear_id and fault.message.endswith(".") and fault.source for fault in faults)
    assert code not in {fault.code for fault in check_gear(changed(gear_id, path, right))}


def test_every_code_of_the_checks_has_a_case() -> None:
    folder = Path(survey_app.gear.__file__).parent
    source = "".join(path.read_text(encoding="utf-8") for path in folder.glob("*_checks.py"))
    written = set(re.findall(r'GearFault\(\s*[\w.]+,\s*"([a-z0-9-]+)"', source))
    written |= {"temperature-order", "pipe-order"}  # named in a table
    assert written == {case[4] for case in CASES}
