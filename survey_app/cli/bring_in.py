"""`import`: what comes in as a file of another trade, by its type."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from survey_app.cli.arguments import date_of
from survey_app.cli.help import example
from survey_app.cli.opening import SiteArgument, check_there
from survey_app.cli.streams import note, say
from survey_app.errors import UnknownNameError, UsageError
from survey_app.exchange.relief_file import TABLE_SUFFIXES

if TYPE_CHECKING:
    from survey_app.exchange.imported import ReliefWishes
    from survey_app.exchange.price_list import PriceWishes
    from survey_app.session.document import Document

__all__ = ["register"]


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command(
        "import",
        epilog=example(
            "survey-app import tide-mill heights.tif --datum NAVD88",
            "survey-app import tide-mill heights.asc --crs EPSG:26919 --datum NAVD88 --voids fill",
            "survey-app import tide-mill levels.csv",
            "survey-app import tide-mill prices.csv --currency USD --dated 2026-09-01 --tax excluded",
            "survey-app import tide-mill scan.csv --mount M-HOUSE --taken 2026-05-31T14:00+01:00",
        ),
    )(_import)


def _import(
    site: SiteArgument,
    files: Annotated[
        list[Path],
        typer.Argument(metavar="FILE", help="Heights: .tif, .tiff, .asc, .csv; prices, or one or more scans: .csv."),
    ],
    datum: Annotated[
        str, typer.Option("--datum", metavar="NAME", help="What the heights count from. [default: as the file says]")
    ] = "",
    offset: Annotated[
        float | None,
        typer.Option(
            "--offset",
            metavar="M",
            help="Added to have heights over the site datum, metres. [default: less its elevation; tables 0]",
        ),
    ] = None,
    crs: Annotated[
        str,
        typer.Option("--crs", metavar="CODE", help="Map grid of the positions, EPSG:n, or plan. [default: as it says]"),
    ] = "",
    height_unit: Annotated[
        Literal["metre", "foot", "us_survey_foot"] | None,
        typer.Option("--height-unit", help="Unit of the heights. [default: as the file says, else metre]"),
    ] = None,
    voids: Annotated[
        Literal["refuse", "fill", "unknown"],
        typer.Option("--voids", help="What becomes of points of a grid without a height."),
    ] = "refuse",
    void_mark: Annotated[
        float | None, typer.Option("--void-mark", metavar="H", help="A height in a grid that means none.")
    ] = None,
    margin: Annotated[
        float, typer.Option("--margin", metavar="M", help="Ground taken round what is drawn, metres.", min=0, max=50000)
    ] = 1000.0,
    sigma: Annotated[
        float | None,
        typer.Option("--sigma", metavar="M", help="Standard deviation of the heights, metres.", min=0, max=100),
    ] = None,
    source: Annotated[
        str, typer.Option("--source", metavar="TEXT", help="Where the figures come from. [default: the file's name]")
    ] = "",
    surveyed: Annotated[
        str | None, typer.Option("--surveyed", metavar="D", help="When the ground was surveyed, YYYY-MM-DD.")
    ] = None,
    currency: Annotated[
        str, typer.Option("--currency", metavar="CODE", help="Currency of a list of prices. [default: as it says]")
    ] = "",
    dated: Annotated[
        str | None, typer.Option("--dated", metavar="D", help="Day from which prices hold, YYYY-MM-DD.")
    ] = None,
    tax: Annotated[
        Literal["included", "excluded", "not_stated"], typer.Option("--tax", help="Whether tax is in the prices.")
    ] = "not_stated",
    mount: Annotated[
        str, typer.Option("--mount", metavar="ID", help="Mount where a scan was taken. [default: as the table says]")
    ] = "",
    taken: Annotated[
        str | None,
        typer.Option(
            "--taken", metavar="T", help="When a scan was taken, YYYY-MM-DDTHH:MM+HH:MM. [default: as it says]"
        ),
    ] = None,
    taken_by: Annotated[str, typer.Option("--by", metavar="NAME", help="Who took a scan.")] = "",
) -> int:
    """Bring in what others hand over: heights of the ground, scans of the air, prices.

    FILE is a grid of heights (GeoTIFF or ASCII grid, with its projection and
    vertical datum), or a table with the columns x,y,h in metres of the plan or
    of a map grid, or lat,lon,h in degrees. Structures whose foot has no height
    of its own then stand on it. A grid is cut to what the site needs and kept
    in the site's assets; what was understood is said on standard error.

    A table with the columns channel (or frequency in MHz) and level in dBm is
    a scan; width, busy (per cent), time, antenna, bearing (true) and mount
    besides. It is added to the site's evidence. A table with the columns
    item,price,unit,currency is a list of prices: item is a gear id, an order
    code or the words of a line of the tally.
    """
    from survey_app.exchange.imported import ReliefWishes
    from survey_app.exchange.price_list import PriceWishes, is_price_list

    check_there(site)
    for file in files:
        if not file.exists():
            raise UnknownNameError("there is no such file", where=str(file))
    if _are_scans(files):
        return _told(*_listen(site, files, mount, taken, taken_by))
    if len(files) > 1:
        raise UsageError("only scans come in several files", where=str(files[1]), remedy="import one at a time")
    (file,) = files
    if file.suffix.lower() in TABLE_SUFFIXES and is_price_list(file):
        day = date_of(dated, where="--dated") if dated is not None else None
        return _told(*_put_prices(site, file, PriceWishes(currency, day, tax, source)))
    wishes = ReliefWishes(
        reference=crs,
        vertical_datum=datum,
        offset_m=offset,
        height_unit=height_unit,
        voids=voids,
        void_mark=void_mark,
        margin_m=margin,
        sigma_m=sigma,
        source=source,
        dated=date_of(surveyed, where="--surveyed") if surveyed is not None else None,
    )
    return _told(*_put(site, file, wishes))


def _told(written: Path, remarks: tuple[str, ...]) -> int:
    say(str(written))
    for remark in remarks:
        note(remark)
    return 0


def _put_prices(path: Path, file: Path, wishes: PriceWishes) -> tuple[Path, tuple[str, ...]]:
    """Put a list of prices into a site in the place of the one that it has."""
    from survey_app.assess.pipeline import assess
    from survey_app.exchange.price_list import import_prices
    from survey_app.session.document import Document
    from survey_app.site.edits import set_prices

    document = Document.open(path)
    try:
        _check_free(document, path)
        found, remarks = import_prices(file, document.site, assess(document.site), wishes)
        document.apply(set_prices(document.site, found))
        return document.save(), remarks
    finally:
        document.close()


def _put(path: Path, file: Path, wishes: ReliefWishes) -> tuple[Path, tuple[str, ...]]:
    """Put what a file holds into a site, and return the site's file and what is to be said."""
    from survey_app.exchange.relief_file import import_relief
    from survey_app.session.document import Document
    from survey_app.site.edits import set_relief

    document = Document.open(path)
    try:
        _check_free(document, path)
        found = import_relief(file, document.site, wishes)
        if found.data:
            document.shelf.keep(found.data, ".tif")
        document.apply(set_relief(document.site, found.relief))
        return document.save(), found.remarks
    finally:
        document.close()


def _are_scans(files: list[Path]) -> bool:
    """Return whether the files are scans: their first lines name channels and levels."""
    from survey_app.exchange.scan_table import looks_like_scan

    found = [file.suffix.lower() in TABLE_SUFFIXES and looks_like_scan(file) for file in files]
    if any(found) and not all(found):
        raise UsageError(
            "is no scan, and others of the files are",
            where=str(files[found.index(False)]),
            remedy="import it by itself",
        )
    return all(found)


def _listen(
    path: Path, files: list[Path], mount: str, taken: str | None, taken_by: str
) -> tuple[Path, tuple[str, ...]]:
    """Add the scans that files hold to a site's evidence, all or none."""
    from survey_app.exchange.scan_table import ScanWishes, import_scans
    from survey_app.session.document import Document
    from survey_app.site.edits import add_evidence

    document = Document.open(path)
    try:
        _check_free(document, path)
        wishes = ScanWishes(mount=mount, at=_moment(taken), by=taken_by)
        found = [import_scans(file, document.site, wishes) for file in files]
        document.apply(add_evidence(document.site, *(scan for one in found for scan in one.scans)))
        return document.save(), tuple(remark for one in found for remark in one.remarks)
    finally:
        document.close()


def _moment(text: str | None) -> datetime.datetime | None:
    if text is None:
        return None
    try:
        found = datetime.datetime.fromisoformat(text)
    except ValueError:
        raise UsageError(
            f"{text[:40]!r} is no time", where="--taken", remedy="write it as 2026-05-31T14:00+02:00"
        ) from None
    return found if found.tzinfo is not None else found.replace(tzinfo=datetime.UTC)


def _check_free(document: Document, path: Path) -> None:
    if document.read_only_reason:
        raise UsageError(document.read_only_reason, where=str(path), remedy="close it there")
    if document.offer is not None:
        raise UsageError(
            "unsaved work on it waits for an answer", where=str(path), remedy="survey-app open asks for it"
        )
