"""Lineage of cells, cameras, wires, supplies, routes and head ends."""

from __future__ import annotations

from collections.abc import Mapping

from survey_app.assess.lineage.rule import Rule, rule

__all__ = ["CAMERA", "CELL", "FAILURE", "HEAD_END", "LEG", "ROUTE", "SUPPLY", "SUPPLY_LINK", "WIRE"]

_UP, _DOWN = "hops.directions.to_access_point", "hops.directions.to_station"
_AIR = f"{_UP}.demand_mbps {_UP}.phy_rate_mbps {_DOWN}.demand_mbps {_DOWN}.phy_rate_mbps"
_ONE_CAMERA = "site:cameras site:defaults.overhead_factor site:defaults.return_fraction"

CELL: Mapping[str, Rule] = {
    "channel": rule("As set at the access point.", "site:radios[{access_point}].channel"),
    "centre_mhz": rule("5000 + 5 times the channel number.", "channel", "IEEE80211"),
    "width_mhz": rule(
        "As set at the access point, else the site's default.",
        "site:radios[{access_point}].width_mhz|site:defaults.width_mhz site:defaults.width_mhz",
    ),
    "airtime_used_fraction": rule(
        "Sum over all its directions of demand over link rate, and the multicast that is repeated at the lowest rate.",
        f"{_AIR} multicast_fraction", "HEUSSE",
    ),
    "multicast_fraction": rule(
        "Multicast video that crosses it over the lowest rate at which the access point repeats it to all; each stream once, none "
        "where the access point gives turns.",
        "access width_mhz gear:{owner.gear}.mode site:cameras site:defaults.overhead_factor", "IEEE80211",
    ),
    "airtime_limit_fraction": rule(
        "What access to the air leaves of a link rate, as the access point's type states it.",
        "gear:{owner.gear}.efficiency_one_station gear:{owner.gear}.efficiency_many_stations gear:{owner.gear}.efficiency_scheduled "
        "gear:{owner.gear}.access site:radios[{access_point}].access", "PRACTICE",
    ),
    "load_fraction": rule("Used over limit.", "airtime_used_fraction airtime_limit_fraction"),
    "demand_mbps": rule("Sum of the demand of all its directions.", f"{_UP}.demand_mbps {_DOWN}.demand_mbps"),
    "air_fraction": rule(
        "Sum over all its directions of the time on the air that their demand takes, and that of repeated multicast.",
        f"{_UP}.air_fraction {_DOWN}.air_fraction multicast_fraction", "IEEE80211",
    ),
    "heard_fraction": rule(
        "Sum of the loads of all hops of other cells that its hops hear or are heard by.", "others.load_fraction", "IEEE80211",
    ),
    "neighbours_fraction": rule(
        "What the newest scans at its radios say that others take of its channel, at the end that hears most.",
        "channel width_mhz", "PRACTICE",
    ),
    "load_with_others_fraction": rule(
        "Its own load, what neighbours take, and the heaviest set of cells that all hear each other.",
        "load_fraction neighbours_fraction others.load_fraction", "GUPTA",
    ),
    "delay_p99_ms": rule(
        "99 of 100 pictures are over the air within this: they come at random and are sent one after another.",
        f"{_UP}.demand_mbps {_UP}.phy_rate_mbps {_DOWN}.demand_mbps {_DOWN}.phy_rate_mbps airtime_limit_fraction "
        "load_with_others_fraction access", "KLEINROCK",
    ),
    "delay_together_ms": rule(
        "The last key picture when all cameras send theirs at one moment.",
        f"{_UP}.demand_mbps {_UP}.phy_rate_mbps {_DOWN}.demand_mbps {_DOWN}.phy_rate_mbps airtime_limit_fraction "
        "load_with_others_fraction", "PRACTICE",
    ),
    "equal_share_mbps": rule(
        "What each station gets when all want as much as they can: the slowest sets the pace.",
        f"airtime_limit_fraction {_UP}.phy_rate_mbps", "HEUSSE",
    ),
    "heaviest_share_fraction": rule("Part of the used air that the heaviest station takes.", _AIR, "HEUSSE"),
    "more_cameras": rule(
        "Cameras of the usual kind that still fit behind the slowest station before the load is warned of, at the "
        "rates that full power would reach.",
        f"airtime_limit_fraction {_UP}.demand_mbps {_DOWN}.demand_mbps {_UP}.margin_at_lowest_rate_db site:defaults.load_warn_fraction {_ONE_CAMERA}", "PRACTICE",
    ),
}  # fmt: skip

_WHERE = "mount.x_m|site:cameras[{id}].position mount.y_m|site:cameras[{id}].position"
_RATE = "site:cameras[{id}].stream gear:{gear}.cap_mbps"

CAMERA: Mapping[str, Rule] = {
    "x_m": rule("That of its mount, or as drawn.", f"{_WHERE} site:plane.anchor"),
    "y_m": rule("That of its mount, or as drawn.", f"{_WHERE} site:plane.anchor"),
    "height_above_ground_m": rule(
        "As noted, with what it is measured from.",
        "site:cameras[{id}].height_m site:cameras[{id}].height_reference site:structures[{mount.structure}].base_m "
        "site:structures[{mount.structure}].eaves_height_m|site:structures[{mount.structure}].height_m",
    ),
    "px_per_m": rule(
        "Pixels across over the width of the scene at the target.",
        "gear:{gear}.width_px gear:{gear}.angle_min_deg gear:{gear}.angle_max_deg target_distance_m site:cameras[{id}].angle_of_view_deg "
        "site:cameras[{id}].target", "EN62676",
    ),
    "target_distance_m": rule(
        "From the lens to the middle of the target.", "x_m y_m height_above_ground_m site:cameras[{id}].target site:plane.anchor"
    ),
    "view_bearing_plan_deg": rule(
        "From the camera to the middle of its target, on the plan.", "x_m y_m site:cameras[{id}].target site:plane.anchor"
    ),
    "view_width_m": rule(
        "Width of what it sees at the target: by its angle of view, else the width wanted there, as far as the lens can.",
        "target_distance_m site:cameras[{id}].angle_of_view_deg site:cameras[{id}].target gear:{gear}.angle_min_deg gear:{gear}.angle_max_deg",
        "EN62676",
    ),
    "angle_of_view_deg": rule(
        "As set; else what shows the scene at the target.", "site:cameras[{id}].angle_of_view_deg|view_width_m target_distance_m", "EN62676"
    ),
    "rate_mbps": rule(
        "Set rate or cap by day; a variable stream at its mean times the site's factor; else the type's usual cap.",
        f"{_RATE} site:defaults.variable_rate_factor", "PRACTICE",
    ),
    "rate_night_mbps": rule(
        "The same by night; a variable stream rises by its night factor.",
        f"{_RATE} gear:{{gear}}.night_factor site:defaults.variable_rate_factor", "PRACTICE",
    ),
    "network_rate_mbps": rule(
        "Rate by day with packet overhead, once and again for each viewer whom the recorder does not serve.",
        "rate_mbps site:defaults.overhead_factor site:cameras[{id}].stream.viewers", "RFC3550",
    ),
    "network_rate_night_mbps": rule(
        "The same by night.", "rate_night_mbps site:defaults.overhead_factor site:cameras[{id}].stream.viewers", "RFC3550"
    ),
    "supply_w_day": rule("Consumption of the type by day.", "gear:{gear}.watts_day_w", unit="W"),
    "supply_w_night": rule("Consumption of the type with its lamps on.", "gear:{gear}.watts_night_w", unit="W"),
    "supply_v": rule(
        "Voltage that arrives at its plug by night.",
        "supply.volts_at_load supply_w_night feeding_wire.loop_ohm gear:{wire_giver.gear}.power_outputs",
    ),
    "edge_recording_hours": rule("As noted.", "site:cameras[{id}].edge_recording_hours"),
}  # fmt: skip

_ENDS = (
    "ends_mounts.x_m ends_mounts.y_m site:devices[{a}].position site:devices[{b}].position site:supplies[{a}].position "
    "site:supplies[{b}].position site:cameras[{a}].position site:cameras[{b}].position"
)
_RUN = "site:wires[{id}].length_m site:wires[{id}].route site:wires[{id}].a site:wires[{id}].b"

WIRE: Mapping[str, Rule] = {
    "route_m": rule(
        "As measured; else along its run on the plan from end to end; 2 m for a ready-made lead.",
        f"{_RUN} {_ENDS} site:plane.anchor", "PRACTICE",
    ),
    "order_m": rule(
        "Route, what goes up and down, outdoors drip loop and service length, and waste on all of it.",
        "route_m site:wires[{id}].drops_m site:wires[{id}].outdoors site:wires[{id}].medium site:defaults.cable_drip_m "
        "site:defaults.cable_service_m site:defaults.cable_waste_percent", "PRACTICE",
    ),
    "loop_ohm": rule(
        "Installed length there and back at the worst cable temperature, with plugs and one pass for each protector.",
        "route_m site:wires[{id}].drops_m site:wires[{id}].outdoors site:defaults.cable_drip_m site:defaults.cable_service_m "
        "gear:{gear}.ohm_per_km gear:{gear}.four_pair_feed site:wires[{id}].extra_ohm protectors gear:{protectors_here.id}.extra_ohm "
        "site:defaults.cable_temp_c", "IACS",
    ),
    "load_w": rule("Power into its far end by night.", "fed.load_w|fed_camera.supply_w_night"),
    "volts_far_end_v": rule("Voltage at its far end by night.", "fed.volts_at_load|fed_camera.supply_v"),
    "protectors": rule(
        "Two on copper outdoors, or as set.",
        "site:wires[{id}].protectors site:wires[{id}].medium site:wires[{id}].outdoors", "PRACTICE", unit="",
    ),
}  # fmt: skip

_OWN_W = "gear:{radio.gear}.watts_w|gear:{camera.gear}.watts_night_w|gear:{device.gear}.own_w"
_OWN_INPUTS = "gear:{radio.gear}.power_inputs|gear:{camera.gear}.power_inputs|gear:{device.gear}.power_inputs"
_ABOVE = (
    "gear:{feeders.gear}.power_outputs gear:{feeders.gear}.own_w gear:{feeders.gear}.efficiency_fraction "
    "gear:{feeding_radios.gear}.pass_output site:devices[{feeders.id}].fed_from wires.loop_ohm site:supplies[{source}].volts_v "
    "site:supplies[{source}].volts_low_v site:supplies[{source}].battery gear:{beside_radios.gear}.watts_w "
    "gear:{beside_cameras.gear}.watts_night_w gear:{beside_devices.gear}.own_w beside.wires.loop_ohm"
)
_ANALOGUE = "gear:{analogue.gear}.watts_night_w analogue_wires.loop_ohm"
_WARMTH = (
    "site:defaults.air_temp_max_c site:devices[{box.id}].enclosure gear:{box.enclosure}.heat_k_per_w gear:{box.enclosure}.sun_k "
    "gear:{box.gear}.own_w gear:{box.gear}.efficiency_fraction gear:{box.gear}.power_outputs box_behind.load_w "
    "box_behind.wires.loop_ohm site:devices[{box.id}].environment site:devices[{box.id}].position"
)

SUPPLY: Mapping[str, Rule] = {
    "volts_at_load": rule(
        "The direct-current network behind the source, solved by night at the worst cable temperature with the source at the low "
        "end of its tolerance: volts less amperes times loop resistance, amperes from watts over volts.",
        f"load_w beside.load_w {_ABOVE}", "ORTEGA", "13.3.4", unit="V",
    ),
    "volts_min": rule("Lowest voltage that its type takes in the way in which it is fed.", _OWN_INPUTS, unit="V"),
    "volts_max": rule("Highest voltage that its type takes in the way in which it is fed.", _OWN_INPUTS, unit="V"),
    "load_w": rule(
        "What it draws by night at its plug, with all that hangs on it and what is lost on the way there; what hands on the voltage "
        "that it gets draws by that voltage.",
        f"{_OWN_W} behind.load_w behind.wires.loop_ohm {_ANALOGUE} gear:{{device.gear}}.efficiency_fraction gear:{{device.gear}}.power_outputs {_ABOVE}",
    ),
    "limit_w": rule(
        "What its port can give, derated at the temperature around the feeder: the air, what is lost in its box, the sun on it.",
        "gear:{feeder.gear}.power_outputs gear:{feeder.gear}.budget_w gear:{feeder.gear}.derate_above_c "
        f"gear:{{feeder.gear}}.derate_percent_per_k gear:{{feeder_radio.gear}}.pass_output {_WARMTH}", "PRACTICE",
    ),
}  # fmt: skip

SUPPLY_LINK: Mapping[str, Rule] = {
    "volts_v": rule(
        "Voltage here by night: of a wire at its far end, of a source the low end of what it gives.",
        "own.volts_at_load|site:supplies[{id}].volts_low_v|site:supplies[{id}].volts_v",
    ),
    "load_w": rule("Power that passes here by night, with what is lost on the way.", "own.load_w own.wires.loop_ohm behind.load_w behind.wires.loop_ohm " + _ANALOGUE),
    "limit_w": rule(
        "Of a wire what its port can give; of a device what all its ports can, derated at the temperature around it.",
        "fed_by_wire.limit_w gear:{device.gear}.power_outputs gear:{device.gear}.budget_w gear:{device.gear}.derate_above_c "
        f"gear:{{device.gear}}.derate_percent_per_k gear:{{radio.gear}}.pass_output {_WARMTH}", "PRACTICE",
    ),
}  # fmt: skip

LEG: Mapping[str, Rule] = {
    "demand_mbps": rule(
        "Video of all cameras that cross it this way and return traffic of those that cross it the other way, by day or night, "
        "whichever is more.",
        "crossing.network_rate_mbps crossing.network_rate_night_mbps crossing.rate_mbps crossing.rate_night_mbps "
        "site:defaults.return_fraction",
    ),
    "carries_mbps": rule(
        "Of a hop: what it carries alone in this direction; of a wire: the slowest of cable, ports and grant.",
        "hop.directions.to_access_point.throughput_alone_mbps hop.directions.to_station.throughput_alone_mbps "
        "site:wires[{wire.id}].capacity_mbps gear:{wire.gear}.speed_mbps gear:{joined.gear}.ports", "PRACTICE",
    ),
    "left_mbps": rule(
        "Of a hop: what it carries alone, times the part of its cell's limit that nobody uses; of a wire: what it carries less "
        "the demand.",
        "carries_mbps demand_mbps hop.cell.load_fraction", "PRACTICE",
    ),
    "latency_ms": rule(
        "Of a hop: the slow end of what is usual at its cell's load; of a wire: the delay of what comes next.",
        "hop.cell.load_fraction hop.cell.access gear:{next_device.gear}.delay_ms", "PRACTICE",
    ),
    "delay_p99_ms": rule(
        "Of a hop: what 99 of 100 pictures of its cell keep; of a wire: the delay of what comes next.",
        "hop.cell.delay_p99_ms gear:{next_device.gear}.delay_ms", "KLEINROCK",
    ),
}  # fmt: skip

ROUTE: Mapping[str, Rule] = {
    "demand_mbps": rule("Network rate of its camera by day.", "of_camera.network_rate_mbps"),
    "night_demand_mbps": rule("Network rate of its camera by night.", "of_camera.network_rate_night_mbps"),
    "bottleneck_mbps": rule("The least that any of its legs carries.", "legs.carries_mbps"),
    "delay_p99_ms": rule("Sum over its legs, on the careful side.", "legs.delay_p99_ms", "KLEINROCK"),
    "latency_ms": rule("Sum over its legs, one way.", "legs.latency_ms", "PRACTICE"),
}

_OF_CAMERAS = "felt.network_rate_mbps felt.network_rate_night_mbps site:defaults.return_fraction"

FAILURE: Mapping[str, Rule] = {
    "recorded_hours": rule(
        "The least of what the dark cameras record by themselves; nothing of one that stands still too.",
        "dark_cameras.edge_recording_hours",
    ),
    "load_fraction": rule(
        "Of a cell: demand over link rate at the rates that full power would reach, summed, over the cell's limit; of a wire: demand "
        "over what it carries; both with the video that comes over it once the subject has failed.",
        f"{_OF_CAMERAS} fullest_cell.airtime_limit_fraction fullest_cell.demand_mbps "
        "fullest_hops.directions.to_access_point.margin_at_lowest_rate_db "
        "fullest_hops.directions.to_station.margin_at_lowest_rate_db", "HEUSSE",
    ),
}  # fmt: skip

HEAD_END: Mapping[str, Rule] = {
    "channels_used": rule("Cameras whose video arrives.", "arriving.demand_mbps", unit=""),
    "channels": rule("Inputs that the recorder has.", "gear:{device_record.gear}.channels", unit=""),
    "input_mbps": rule(
        "One stream of each camera that arrives, by day or night, whichever is more.",
        "seen.rate_mbps seen.rate_night_mbps site:defaults.overhead_factor",
    ),
    "input_limit_mbps": rule("Highest rate in, as its type states it.", "gear:{device_record.gear}.input_limit_mbps"),
    "gb_per_day": rule(
        "Mean of the streams over a day times the recorded part of it; 1 Mbit/s is 10.8 GB a day.",
        "seen.rate_mbps seen.rate_night_mbps site:head_ends[{id}].recording_fraction", "PRACTICE", unit="GB",
    ),
    "days": rule(
        "Usable storage over what a day brings; a recorder is filled to 90 %.",
        "gb_per_day site:head_ends[{id}].disks_tb gear:{device_record.gear}.bays gear:{device_record.gear}.disk_tb "
        "gear:{device_record.gear}.usable_fraction", "PRACTICE", unit="day",
    ),
    "days_wanted_days": rule("As asked for.", "site:head_ends[{id}].days_wanted_days"),
    "disks": rule(
        "Installed storage over the size of one disk; all bays where it is not stated.",
        "site:head_ends[{id}].disks_tb gear:{device_record.gear}.bays gear:{device_record.gear}.disk_tb",
    ),
}  # fmt: skip
