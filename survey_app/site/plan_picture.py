"""Plan pictures: a scanned or exported drawing that lies under the plan, placed by known points."""

from typing import Annotated, Literal

from survey_app.site.place import Position
from survey_app.site.record import Name, Record, said
from survey_app.site.thing import Thing

__all__ = ["ControlPoint", "PlanPicture"]


class ControlPoint(Record):
    """A point that is known both in a picture and on the plan."""

    x_px: Annotated[float, said("Where in the picture, from its left edge", ge=-1e6, le=1e6)]
    y_px: Annotated[float, said("Where in the picture, down from its upper edge", ge=-1e6, le=1e6)]
    position: Annotated[Position, said("Where that is on the plan")]


class PlanPicture(Thing):
    """A picture under the plan: a drawing or photograph from above, placed by points known in both."""

    file: Annotated[Name, said("File under assets/: PNG, JPEG or PDF")]
    page: Annotated[int | None, said("Page of a PDF, from 1; null = the file is a picture", ge=1, le=10000)] = None
    dpi: Annotated[
        float | None, said("Dots per inch at which the page is drawn; null = the file is a picture", ge=10, le=1200)
    ] = None
    width_px: Annotated[int, said("Width of the picture, of a page as drawn at its dots per inch", ge=1, le=100000)]
    height_px: Annotated[int, said("Height of the picture, of a page as drawn at its dots per inch", ge=1, le=100000)]
    control_points: Annotated[
        tuple[ControlPoint, ...], said("Points known in the picture and on the plan", min_length=2, max_length=100)
    ]
    fit: Annotated[
        Literal["similarity", "affine"],
        said("How the picture is fitted: turned and scaled evenly, or also sheared (three points or more)"),
    ] = "similarity"
    opacity_fraction: Annotated[float, said("How strongly it shows: 0 not at all, 1 in full", ge=0, le=1)] = 0.5
    greyed: Annotated[bool, said("Shown without its colours")] = True
