"""The part of a line that a view shows."""

from __future__ import annotations

from survey_app.drawing.shapes import Point

__all__ = ["line_seen"]


def line_seen(a: Point, b: Point, width: float, height: float) -> tuple[Point, Point] | None:
    """Return the part of a line in a view whose lower left corner is the origin; None where no part is seen.

    Examples
    --------
    >>> line_seen((-10.0, 5.0), (30.0, 5.0), 20.0, 10.0)
    ((0.0, 5.0), (20.0, 5.0))
    """
    first, last = 0.0, 1.0
    for start, end, size in ((a[0], b[0], width), (a[1], b[1], height)):
        along = end - start
        if abs(along) < 1e-12:
            if not 0.0 <= start <= size:
                return None
            continue
        enter, leave = sorted(((0.0 - start) / along, (size - start) / along))
        first, last = max(first, enter), min(last, leave)
    if last <= first:
        return None
    return (
        (a[0] + first * (b[0] - a[0]), a[1] + first * (b[1] - a[1])),
        (a[0] + last * (b[0] - a[0]), a[1] + last * (b[1] - a[1])),
    )
