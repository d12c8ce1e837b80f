"""Cameras that do not see what they are there for."""

from __future__ import annotations

from collections.abc import Iterator

from survey_app.assess.findings import Draft, work_on_site
from survey_app.assess.record import Place
from survey_app.assess.rules.blockers import title_of
from survey_app.assess.rules.spots import on_sheet_of
from survey_app.assess.rules.view import View

__all__ = ["CODES", "RULES"]

CODES = {"target-hidden": "Camera does not see its target"}


def target_hidden(view: View) -> Iterator[Draft]:
    """Something stands between the lens and the middle of the target."""
    for camera_id, hidden in view.hidden.items():
        name = title_of(view, hidden.thing)
        yield Draft(
            code="target-hidden",
            severity="warn",
            subject=camera_id,
            second_subject=hidden.thing,
            message=f"{name} hides the middle of its target, {hidden.at_m:.0f} m from the lens.",
            source="PRACTICE",
            value=hidden.at_m,
            unit="m",
            radio=on_sheet_of(view, camera_id),
            place=Place(x_m=hidden.x_m, y_m=hidden.y_m, height_m=hidden.height_m),
            cures=(work_on_site(f"Hang the camera higher or elsewhere, so that it sees past {name}."),),
            concerns=(hidden.thing,),
        )


RULES = (target_hidden,)
