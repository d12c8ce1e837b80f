"""Does what a type takes and gives fit together: volts, watts, outputs, efficiency, resistance."""

from __future__ import annotations

from collections.abc import Iterator

from survey_app.gear.fault import GearFault
from survey_app.physics.power_classes import PowerClass, PowerType, power_class, power_type
from survey_app.site.gear_part import PowerInput, PowerOutput
from survey_app.site.gear_type import BatteryType, CableType, CameraType, DeviceType, RadioType

__all__ = [
    "battery_faults",
    "cable_faults",
    "camera_faults",
    "device_faults",
    "input_faults",
    "output_faults",
    "radio_supply_faults",
]

# Standard feeding by its name on data sheets: type of equipment and its highest class [IEEE8023].
_STANDARD: dict[str, tuple[PowerType, PowerClass]] = {
    "802.3af": (power_type(1), power_class(3)),
    "802.3at": (power_type(2), power_class(4)),
    "802.3bt": (power_type(3), power_class(8)),
}
# Copper data cable per conductor at 20 °C: solid 22 AWG to the cabling limit with a little slack [PRACTICE].
_DATA_CABLE_OHM_PER_KM = (50.0, 100.0)
_SUPPLY_CABLE_OHM_PER_KM = (0.5, 60.0)
# Bits per pixel of compressed video: quiet scene with the newest coding to busy scene with the older [PRACTICE].
_BITS_PER_PIXEL = (0.03, 0.30)


def input_faults(gear: str, inputs: tuple[PowerInput, ...], watts_w: float) -> Iterator[GearFault]:
    """Give the faults of the ways in which a thing of `watts_w` can be fed."""
    for number, way in enumerate(inputs):
        field = f"power_inputs[{number}]"
        if way.volts_min_v >= way.volts_max_v:
            yield GearFault(
                gear,
                "volts-order",
                f"{field}.volts_min_v",
                "the lowest voltage must lie under the highest.",
                way.volts_min_v,
                way.volts_max_v,
                "V",
            )
        if way.scheme not in _STANDARD:
            continue
        kind, most = _STANDARD[way.scheme]
        low, high = kind.device_min_v, kind.device_max_v
        if way.volts_min_v > low or way.volts_max_v < high:
            yield GearFault(
                gear,
                "volts-standard",
                f"{field}.volts_min_v",
                f"a thing fed by {way.scheme} must take {low:g} to {high:g} V.",
                way.volts_min_v,
                low,
                "V",
                "IEEE8023",
            )
        if watts_w > most.device_w:
            yield GearFault(
                gear,
                "watts-standard",
                f"{field}.scheme",
                f"{way.scheme} brings at most {most.device_w:g} W to the thing, which draws {watts_w:g} W.",
                watts_w,
                most.device_w,
                "W",
                "IEEE8023",
            )


def output_faults(gear: str, outputs: tuple[PowerOutput, ...], field: str = "power_outputs") -> Iterator[GearFault]:
    """Give the faults of the ports through which a thing feeds others."""
    for number, port in enumerate(outputs):
        if port.scheme not in _STANDARD:
            continue
        kind, most = _STANDARD[port.scheme]
        low, high = kind.source_min_v, kind.source_max_v
        spread = port.volts_v * port.tolerance_percent / 100.0
        if port.volts_v - spread < low or port.volts_v + spread > high:
            yield GearFault(
                gear,
                "volts-standard",
                f"{field}[{number}].volts_v",
                f"a source of {port.scheme} gives {low:g} to {high:g} V; this one spreads from "
                f"{port.volts_v - spread:.1f} to {port.volts_v + spread:.1f} V.",
                port.volts_v,
                low if port.volts_v - spread < low else high,
                "V",
                "IEEE8023",
            )
        if port.watts_w > most.source_w:
            yield GearFault(
                gear,
                "watts-standard",
                f"{field}[{number}].watts_w",
                f"a port of {port.scheme} gives at most {most.source_w:g} W.",
                port.watts_w,
                most.source_w,
                "W",
                "IEEE8023",
            )


def device_faults(device: DeviceType) -> Iterator[GearFault]:
    """Give the faults of one powered box."""
    yield from input_faults(device.id, device.power_inputs, device.own_w)
    yield from output_faults(device.id, device.power_outputs)
    promised = sum(port.watts_w * port.ports for port in device.power_outputs)
    given = promised if device.budget_w is None else device.budget_w
    if device.budget_w is not None and device.budget_w > promised:
        yield GearFault(
            device.id,
            "budget-above-ports",
            "budget_w",
            f"its ports together give {promised:g} W.",
            device.budget_w,
            promised,
            "W",
        )
    ways = [_STANDARD[way.scheme][1].device_w for way in device.power_inputs if way.scheme in _STANDARD]
    taken = min(ways, default=None)
    if taken is not None and given > taken * device.efficiency_fraction + 0.05:
        yield GearFault(
            device.id,
            "power-out-above-in",
            "power_outputs",
            f"{taken:g} W in at an efficiency of {device.efficiency_fraction:g} give no {given:g} W out.",
            given,
            taken * device.efficiency_fraction,
            "W",
            "IEEE8023",
        )
    if device.kind in ("injector", "converter", "supply_unit") and not device.power_outputs:
        yield GearFault(device.id, "feeds-nothing", "power_outputs", "it has no output.")
    if not device.power_inputs:
        yield GearFault(device.id, "fed-by-nothing", "power_inputs", "nothing says how it is fed.")
    feeding = sum(port.ports for port in device.power_outputs if port.pairs in ("both", "4,5+ 7,8-", "1,2+ 3,6-"))
    count = sum(port.count for port in device.ports)
    if feeding > count:
        yield GearFault(
            device.id,
            "ports-missing",
            "ports",
            f"{feeding} feeding ports, but {count} network ports.",
            float(count),
            float(feeding),
            "",
        )
    if device.kind == "recorder" and (
        device.channels == 0 or device.bays == 0 or device.disk_tb is None or device.input_limit_mbps is None
    ):
        yield GearFault(
            device.id,
            "recorder-incomplete",
            "channels",
            "a recorder needs channels, bays, disk size and its highest rate in.",
        )
    if device.kind == "encoder" and (device.channels == 0 or device.stream_mbps is None):
        yield GearFault(
            device.id,
            "encoder-incomplete",
            "stream_mbps",
            "an encoder needs its channels and the rate of each.",
        )


def camera_faults(camera: CameraType) -> Iterator[GearFault]:
    """Give the faults of one camera type."""
    yield from input_faults(camera.id, camera.power_inputs, max(camera.watts_day_w, camera.watts_night_w))
    if camera.angle_min_deg > camera.angle_max_deg:
        yield GearFault(
            camera.id,
            "angle-order",
            "angle_min_deg",
            "the narrowest angle of view must not lie above the widest.",
            camera.angle_min_deg,
            camera.angle_max_deg,
            "degree",
        )
    if camera.infrared and camera.watts_night_w < camera.watts_day_w:
        yield GearFault(
            camera.id,
            "night-below-day",
            "watts_night_w",
            "with its lamps on it cannot draw less than by day.",
            camera.watts_night_w,
            camera.watts_day_w,
            "W",
        )
    bits = camera.cap_mbps * 1e6 / (camera.width_px * camera.height_px * camera.frames_fps)
    low, high = _BITS_PER_PIXEL
    if not low <= bits <= high:
        yield GearFault(
            camera.id,
            "rate-not-credible",
            "cap_mbps",
            f"{camera.cap_mbps:g} Mbit/s are {bits:.3f} bits per pixel; usual are {low:g} to {high:g}.",
            bits,
            low if bits < low else high,
            "",
        )


def cable_faults(cable: CableType) -> Iterator[GearFault]:
    """Give the faults of one cable type."""
    if cable.medium == "fibre":
        if cable.ohm_per_km is not None:
            yield GearFault(
                cable.id,
                "resistance-of-fibre",
                "ohm_per_km",
                "fibre carries no supply.",
                cable.ohm_per_km,
                None,
                "ohm/km",
            )
        return
    low, high = _DATA_CABLE_OHM_PER_KM if cable.medium == "copper" else _SUPPLY_CABLE_OHM_PER_KM
    if cable.ohm_per_km is None:
        yield GearFault(
            cable.id,
            "resistance-missing",
            "ohm_per_km",
            "without its resistance no voltage at its far end can be given.",
        )
    elif not low <= cable.ohm_per_km <= high:
        words = "copper-clad or stranded wire is not for a run to a pole" if cable.ohm_per_km > high else "too thick"
        yield GearFault(
            cable.id,
            "resistance-not-credible",
            "ohm_per_km",
            f"{cable.ohm_per_km:g} ohm/km lies outside {low:g} to {high:g}: {words}.",
            cable.ohm_per_km,
            high if cable.ohm_per_km > high else low,
            "ohm/km",
        )


def battery_faults(battery: BatteryType) -> Iterator[GearFault]:
    """Give the faults of one battery type: what it weighs against what it stores."""
    mass = battery.body.mass_kg
    if mass:
        stored = battery.volts_v * battery.capacity_ah / mass
        if not 15.0 <= stored <= 300.0:
            yield GearFault(
                battery.id,
                "energy-not-credible",
                "capacity_ah",
                f"{stored:.0f} Wh per kilogram; batteries store 25 to 250.",
                stored,
                15.0 if stored < 15.0 else 300.0,
                "Wh/kg",
            )


def radio_supply_faults(radio: RadioType) -> Iterator[GearFault]:
    """Give the faults of how a radio is fed and of what it passes on."""
    yield from input_faults(radio.id, radio.power_inputs, radio.watts_w)
    if radio.pass_output is not None:
        yield from output_faults(radio.id, (radio.pass_output,), "pass_output")
