"""Lineage of radios: place, aim, power, law, supply, order of work."""

from __future__ import annotations

from collections.abc import Mapping

from survey_app.assess.lineage.rule import Rule, rule

__all__ = ["RADIO"]

_SHAPE = "gear:{antenna}.pattern|gear:{gear}.pattern"
_OWN_POWER = "gear:{gear}.power_per_mcs_dbm gear:{gear}.power_floor_dbm gear:{gear}.power_step_db"
_CEILING = "site:radios[{id}].power_ceiling_dbm"
_PATH = (
    "hops.free_space_loss_db hops.gas_loss_db ends.gain_toward_far_end_dbi far_ends_here.gain_toward_far_end_dbi "
    "ends.polarisation_loss_db feeder_loss_db far.feeder_loss_db"
)
_OTHERS = (
    "others.tx_power_full_dbm others.x_m others.y_m others.antenna_elevation_m others.bearing_plan_deg others.bracket_tilt_deg "
    "others.feeder_loss_db others.centre_mhz others.width_mhz site:gear site:radios site:structures site:walls site:openings site:rooms"
)
_MARGIN = "hops.wanted_margin_db sent.needed_mcs site:defaults.interference_rise_db gear:{far.gear}.sensitivity_20mhz_dbm width_mhz"
_FAN = "ends.bearing_true_deg|ends.bearing_plan_deg ends.tilt_deg"
_MARGINS_OF_FAN = (
    f"sent.needed_mcs heard.needed_mcs {_OWN_POWER} gear:{{far.gear}}.power_per_mcs_dbm conducted_limit_dbm far.conducted_limit_dbm "
    "gear:{gear}.sensitivity_20mhz_dbm gear:{far.gear}.sensitivity_20mhz_dbm hops.free_space_loss_db hops.gas_loss_db "
    "far.antenna_gain_dbi feeder_loss_db far.feeder_loss_db ends.polarisation_loss_db"
)
_LAW = "rule:{limit_rule} antenna_gain_dbi feeder_loss_db gear:{gear}.chains site:region channel width_mhz"
_NORTH = "north.declination_deg lat_deg lon_deg site:plane.datum_elevation_m site:as_of"
_AIM_SPREAD = (
    "ends.hop.ground_distance_m site:mounts[{mount}].position_sigma_m site:mounts[{far.mount}].position_sigma_m"
)

_PLACE: Mapping[str, Rule] = {
    "height_above_ground_m": rule("That of its mount.", "mount.height_above_ground_m"),
    "height_above_roof_m": rule(
        "Height over the ground less the top of the building: eaves and parapet, or the ridge.",
        "mount.height_above_ground_m site:structures[{mount.structure}].eaves_height_m site:structures[{mount.structure}].roof",
    ),
    "below_top_m": rule("That of its mount: what a tape shows from the top.", "mount.below_top_m"),
    "antenna_elevation_m": rule("That of its mount, over the site's datum.", "mount.elevation_m"),
    "x_m": rule("That of its mount.", "mount.x_m"),
    "y_m": rule("That of its mount.", "mount.y_m"),
    "lat_deg": rule("That of its mount.", "mount.lat_deg"),
    "lon_deg": rule("That of its mount.", "mount.lon_deg"),
    "clamp_range_mm": rule("Pipes that the clamp takes which was chosen for its mount.", "mount.clamp_range_mm"),
}

_AIM: Mapping[str, Rule] = {
    "bearing_true_deg": rule(
        "As fixed by hand; else straight at its one far end; else the common aim that makes the smallest margin at the needed "
        "rate over all far ends largest, in both directions and both planes.",
        f"site:radios[{{id}}].aim {_FAN} {_SHAPE} {_MARGINS_OF_FAN}",
        "PRACTICE",
    ),
    "bearing_plan_deg": rule(
        "The aim turned to plan north at the radio; on a site without an anchor the aim itself.",
        f"bearing_true_deg|ends.bearing_plan_deg lat_deg lon_deg x_m y_m site:plane.anchor site:radios[{{id}}].aim {_SHAPE} "
        f"{_MARGINS_OF_FAN} {_FAN}",
        "SNYDER1987", "25",
    ),
    "bearing_magnetic_deg": rule("True bearing less declination, east positive.", "bearing_true_deg declination_deg", "WMM2025"),
    "tilt_deg": rule(
        "As fixed by hand; else the elevation of its one far end, or of the common aim; an omni hangs plumb.",
        f"site:radios[{{id}}].aim {_FAN} {_SHAPE} {_MARGINS_OF_FAN}",
        "PRACTICE",
    ),
    "electrical_downtilt_deg": rule("Built into the antenna, down positive.", f"{_SHAPE}"),
    "bracket_tilt_deg": rule(
        "What the bracket has to be set to: beam tilt plus electrical downtilt.", "tilt_deg electrical_downtilt_deg"
    ),
    "declination_deg": rule(
        "The magnetic model's declination here on the planned date; one figure for the whole of a campus.", _NORTH, "WMM2025"
    ),
    "declination_sigma_deg": rule("That of the site.", "north.sigma_deg", "WMM2025", "error model"),
    "declination_change_deg": rule("That of the site.", "north.yearly_change_deg", "WMM2025"),
    "sweep_deg": rule(
        "Two beamwidths to either side, so that the peak is found between two falls; none for several far ends.",
        "beamwidth_azimuth_deg", "PRACTICE",
    ),
    "close_enough_deg": rule(
        "The largest turn off the common aim that costs no far end more than half a decibel.",
        f"bearing_true_deg|bearing_plan_deg bracket_tilt_deg {_FAN} {_SHAPE}", "PRACTICE",
    ),
    "false_peak_deg": rule("The first side lobe lies about 1.6 beamwidths off.", "beamwidth_azimuth_deg", "PRACTICE"),
    "aim_sigma_deg": rule(
        "By the landmark where one is allowed, else by compass: places of both ends, the mark or north, and the eye, added by squares.",
        f"{_AIM_SPREAD} landmark.error_deg aim_sigma_compass_deg", "GUM", "5.1.2",
    ),
    "aim_sigma_compass_deg": rule(
        "Places of both ends, the declination's error and a careful compass reading, added by squares.",
        f"{_AIM_SPREAD} declination_sigma_deg site:defaults.compass_sigma_deg", "GUM", "5.1.2",
    ),
    "position_tolerance_m": rule(
        "How far the mount may be off its place before that takes an eighth of the beamwidth.",
        "ends.hop.ground_distance_m beamwidth_azimuth_deg", "PRACTICE",
    ),
    "compass_step_deg": rule("Half a degree: what a hand compass can be read to.", source="PRACTICE"),
    "bracket_step_deg": rule("Step of the clamp that was chosen for the mount.", "gear:{mount.clamp}.tilt_step_deg"),
    "bracket_set_deg": rule(
        "The step nearest to the wanted bracket tilt, inside the clamp's travel.",
        "bracket_tilt_deg bracket_step_deg gear:{mount.clamp}.tilt_min_deg gear:{mount.clamp}.tilt_max_deg",
    ),
    "bracket_step_cost_db": rule(
        "What the step costs the far end that it costs most.",
        f"bracket_set_deg bracket_tilt_deg bearing_true_deg|bearing_plan_deg {_FAN} {_SHAPE}", "F1336",
    ),
}  # fmt: skip

_POWER: Mapping[str, Rule] = {
    "tx_power_total_dbm": rule(
        "Fixed while aiming, sum over chains: the least of ceiling, law and the unit's power at its highest rate, in its steps.",
        f"{_CEILING} conducted_limit_dbm {_OWN_POWER} gear:{{gear}}.highest_mcs site:radios[{{id}}].highest_mcs width_mhz", "PRACTICE",
    ),
    "tx_power_full_dbm": rule(
        "The most that ceiling, law and unit allow, in the unit's steps.",
        f"{_CEILING} conducted_limit_dbm {_OWN_POWER} gear:{{gear}}.highest_mcs site:radios[{{id}}].highest_mcs width_mhz",
    ),
    "tx_power_auto_dbm": rule(
        "What automatic power settles at: the wanted margin at the needed rate, or the site's target level, at every far end, "
        "rounded up to the unit's step and kept between floor and full power; over what other cells of the site bring into the channel.",
        f"site:radios[{{id}}].power_mode tx_power_full_dbm tx_power_answer_db site:defaults.target_level_dbm {_MARGIN} {_PATH} {_OWN_POWER}",
        "PRACTICE",
    ),
    "tx_power_answer_db": rule(
        "What automatic power is raised by because far ends hear other cells, once all radios of the site have answered each other; "
        "radios that wait for each other count for nothing.",
        f"site:radios[{{id}}].power_mode tx_power_full_dbm site:defaults.target_level_dbm {_MARGIN} {_PATH} {_OTHERS}", "YATES95",
        "definition 1, theorem 2",
    ),
    "antenna_gain_dbi": rule("Peak gain of its antenna.", "gear:{antenna}.pattern.gain_dbi|gear:{gear}.pattern.gain_dbi"),
    "beamwidth_azimuth_deg": rule(
        "Between the 3 dB points, across.",
        "gear:{antenna}.pattern.azimuth_beamwidth_deg|gear:{gear}.pattern.azimuth_beamwidth_deg",
    ),
    "beamwidth_elevation_deg": rule(
        "Between the 3 dB points, upright.",
        "gear:{antenna}.pattern.elevation_beamwidth_deg|gear:{gear}.pattern.elevation_beamwidth_deg",
    ),
    "edge_left_deg": rule(
        "From the axis to where the pattern has fallen by 3 dB on the left: add it to a bearing of the aim, whichever north that has.",
        f"{_SHAPE}", "F1336",
    ),
    "edge_right_deg": rule(
        "From the axis to where the pattern has fallen by 3 dB on the right: add it to a bearing of the aim, whichever north that has.",
        f"{_SHAPE}", "F1336",
    ),
    "feeder_loss_db": rule(
        "Feeders per chain, one after the other.",
        "site:radios[{id}].feeder_count gear:{site_radio.feeder}.loss_db",
    ),
    "eirp_dbm": rule(
        "Aiming power plus peak gain less feeder.", "tx_power_total_dbm antenna_gain_dbi feeder_loss_db"
    ),
    "conducted_limit_dbm": rule(
        "The most total power that the region's row leaves at the connectors, gain back-off and density counted.", _LAW, "{limit_rule}"
    ),
    "eirp_limit_dbm": rule(
        "EIRP along the beam at that power.", "conducted_limit_dbm antenna_gain_dbi feeder_loss_db", "{limit_rule}"
    ),
    "keep_out_m": rule(
        "Where the power density on the axis at full power falls to the site's limit; never under a least distance.",
        "tx_power_full_dbm antenna_gain_dbi feeder_loss_db site:defaults.keep_out_limit_w_per_m2", "OET65", "2",
    ),
    "level_per_chain_db_below": rule(
        "What one chain shows under the level of all chains together.", "gear:{gear}.chains", unit="dB"
    ),
    "lights_expected": rule("Those of its only hop.", "ends.lights_expected"),
    "lights_total": rule("Lights that the unit has.", "gear:{gear}.lights_dbm"),
}  # fmt: skip

_STRETCH = (
    "tx_power_full_dbm far.tx_power_full_dbm antenna_gain_dbi far_ends_here.gain_toward_far_end_dbi hops.wanted_margin_db "
    "site:defaults.margin_near_db site:defaults.margin_far_db site:defaults.interference_rise_db hops.distance_m "
    f"gear:{{gear}}.sensitivity_20mhz_dbm gear:{{far.gear}}.sensitivity_20mhz_dbm {_PATH} {_OWN_POWER} gear:{{far.gear}}.power_per_mcs_dbm"
)

_AIR: Mapping[str, Rule] = {
    "channel": rule("That of the cell's access point.", "site:radios[{cell}].channel|site:radios[{id}].channel"),
    "centre_mhz": rule("5000 + 5 times the channel number.", "channel", "IEEE80211"),
    "width_mhz": rule(
        "That of the cell's access point, else the site's default.",
        "site:radios[{cell}].width_mhz|site:radios[{id}].width_mhz|site:defaults.width_mhz site:defaults.width_mhz",
    ),
    "radar_wait_s": rule("How long a radar channel is listened to first.", "rule:{limit_rule} channel width_mhz", "{limit_rule}"),
    "reach_mcs": rule("The rate that the farthest-reaching plan of its cell needs.", "sent.needed_mcs heard.needed_mcs"),
    "reach_rate_mbps": rule("Link rate of that index.", "reach_mcs width_mhz sent.needed_rate_mbps", "IEEE80211"),
    "reach_m": rule(
        "Distance in free space at which that rate with its margin is just met on the beam's axis, at full power, in the worse "
        "direction, with the far end that reaches least.",
        f"reach_mcs {_STRETCH}",
        "P525", "2.2",
    ),
    "reach_arcs": rule(
        "For each rate index that a hop of it can run, the highest rate first: index, link rate in Mbit/s, and the distance at which "
        "that rate is just met, as `reach_m`.",
        f"{_STRETCH} gear:{{gear}}.highest_mcs gear:{{far.gear}}.highest_mcs gear:{{gear}}.streams gear:{{far.gear}}.streams "
        "site:radios[{id}].highest_mcs width_mhz site:radios[{cell}].guard_interval_us",
        "P525", "2.2", unit="",
    ),
    "near_in_m": rule(
        "Inside it the beam passes over the lowest far end of the cell by more than 3 dB.",
        f"antenna_elevation_m far.antenna_elevation_m bracket_tilt_deg {_SHAPE}", "F1336",
    ),
}  # fmt: skip

_WORK: Mapping[str, Rule] = {
    "supply_v": rule("Voltage that arrives at its plug by night.", "supply.volts_at_load"),
    "supply_w": rule("Highest consumption of the unit.", "gear:{gear}.watts_w"),
    "cable_m": rule("Length to order of the cable that feeds it.", "feeding_wire.order_m"),
    "climb_order": rule("Place of its climb in the order of the work.", "climb.order"),
    "sheet_number": rule(
        "By climb, within it outwards from the head end, access points first.", "climb.order cell", "PRACTICE"
    ),
}

RADIO: Mapping[str, Rule] = {**_PLACE, **_AIM, **_POWER, **_AIR, **_WORK}
