"""The head end as a machine: what comes in, how many inputs are taken, how many days it keeps."""

from __future__ import annotations

from survey_app.assess.demand import camera_rates
from survey_app.assess.graph import device_type
from survey_app.assess.job import Job
from survey_app.assess.nulls import number
from survey_app.assess.record import CameraRow, HeadEndRow, RouteRow
from survey_app.physics.picture import recording_days, storage_gb_per_day
from survey_app.site.gear_type import DeviceType
from survey_app.site.network import HeadEnd

__all__ = ["disks_for", "head_end_rows", "installed_tb"]

_LEAST_GB_PER_DAY = 1e-6  # what records less records nothing
_FILL_FRACTION = 0.90  # a recorder is not filled to the brim; common practice


def installed_tb(head_end: HeadEnd, kind: DeviceType) -> float | None:
    """Return the storage as sold: what is said, or all bays filled; None for a machine without disks. [TB]"""
    if head_end.disks_tb is not None:
        return head_end.disks_tb
    return kind.bays * kind.disk_tb if kind.bays and kind.disk_tb else None


def disks_for(head_end: HeadEnd, kind: DeviceType) -> int | None:
    """Return how many disks that storage is."""
    if kind.disk_tb is None or not kind.bays:
        return None
    if head_end.disks_tb is None:
        return kind.bays
    return -int(-head_end.disks_tb // kind.disk_tb)


def head_end_rows(job: Job, cameras: tuple[CameraRow, ...], routes: tuple[RouteRow, ...]) -> tuple[HeadEndRow, ...]:
    """Return the rows of all head ends.

    Parameters
    ----------
    job : Job
        The indexed site.
    cameras, routes : tuple of CameraRow, tuple of RouteRow
        What each camera sends, and where to. Of a camera with several viewers one stream comes in.
    """
    arriving: dict[str, list[str]] = {key: [] for key in job.head_ends}
    for route in routes:
        if route.head_end is not None:
            arriving[route.head_end].append(route.camera)
    by_id = {row.id: row for row in cameras}
    stored = {key: rate.stored_mbps for key, rate in camera_rates(job).items()}
    return tuple(
        _row(job, head_end, tuple(sorted(arriving[key])), by_id, stored)
        for key, head_end in sorted(job.head_ends.items())
    )


def _row(
    job: Job, head_end: HeadEnd, cameras: tuple[str, ...], by_id: dict[str, CameraRow], stored: dict[str, float]
) -> HeadEndRow:
    kind = device_type(job, head_end.device)
    overhead = job.defaults.overhead_factor
    rates = [max(by_id[key].rate_mbps, by_id[key].rate_night_mbps) * overhead for key in cameras]
    gb_per_day = float(storage_gb_per_day(sum(stored[key] for key in cameras), head_end.recording_fraction))
    capacity_tb = installed_tb(head_end, kind) if kind else None
    days = None
    if kind is not None and capacity_tb is not None and gb_per_day > _LEAST_GB_PER_DAY:
        days = number(recording_days(capacity_tb, gb_per_day, kind.usable_fraction, _FILL_FRACTION))
    return HeadEndRow(
        id=head_end.id,
        device=head_end.device,
        cameras=cameras,
        channels_used=len(cameras),
        channels=kind.channels if kind and kind.channels else None,
        input_mbps=sum(rates),
        input_limit_mbps=kind.input_limit_mbps if kind else None,
        gb_per_day=gb_per_day,
        days=days,
        days_wanted_days=head_end.days_wanted_days,
        disks=disks_for(head_end, kind) if kind else None,
    )
