"""Files of heights made for a test: of any reference, turn, unit and number type."""

from __future__ import annotations

import warnings
from pathlib import Path
from typing import Any

import numpy as np
import rasterio
from rasterio.errors import NotGeoreferencedWarning
from rasterio.transform import Affine

__all__ = ["ANCHOR", "UTM", "geotiff", "hilly", "utm_frame"]

ANCHOR = (43.55, -69.6)
UTM = "EPSG:26919"
EASTING, NORTHING = 451536.0, 4822057.0
"""About the anchor in zone 19 north."""


def hilly(x: Any, y: Any) -> Any:
    """Return ground that bends everywhere but not too much. [m]"""
    return 20.0 + 4.0 * np.sin(np.asarray(x) / 60.0) + 3.0 * np.cos(np.asarray(y) / 45.0) + 0.01 * np.asarray(x)


def utm_frame(step_m: float, columns: int, rows: int, *, turn_deg: float = 0.0) -> Affine:
    """Return the placing of a grid whose middle lies about the anchor."""
    middle = Affine.translation(EASTING, NORTHING) @ Affine.rotation(turn_deg) @ Affine.scale(step_m, -step_m)
    return middle @ Affine.translation(-columns / 2.0, -rows / 2.0)


def geotiff(path: Path, rows: Any, frame: Affine, reference: str | None = UTM, **more: Any) -> Path:
    """Write a grid of heights and return its file."""
    rows = np.asarray(rows)
    bands = rows if rows.ndim == 3 else rows[None]
    unit = more.pop("unit", None)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", NotGeoreferencedWarning)
        with rasterio.open(
            path,
            "w",
            driver=more.pop("driver", "GTiff"),
            width=bands.shape[2],
            height=bands.shape[1],
            count=len(bands),
            dtype=bands.dtype.name,
            crs=reference,
            transform=frame,
            **more,
        ) as file:
            file.write(bands)
            if unit is not None:
                file.units = [unit] * len(bands)
    return path


def heights_on(frame: Affine, columns: int, rows: int) -> Any:
    """Return the hills at the middle of every cell of a grid, seen from the anchor."""
    u, v = np.meshgrid(np.arange(columns) + 0.5, np.arange(rows) + 0.5)
    x, y = frame @ (u, v)
    return hilly(np.asarray(x) - EASTING, np.asarray(y) - NORTHING)
