"""Quantities that no assessment holds, since they take long: each is worked out when somebody asks for it."""

from __future__ import annotations

from collections.abc import Mapping

__all__ = ["asked_of"]

_BUDGET = ("bearing_plan_deg", "tilt_deg", "antenna_gain_dbi", "tx_power_full_dbm", "centre_mhz", "reach_m")

_ON_REQUEST: Mapping[str, Mapping[str, tuple[str, ...]]] = {
    "hop": {
        "how_high_m": ("fresnel_clearance_ratio", "clearance_ratio_grown"),
        "how_high_over_traffic_m": ("fresnel_clearance_ratio", "clearance_ratio_grown", "clearance_ratio_moving"),
    },
    "radio": {"served_m2": _BUDGET, "served_mounts": _BUDGET, "served_percent": _BUDGET},
}


def asked_of(kind: str) -> Mapping[str, tuple[str, ...]]:
    """Return what can be asked of a kind of thing, each with the fields of its row that the answer begins with.

    Parameters
    ----------
    kind : str
        Such as `hop` or `radio`.

    Examples
    --------
    >>> list(asked_of("radio"))
    ['served_m2', 'served_mounts', 'served_percent']
    """
    return _ON_REQUEST.get(kind, {})
