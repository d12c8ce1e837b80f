"""What a camera sees at its target: where its view ends on the plan, how wide it is, how many pixels a metre has."""

from __future__ import annotations

import math

from survey_app.desktop.tools.figures import leg, length
from survey_app.desktop.tools.steps import made, plane_point
from survey_app.desktop.tools.strokes import along, line, polar
from survey_app.desktop.tools.where import plan_of, point_of
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Path, Point, Shape
from survey_app.ground.place import Placed, place
from survey_app.ground.straight import bearing_of, distance_of
from survey_app.paper import rounding
from survey_app.site.edits.sharing import rebuilt, with_fields
from survey_app.site.network import Camera, CameraTarget
from survey_app.site.site import Site

__all__ = ["camera_words", "target_at", "view_shapes"]

_WIDTH_M = 10.0
_LEAST_M, _MOST_M = 0.01, 2000.0


def target_at(placed: Placed, camera: Camera, root: Point, at: Point) -> Camera:
    """Return a camera that looks at a point; a scene wanted at another distance grows with it, as the lens does."""
    old = camera.target
    width_m = _WIDTH_M
    if old is not None:
        before_m = distance_of(root, plan_of(placed, old.position))
        width_m = old.width_m
        if before_m > 0.0 and math.isfinite(before_m) and camera.angle_of_view_deg is None:
            width_m *= distance_of(root, at) / before_m
    width_m = round(min(max(width_m, _LEAST_M), _MOST_M), 3)
    height_m = old.height_m if old is not None else CameraTarget.model_fields["height_m"].default
    target = made(CameraTarget, position=plane_point(*at), width_m=width_m, height_m=height_m)
    return rebuilt(camera, camera.title, target=target)


def _with(site: Site, camera: Camera) -> Site:
    """Return the site with one camera put in the place of the one with its id, or added."""
    others = tuple(one for one in site.design.cameras if one.id != camera.id)
    return with_fields(site, design=with_fields(site.design, cameras=(*others, camera)))


def camera_words(site: Site, camera: Camera) -> str:
    """Return distance, width of the scene and pixels for a metre at a camera's target.

    Parameters
    ----------
    site : Site
        A part of the site that holds the camera's mount and gear.
    camera : Camera
        The camera as it would be.
    """
    from survey_app.assess.demand import camera_rows, scene_m
    from survey_app.assess.job import Job

    part = _with(site, camera)
    job, placed = Job(part), place(part)
    row = next((one for one in camera_rows(job, placed, {}) if one.id == camera.id), None)
    if row is None or camera.target is None:
        return ""
    parts = []
    root = point_of(placed, camera, {})
    if root is not None:
        parts.append(leg(site, root, plan_of(placed, camera.target.position)))
    width_m = scene_m(job, placed, camera)
    if width_m is not None:
        parts.append(f"{length(site, width_m)} wide")
    if row.px_per_m is not None:
        parts.append(f"{rounding.number(row.px_per_m, 0)} px/m")
    if row.purpose_met:
        parts.append(f"enough to {row.purpose_met}")
    return ", ".join(parts)


def view_shapes(site: Site, camera: Camera) -> tuple[Shape, ...]:
    """Return the cone of a camera's view out to its target, with the width written along the far edge."""
    from survey_app.assess.demand import scene_m
    from survey_app.assess.job import Job

    part = _with(site, camera)
    job, placed = Job(part), place(part)
    root = point_of(placed, camera, {})
    if root is None or camera.target is None:
        return ()
    at = plan_of(placed, camera.target.position)
    width_m = scene_m(job, placed, camera)
    if width_m is None or math.isnan(at[0]) or at == root:
        return line(root, at, Role.VIEW_LIMIT)
    across_deg = bearing_of(root, at) + 90.0
    right, left = polar(at, across_deg, width_m / 2.0), polar(at, across_deg, -width_m / 2.0)
    return (
        Path(Role.VIEW, (root, left, right), closed=True),
        Path(Role.VIEW_LIMIT, (root, left)),
        Path(Role.VIEW_LIMIT, (root, right)),
        Path(Role.VIEW_FAR, (left, right)),
        *along(left, right, length(site, width_m), role=Role.WORDS_CAMERA),
    )
