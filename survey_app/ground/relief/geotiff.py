"""A grid of heights as the bytes of a GeoTIFF file."""

from __future__ import annotations

import numpy as np

from survey_app.ground.relief.raster import Raster

__all__ = ["geotiff_bytes"]


def geotiff_bytes(raster: Raster) -> bytes:
    """Return a grid as a GeoTIFF file: the same grid gives the same bytes.

    Heights are kept as they are, in single precision where that holds all of them, else in double.

    Parameters
    ----------
    raster : Raster
        The grid; NaN becomes the mark for no height.
    """
    from rasterio.io import MemoryFile
    from rasterio.transform import Affine

    rows = raster.rows
    single = rows.astype(np.float32)
    data = single if np.array_equal(single.astype(np.float64), rows, equal_nan=True) else rows
    (a, b, c), (d, e, f) = raster.to_reference
    # from the middle of a cell to its corner
    corner = Affine(a, b, c - (a + b) / 2.0, d, e, f - (d + e) / 2.0)
    with MemoryFile() as memory:
        with memory.open(
            driver="GTiff",
            width=rows.shape[1],
            height=rows.shape[0],
            count=1,
            dtype=data.dtype.name,
            crs=raster.reference,
            transform=corner,
            nodata=float("nan"),
            compress="deflate",
            predictor=3,
            tiled=rows.shape[0] > 256 and rows.shape[1] > 256,
        ) as file:
            file.write(data, 1)
        return bytes(memory.read())
