"""Lineage of places: north, mounts, landmarks, spots of findings."""

from __future__ import annotations

from collections.abc import Mapping

from survey_app.assess.lineage.rule import Rule, rule

__all__ = ["FROM_LANDMARK", "MOUNT", "NORTH", "PLACE"]

_ANCHOR = "site:plane.anchor.lat_deg site:plane.anchor.lon_deg"
_MODEL = f"{_ANCHOR} site:plane.datum_elevation_m site:as_of"
_SPOT = "site:mounts[{id}].place site:structures[{structure}].outline|site:structures[{structure}].position site:plane.anchor"
_FOOT = "site:structures[{structure}].base_m|site:relief"
_TOP = "site:structures[{structure}].eaves_height_m|site:structures[{structure}].height_m site:structures[{structure}].roof"
_SIGMAS = " ".join(
    f"site:defaults.{how}_sigma_m" for how in ("tape", "rangefinder", "counted", "guessed", "drawing", "survey")
)

NORTH: Mapping[str, Rule] = {
    "declination_deg": rule(
        "The magnetic model's declination at the plan's origin on the planned date of installation, east positive.",
        _MODEL, "WMM2025",
    ),
    "sigma_deg": rule(
        "The model's own error: 0.26 degrees and 5417 over the horizontal intensity in nanotesla, added by squares.",
        _MODEL, "WMM2025", "error model",
    ),
    "yearly_change_deg": rule("How the model's declination changes within a year.", _MODEL, "WMM2025"),
    "grid_convergence_deg": rule(
        "From true north to the north of the transverse Mercator grid of the plan's origin.",
        _ANCHOR, "SNYDER1987", "8",
    ),
    "plan_rotation_deg": rule("True bearing of plan north, as drawn.", "site:plane.anchor.rotation_deg"),
}  # fmt: skip

MOUNT: Mapping[str, Rule] = {
    "x_m": rule("Along its edge and off it, or on its pole or roof, as drawn; metres to the right on the plan.", _SPOT),
    "y_m": rule("Along its edge and off it, or on its pole or roof, as drawn; metres up the plan.", _SPOT),
    "lat_deg": rule(
        "From the plan to the ellipsoid: azimuthal equidistant about the plan's origin.",
        f"x_m y_m {_ANCHOR} site:plane.anchor.rotation_deg", "SNYDER1987", "25",
    ),
    "lon_deg": rule(
        "From the plan to the ellipsoid: azimuthal equidistant about the plan's origin.",
        f"x_m y_m {_ANCHOR} site:plane.anchor.rotation_deg", "SNYDER1987", "25",
    ),
    "elevation_m": rule(
        "Its height with what that is measured from, over the site's datum; a foot without a height stands on the relief.",
        f"site:mounts[{{id}}].height_m site:mounts[{{id}}].height_reference {_FOOT} {_TOP}",
    ),
    "height_above_ground_m": rule("Elevation less the foot of its structure.", f"elevation_m {_FOOT}"),
    "height_above_eaves_m": rule(
        "Height over the ground less the eaves.", "height_above_ground_m site:structures[{structure}].eaves_height_m"
    ),
    "below_top_m": rule(
        "Top of the pole or mast less the height over the ground: what a tape shows from the top.",
        "height_above_ground_m site:structures[{structure}].height_m",
    ),
    "height_sigma_m": rule(
        "Its own standard deviation, or the site's for the way in which it was measured.",
        f"site:mounts[{{id}}].height_known {_SIGMAS}", "PRACTICE",
    ),
    "position_sigma_m": rule("As noted.", "site:mounts[{id}].position_sigma_m"),
    "clamp_range_mm": rule(
        "Pipes that the clamp takes which was chosen for it.", "gear:{clamp}.body.pipe_min_mm gear:{clamp}.body.pipe_max_mm"
    ),
    "pipe_mm": rule("As measured or drawn.", "site:mounts[{id}].pipe.diameter_mm"),
    "overhead_line_m": rule("As recorded on the walk.", "site:mounts[{id}].overhead_line_m"),
    "foot_tapes": rule(
        "Along the wall from either corner to the mount's foot.",
        "site:mounts[{id}].place site:structures[{structure}].outline", unit="m",
    ),
}  # fmt: skip

_SEEN = "site:landmarks[{landmark}].position radio.lat_deg|radio.x_m radio.lon_deg|radio.y_m site:plane.anchor"

FROM_LANDMARK: Mapping[str, Rule] = {
    "bearing_true_deg": rule(
        "Bearing of the shortest line from the radio to the landmark; from plan north on a site without an anchor.",
        _SEEN, "KARNEY2013",
    ),
    "bearing_plan_deg": rule("The same bearing, turned to plan north at the radio.", f"bearing_true_deg {_SEEN}", "SNYDER1987", "25"),
    "distance_m": rule("Length of the shortest line from the radio to the landmark.", _SEEN, "KARNEY2013"),
    "turn_deg": rule(
        "From the landmark to the aim, to the right positive.",
        "bearing_true_deg radio.bearing_true_deg|radio.bearing_plan_deg",
    ),
    "error_deg": rule(
        "What the uncertain places of landmark and mount make at this distance.",
        "distance_m site:landmarks[{landmark}].sigma_m site:mounts[{radio.mount}].position_sigma_m", "PRACTICE",
    ),
}  # fmt: skip

PLACE: Mapping[str, Rule] = {
    "x_m": rule("Where the flag's leader ends on the plan: at the radio, or in the middle of the hop."),
    "y_m": rule("Where the flag's leader ends on the plan: at the radio, or in the middle of the hop."),
    "height_m": rule("Elevation of that spot over the site's datum."),
}
