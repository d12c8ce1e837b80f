"""Files that hold a grid of heights, read through rasterio: what they say of themselves, and a window of them."""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Any

import numpy as np

from survey_app.errors import InputError
from survey_app.ground._arrays import FloatArray

if TYPE_CHECKING:
    from rasterio.io import DatasetReader

__all__ = ["Raster", "RasterFile", "Window"]

_HEADS = (b"ncols", b"nrows", b"xll", b"yll", b"cellsize", b"dx", b"dy", b"nodata")
_OF_NUMBERS = b"0123456789+-.eE \t\r\nnaN"
_LONGEST_HEAD = 4096
_CHUNK = 2**20
_WANTED = "a GeoTIFF or an ASCII grid is needed"
_TIFF = (b"II*\0", b"MM\0*", b"II+\0", b"MM\0+")


@dataclass(frozen=True, eq=False)
class Raster:
    """A grid of heights as its file has it.

    Attributes
    ----------
    rows : ndarray of float, shape (rows, columns)
        Heights in the file's own unit over its own datum; NaN where there is none.
    to_reference : ndarray of float, shape (2, 3)
        From steps of the grid, whole numbers at its points, to the file's own coordinates:
        `(x, y) = to_reference @ (u, v, 1)`.
    reference : str or None
        The file's coordinate reference as text; None = metres of the plan.
    """

    rows: FloatArray
    to_reference: FloatArray
    reference: str | None


@dataclass(frozen=True)
class Window:
    """A part of a grid: first column and row, and how many of each."""

    column: int
    row: int
    columns: int
    rows: int

    @property
    def count(self) -> int:
        """How many points it has."""
        return self.columns * self.rows


class RasterFile:
    """An open file with a grid of heights; use it in a `with` block.

    Parameters
    ----------
    path : Path
        GeoTIFF or ASCII grid.

    Raises
    ------
    InputError
        It cannot be read as a grid of numbers.

    Attributes
    ----------
    columns, rows : int
        Size of the whole grid.
    to_reference : ndarray of float, shape (2, 3)
        See `Raster`; a point stands in the middle of its cell.
    reference : str or None
        The coordinate reference on the plan, as text; None where the file names none.
    reference_name : str
        The same for people; empty where the file names none.
    vertical_datum : str
        What the heights count from, where the file says so; else empty.
    height_unit : str
        Unit of the heights as the file says it; else empty.
    """

    def __init__(self, path: Path) -> None:
        self._path = path
        self._file: DatasetReader = _opened(path)
        try:
            self._look()
        except BaseException:
            self._file.close()
            raise

    def _look(self) -> None:
        file = self._file
        if file.count != 1:
            raise _refused(
                self._path, f"it has {file.count} bands and looks like a picture", "a grid of heights has one"
            )
        if np.dtype(file.dtypes[0]).kind not in "fiu":
            raise _refused(self._path, f"its values are {file.dtypes[0]}, not numbers")
        self.columns, self.rows = int(file.width), int(file.height)
        a = file.transform
        shift = np.array([[a.a, a.b, a.c + (a.a + a.b) / 2.0], [a.d, a.e, a.f + (a.d + a.e) / 2.0]])
        if not np.isfinite(shift).all() or abs(np.linalg.det(shift[:, :2])) == 0.0:
            raise _refused(self._path, "its points lie on one line or nowhere: the size of its cells is missing")
        self.to_reference = shift
        # without a word on where it lies the library says that it lies at the origin, in steps of one
        self.is_placed = not a.is_identity
        self.reference, self.reference_name, self.vertical_datum, axis_unit = _references(file.crs)
        self.height_unit = (file.units[0] or "").strip() or axis_unit

    def __enter__(self) -> RasterFile:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._file.close()

    @property
    def whole(self) -> Window:
        """All of the grid."""
        return Window(0, 0, self.columns, self.rows)

    def read(self, window: Window | None = None) -> Raster:
        """Return a part of the grid, or all of it.

        Raises
        ------
        InputError
            The file is damaged.
        """
        from rasterio.windows import Window as FileWindow

        part = window if window is not None else self.whole
        with _said_by_us(self._path):
            found = self._file.read(
                1, window=FileWindow(part.column, part.row, part.columns, part.rows), masked=True, out_dtype="float64"
            )
        rows = np.ascontiguousarray(np.ma.filled(found, np.nan), dtype=np.float64)
        rows = rows * float(self._file.scales[0]) + float(self._file.offsets[0])
        rows[~np.isfinite(rows)] = np.nan
        shift = self.to_reference.copy()
        shift[:, 2] += self.to_reference[:, :2] @ (part.column, part.row)
        return Raster(rows, shift, self.reference)


def _references(crs: Any) -> tuple[str | None, str, str, str]:
    """Return reference text and name on the plan, name of the vertical datum, unit of heights; empty = not said."""
    if not crs:
        return None, "", "", ""
    from pyproj import CRS
    from pyproj.exceptions import CRSError

    try:
        whole = CRS.from_wkt(crs.to_wkt())
    except CRSError:
        return crs.to_wkt(), "a reference that is not known here", "", ""
    vertical, unit = "", ""
    flat = whole
    if whole.is_compound:
        flat, upright = whole.sub_crs_list[0], whole.sub_crs_list[1]
        vertical, unit = upright.name, upright.axis_info[0].unit_name
    elif len(whole.axis_info) == 3:
        vertical, unit = f"ellipsoid of {whole.name}", whole.axis_info[2].unit_name
        flat = whole.to_2d()
    code = flat.to_authority(min_confidence=100)
    name = f"{code[0]}:{code[1]} {flat.name}" if code else flat.name
    return (":".join(code) if code else flat.to_wkt()), name, vertical, unit


def _opened(path: Path) -> DatasetReader:
    try:
        if not path.is_file():
            raise InputError("is not a file" if path.exists() else "there is no such file", where=str(path))
        with path.open("rb") as stream:
            begins = stream.read(4)
    except OSError as error:
        if isinstance(error, InputError):
            raise
        raise InputError(f"cannot be read ({(error.strerror or str(error)).lower()})", where=str(path)) from error
    if begins not in _TIFF:
        _check_numbers(path)
    with _said_by_us(path):
        import rasterio

        # one of two kinds and nothing else: a stranger's file must not make the library follow links or fetch anything
        return rasterio.open(path.resolve(), driver="GTiff" if begins in _TIFF else "AAIGrid")


def _check_numbers(path: Path) -> None:
    """Refuse an ASCII grid with anything but numbers below its head: the library would take letters for 0."""
    with path.open("rb") as stream:
        line = stream.readline(_LONGEST_HEAD)
        if not line.split()[:1] or not line.split()[0].lower().startswith(_HEADS):
            raise _refused(path, "it cannot be read as a grid of heights", _WANTED)
        while line.split()[:1] and line.split()[0].lower().startswith(_HEADS):
            line = stream.readline(_LONGEST_HEAD)
        while line:
            if line.translate(None, _OF_NUMBERS):
                raise _refused(path, "it has letters among its heights", "heights are written as numbers")
            line = stream.read(_CHUNK)


@contextmanager
def _said_by_us(path: Path) -> Iterator[None]:
    """Turn what the library says into one sentence."""
    import rasterio
    from rasterio.errors import NotGeoreferencedWarning, RasterioError

    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", category=NotGeoreferencedWarning)
        with rasterio.Env(GDAL_DISABLE_READDIR_ON_OPEN="FALSE", PROJ_NETWORK="OFF", CPL_LOG_ERRORS="OFF"):
            try:
                yield
            except (RasterioError, ValueError) as error:
                if isinstance(error, InputError):
                    raise
                raise _refused(path, "it cannot be read as a grid of heights", _WANTED) from error


def _refused(path: Path, what: str, remedy: str | None = None) -> InputError:
    return InputError(what, where=str(path), remedy=remedy)
