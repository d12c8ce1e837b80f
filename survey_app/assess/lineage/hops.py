"""Lineage of hops: the path, its two ends, its two directions, and the windows of readings."""

from __future__ import annotations

from collections.abc import Mapping

from survey_app.assess.lineage.rule import Rule, rule

__all__ = ["DIRECTION", "END", "HOP", "OBSTACLE", "WALL", "WINDOW", "WINDOW_AUTO"]

_BETWEEN = "access_point.lat_deg|access_point.x_m access_point.lon_deg|access_point.y_m station.lat_deg|station.x_m station.lon_deg|station.y_m"
_HEIGHTS = "access_point.antenna_elevation_m station.antenna_elevation_m site:plane.datum_elevation_m"
_ENDS = "access_point.x_m access_point.y_m access_point.antenna_elevation_m station.x_m station.y_m station.antenna_elevation_m"
_AROUND = f"site:structures {_ENDS} centre_mhz"
_BUILDINGS = "site:structures centre_mhz access_point.antenna_elevation_m station.antenna_elevation_m"
_MADE = "site:walls site:openings site:rooms site:structures"

_ERRORS = (
    "site:mounts site:defaults.free_zone_fraction site:defaults.growth_years site:defaults.tape_sigma_m "
    "site:defaults.rangefinder_sigma_m site:defaults.counted_sigma_m site:defaults.guessed_sigma_m "
    "site:defaults.drawing_sigma_m site:defaults.survey_sigma_m"
)

HOP: Mapping[str, Rule] = {
    "channel": rule("That of its access point.", "site:radios[{access_point}].channel"),
    "centre_mhz": rule("5000 + 5 times the channel number.", "channel", "IEEE80211"),
    "width_mhz": rule(
        "That of its access point, else the site's default.",
        "site:radios[{access_point}].width_mhz|site:defaults.width_mhz site:defaults.width_mhz",
    ),
    "distance_m": rule(
        "Straight from antenna to antenna over a round earth.", f"ground_distance_m {_HEIGHTS}", "P452", "Annex 1"
    ),
    "ground_distance_m": rule(
        "Shortest line on the ellipsoid between both places; on the plan where the site has no anchor.",
        _BETWEEN, "KARNEY2013",
    ),
    "free_space_loss_db": rule(
        "20 log of 4 pi times distance over wavelength.", "distance_m centre_mhz", "P525", "2.2"
    ),
    "diffraction_loss_db": rule(
        "Over and round what stands in the first Fresnel zone for good; the method is named beside it.", _AROUND, "P526", "4",
    ),
    "foliage_loss_db": rule(
        "Greatest of the rules for the length of the ray inside crowns in leaf; the budget takes it.", "foliage_depth_m centre_mhz", "P833",
    ),
    "foliage_loss_low_db": rule("Least of the rules for the same length.", "foliage_depth_m centre_mhz", "WEISSBERGER"),
    "foliage_depth_m": rule("Length of the ray inside crowns.", _AROUND),
    "wall_loss_db": rule("Likely loss of everything that it goes through at its angle, added; inside one building no more than is usual there.", f"{_MADE} {_AROUND} width_mhz", "P2040", "2.2"),
    "wall_loss_low_db": rule("The same with the least loss of each, and doors open that are now open and now closed.", f"{_MADE} {_AROUND} width_mhz", "P2040", "2.2"),
    "wall_loss_high_db": rule("The same with the greatest loss of each.", f"{_MADE} {_AROUND} width_mhz", "P2040", "2.2"),
    "entry_loss_low_db": rule(
        "Into buildings of this kind, what one place in twenty loses no more than; beside the walls for comparison.", _BUILDINGS, "P2109", "3",
    ),
    "entry_loss_high_db": rule("The same, what one place in twenty loses more than.", _BUILDINGS, "P2109", "3"),
    "gas_loss_db": rule("Oxygen and water vapour along the distance.", "distance_m centre_mhz", "P676", "Annex 1"),
    "rain_loss_db": rule(
        "Exceeded 0.01 % of the year at the site's rain rate; stands outside the clear-air level.",
        "distance_m centre_mhz site:defaults.rain_rate_mm_per_hour", "P530", "2.4.1, with P.838-3",
    ),
    "fresnel_clearance_ratio": rule(
        "Smallest distance from the ray to what stands there for good, over the radius of the first zone at that place.", f"{_AROUND} fresnel_radius_m", "P530", "2.2",
    ),
    "clearance_ratio_bare": rule("The same without crowns that lose their leaves.", _AROUND, "P530", "2.2"),
    "clearance_ratio_grown": rule("The same with crowns as they will be.", f"{_AROUND} site:defaults.growth_years", "P530", "2.2"),
    "clearance_ratio_low_k": rule("The same over the rounder earth of bad weather.", f"{_AROUND} site:defaults.low_k", "P530", "2.2"),
    "clearance_ratio_moving": rule("The same with traffic at its tallest.", _AROUND, "P530", "2.2"),
    "clear_probability_percent": rule(
        "Part of 257 evenly spread draws of all errors of heights, feet, places and growth in which enough of the zone is free.",
        f"{_AROUND} clearance_ratio_grown {_ERRORS}", "NIEDERREITER1992", "5",
    ),
    "level_probability_percent": rule(
        "Probability that the level, at full legal power, is above what the needed rate asks, over the same draws.",
        f"{_AROUND} directions.to_access_point.margin_at_needed_rate_db directions.to_station.margin_at_needed_rate_db {_ERRORS} "
        "site:defaults.pointing_sigma_db site:defaults.multipath_sigma_db", "NIEDERREITER1992", "5",
    ),
    "fresnel_radius_m": rule("Half the root of wavelength times distance: at the middle.", "distance_m centre_mhz", "P530", "2.2"),
    "clearance_place_m": rule("Where that smallest ratio is, from the access point along the ground.", _AROUND),
    "clearance_m": rule("Metres between the ray and the obstacle there; negative inside it.", _AROUND),
    "cut_at_m": rule("Where the ray first enters something that stands there for good.", _AROUND),
    "propagation_availability_percent": rule(
        "100 less the part of the year in which rain takes the whole margin at the needed rate; only beyond 5 km.",
        "directions.to_access_point.margin_at_needed_rate_db directions.to_station.margin_at_needed_rate_db distance_m centre_mhz "
        "site:defaults.rain_rate_mm_per_hour", "P530", "2.4.1",
    ),
    "wanted_margin_db": rule(
        "As set for this hop; else the site's for its length, up to 1 km or beyond.",
        "site:hops[{id}].wanted_margin_db site:defaults.margin_near_db site:defaults.margin_far_db distance_m", "PRACTICE",
    ),
}  # fmt: skip

_NEAR = f"hop.centre_mhz {_ENDS} site:structures"
OBSTACLE: Mapping[str, Rule] = {
    "place_m": rule("Where it comes nearest in zone radii, from the access point along the ground.", _NEAR),
    "clearance_m": rule("Metres between the ray and the obstacle there; negative where it is in the ray.", _NEAR),
    "ratio": rule("That clearance over the radius of the first zone there.", f"clearance_m {_NEAR}", "P530", "2.2"),
    "enter_m": rule("Where the ray comes over its outline.", _NEAR),
    "leave_m": rule("Where the ray leaves its outline.", _NEAR),
}

_THROUGH = (
    "hop.access_point.x_m hop.access_point.y_m hop.station.x_m hop.station.y_m hop.centre_mhz hop.width_mhz " + _MADE
)
WALL: Mapping[str, Rule] = {
    "place_m": rule("Where the ray goes through it, from the access point along the ground.", _THROUGH),
    "incidence_deg": rule("Angle between the ray and the square to it.", _THROUGH),
    "low_db": rule("What one such wall in twenty takes no more than; nothing of a door that is now open and now closed.", f"incidence_deg {_THROUGH}", "P2040", "2.2"),
    "likely_db": rule("What half of such walls take no more than.", f"incidence_deg {_THROUGH}", "P2040", "2.2"),
    "high_db": rule("What one such wall in twenty takes more than.", f"incidence_deg {_THROUGH}", "P2040", "2.2"),
}  # fmt: skip

_GAIN = "gear:{radio.antenna}.pattern|gear:{radio.gear}.pattern"
_AXIS = "radio.bearing_true_deg|radio.bearing_plan_deg radio.bracket_tilt_deg"
_LEVEL = (
    "hop.free_space_loss_db hop.gas_loss_db hop.diffraction_loss_db hop.foliage_loss_db hop.wall_loss_db gain_toward_far_end_dbi far.gain_toward_far_end_dbi polarisation_loss_db "
    "radio.feeder_loss_db far_radio.feeder_loss_db"
)

END: Mapping[str, Rule] = {
    "bearing_plan_deg": rule(
        "Bearing to the far end, turned to plan north at this end.",
        "bearing_true_deg radio.x_m radio.y_m far_radio.x_m far_radio.y_m site:plane.anchor", "SNYDER1987", "25",
    ),
    "bearing_true_deg": rule(
        "Bearing of the shortest line on the ellipsoid at this end; the other end has its own.",
        "radio.lat_deg radio.lon_deg far_radio.lat_deg far_radio.lon_deg", "KARNEY2013",
    ),
    "bearing_magnetic_deg": rule(
        "True bearing less declination, east positive.", "bearing_true_deg radio.declination_deg", "WMM2025"
    ),
    "tilt_deg": rule(
        "Elevation of the far end with the earth's curve at k = 4/3.",
        "radio.antenna_elevation_m far_radio.antenna_elevation_m hop.ground_distance_m", "P452", "path profile analysis",
    ),
    "off_axis_azimuth_deg": rule(
        "How far the far end lies off the beam's axis, across.",
        f"bearing_true_deg|bearing_plan_deg tilt_deg {_AXIS} {_GAIN}", "F1336",
    ),
    "off_axis_elevation_deg": rule(
        "How far the far end lies off the beam's axis, upright; the built-in downtilt counted.",
        f"bearing_true_deg|bearing_plan_deg tilt_deg {_AXIS} radio.electrical_downtilt_deg {_GAIN}", "F1336",
    ),
    "pointing_loss_db": rule("Peak gain less the gain toward the far end.", "radio.antenna_gain_dbi gain_toward_far_end_dbi"),
    "gain_toward_far_end_dbi": rule(
        "The antenna's pattern in the true direction of the far end, both planes.",
        f"off_axis_azimuth_deg off_axis_elevation_deg tilt_deg bearing_true_deg|bearing_plan_deg {_AXIS} {_GAIN}", "F1336",
    ),
    "polarisation_loss_db": rule(
        "What unlike polarisations and a turned unit cost, in the worse direction.",
        f"{_GAIN} gear:{{far_radio.antenna}}.pattern|gear:{{far_radio.gear}}.pattern site:radios[{{radio}}].rotation_deg "
        "site:radios[{far.radio}].rotation_deg", "PRACTICE",
    ),
    "rx_level_dbm": rule(
        "Power that the far end sends in service, plus both gains, less every loss; clear air, combined over chains.",
        f"far_radio.tx_power_auto_dbm {_LEVEL}", "P525",
    ),
    "expected_reading_dbm": rule(
        "The same with the fixed power that the far end sends while aiming.", f"far_radio.tx_power_total_dbm {_LEVEL}", "P525"
    ),
    "expected_reading_auto_dbm": rule("The level in service.", f"far_radio.tx_power_auto_dbm {_LEVEL}", "P525"),
    "expected_as_shown_dbm": rule(
        "As this unit's own display has it: all chains or one, to its step.",
        "expected_reading_dbm gear:{radio.gear}.reading_stated_as gear:{radio.gear}.chains gear:{radio.gear}.reading_step_db", "PRACTICE",
    ),
    "lights_expected": rule("Lights whose level is reached.", "expected_reading_dbm gear:{radio.gear}.lights_dbm"),
    "landmark_turn_deg": rule(
        "From the landmark to this far end, to the right positive.",
        "radio.landmark.bearing_true_deg bearing_true_deg|bearing_plan_deg",
    ),
    "first_peak_db": rule("How much lower the first side lobe is; null where the pattern does not say."),
}  # fmt: skip

_CAUSES = (
    "site:defaults.pointing_sigma_db site:defaults.multipath_sigma_db gear:{end.far_radio.gear}.power_tolerance_db "
    "gear:{end.radio.antenna}.pattern.gain_tolerance_db|gear:{end.radio.gear}.pattern.gain_tolerance_db "
    "gear:{end.far_radio.antenna}.pattern.gain_tolerance_db|gear:{end.far_radio.gear}.pattern.gain_tolerance_db "
    "gear:{end.radio.gear}.reading_tolerance_db gear:{end.radio.gear}.reading_step_db"
)
_LIMITS = "expected_dbm sigma_db"

WINDOW: Mapping[str, Rule] = {
    "expected_dbm": rule("The expected reading.", "end.expected_reading_dbm"),
    "sigma_db": rule("All named causes added by squares.", f"causes {_CAUSES}", "GUM", "5.1.2"),
    "good_low_dbm": rule(
        "3 dB under the expected reading, and what twice the standard deviation goes beyond 3 dB.", _LIMITS, "PRACTICE"
    ),
    "good_high_dbm": rule(
        "3 dB over the expected reading, and what twice the standard deviation goes beyond 3 dB.", _LIMITS, "PRACTICE"
    ),
    "low_dbm": rule(
        "6 dB under the expected reading, and what twice the standard deviation goes beyond 3 dB.", _LIMITS, "PRACTICE"
    ),
    "causes": rule(
        "One standard deviation each: tolerances are spread evenly (half width over root 3), steps over root 12.",
        _CAUSES, "GUM", "4.3.7", unit="dB",
    ),
}  # fmt: skip

WINDOW_AUTO: Mapping[str, Rule] = {
    **WINDOW,
    "expected_dbm": rule("The expected reading with automatic power.", "end.expected_reading_auto_dbm"),
}

_PATH = (
    "hop.free_space_loss_db hop.gas_loss_db at.gain_toward_far_end_dbi from_end.gain_toward_far_end_dbi at.polarisation_loss_db "
    "sender.feeder_loss_db receiver.feeder_loss_db"
)
_SENT = "sender.tx_power_auto_dbm gear:{sender.gear}.power_per_mcs_dbm"
_HEARD = "gear:{receiver.gear}.sensitivity_20mhz_dbm hop.width_mhz interference_rise_db"
_TABLE = (
    "hop.width_mhz gear:{sender.gear}.mode gear:{receiver.gear}.mode gear:{sender.gear}.streams gear:{receiver.gear}.streams "
    "gear:{sender.gear}.highest_mcs gear:{receiver.gear}.highest_mcs site:radios[{hop.access_point}].guard_interval_us "
    "site:radios[{sender.id}].highest_mcs site:radios[{receiver.id}].highest_mcs site:radios[{sender.id}].protection "
    "site:radios[{receiver.id}].protection gear:{sender.gear}.legacy_cipher_cap_mbps gear:{receiver.gear}.legacy_cipher_cap_mbps"
)

_OTHERS = (
    "others.tx_power_auto_dbm others.x_m others.y_m others.antenna_elevation_m others.bearing_plan_deg others.bracket_tilt_deg "
    "others.feeder_loss_db others.centre_mhz others.width_mhz site:gear site:radios site:structures site:walls site:openings site:rooms"
)

DIRECTION: Mapping[str, Rule] = {
    "tx_power_total_dbm": rule(
        "Power in service, but no more than the unit gives at the chosen rate; sum over chains.", f"{_SENT} mcs"
    ),
    "noise_dbm": rule(
        "Thermal noise in the channel at 290 K and the receiver's noise figure.",
        "hop.width_mhz gear:{receiver.gear}.noise_figure_db", "SI", "2.2",
    ),
    "interference_rise_db": rule("Planned rise of the noise by others.", "site:defaults.interference_rise_db", "PRACTICE"),
    "snr_db": rule(
        "Level at the chosen rate over the noise as it is raised by others.",
        f"tx_power_total_dbm {_PATH} noise_dbm interference_rise_db",
    ),
    "interference_dbm": rule(
        "Other cells of the site in the receiver's channel, each with its radio that is heard best, and what the newest scan "
        "at the mount heard of others; null where there is nothing of either.",
        _OTHERS, "P525",
    ),
    "sinr_db": rule(
        "The same with interference besides the planned rise.", "snr_db noise_dbm interference_rise_db interference_dbm",
    ),
    "mcs": rule(
        "The highest rate index that keeps the wanted margin; as set for this hop; or the highest that works at all.",
        f"{_SENT} {_PATH} {_HEARD} hop.wanted_margin_db site:hops[{{hop.id}}].chosen_mcs {_TABLE}", "PRACTICE",
    ),
    "phy_rate_mbps": rule("Link rate of that index.", f"mcs {_TABLE}", "IEEE80211", "2020, 19.5 and 21.5"),
    "throughput_alone_mbps": rule(
        "Link rate times what the access to the air leaves of it, one way and alone.",
        "phy_rate_mbps cell.airtime_limit_fraction", "PRACTICE",
    ),
    "share_mbps": rule(
        "What it can carry in the air that the rest of the cell leaves.",
        "phy_rate_mbps demand_mbps cell.airtime_limit_fraction cell.airtime_used_fraction", "HEUSSE",
    ),
    "air_fraction": rule(
        "Time on the air that its demand takes: turns with their waits, lost frames sent again.",
        "demand_mbps mcs lost_frames_fraction hop.distance_m hop.width_mhz cell.access", "IEEE80211",
    ),
    "lost_frames_fraction": rule(
        "A tenth of 4096 octets at the sensitivity, a tenth of that for every 2 dB more, with interference counted.",
        "margin_at_chosen_rate_db noise_dbm interference_dbm interference_rise_db", "IEEE80211",
    ),
    "equal_turn_mbps": rule(
        "What it gets when all in the cell want as much as they can and have turns alike, in the air that others leave.",
        "mcs lost_frames_fraction hop.distance_m hop.width_mhz cell.hops.directions.to_access_point.mcs "
        "cell.hops.directions.to_station.mcs cell.access cell.load_with_others_fraction", "BIANCHI",
    ),
    "equal_time_mbps": rule(
        "What it gets when each station has the same time and uses it all this way, in the air that others leave.",
        "mcs lost_frames_fraction hop.distance_m hop.width_mhz cell.stations cell.access cell.load_with_others_fraction",
        "IEEE80211",
    ),
    "demand_mbps": rule(
        "Network rate of the cameras whose video crosses it, or the return traffic of those that cross it the other way; the "
        "higher of day and night.",
        "carried.network_rate_mbps carried.network_rate_night_mbps carried.rate_mbps carried.rate_night_mbps site:defaults.return_fraction",
    ),
    "needed_mcs": rule(
        "The lowest index whose rate keeps the cell at its planned load, if every station has it; the highest there is where none does.",
        f"cell.demand_mbps cell.airtime_limit_fraction site:defaults.load_warn_fraction {_TABLE}", "PRACTICE",
    ),
    "needed_rate_mbps": rule("Link rate of that index.", f"needed_mcs {_TABLE}", "IEEE80211", "2020, 19.5 and 21.5"),
    "margin_at_needed_rate_db": rule(
        "Level over sensitivity at the needed rate, less the planned rise of the noise.",
        f"needed_mcs {_SENT} {_PATH} {_HEARD}",
    ),
    "margin_with_interference_db": rule(
        "Margin at the needed rate less what interference takes besides the planned rise.",
        "margin_at_needed_rate_db noise_dbm interference_rise_db interference_dbm",
    ),
    "margin_at_lowest_rate_db": rule(
        "The same at the lowest rate.", f"{_SENT} {_PATH} {_HEARD} {_TABLE}"
    ),
    "margin_at_chosen_rate_db": rule("The same at the chosen rate.", f"mcs {_SENT} {_PATH} {_HEARD}"),
}  # fmt: skip
