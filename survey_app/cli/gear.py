"""`gear`: what the catalogue holds, and whether it can be true."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from survey_app.cli.help import example
from survey_app.cli.streams import note, say
from survey_app.cli.table import table

if TYPE_CHECKING:
    from pydantic import BaseModel

    from survey_app.gear.catalogue import Catalogue
    from survey_app.site.gear_type import GearType

__all__ = ["register"]

_LONGEST = 60

_Folder = Annotated[
    list[Path] | None,
    typer.Option("--folder", metavar="FOLDER", help="A folder with catalogue files of your own; can be repeated."),
]


def register(app: typer.Typer) -> None:
    """Add the commands."""
    gear = typer.Typer(
        rich_markup_mode=None,
        epilog=example(
            "survey-app gear list --kind radio", "survey-app gear show bowline-p16", "survey-app gear check"
        ),
    )
    gear.callback(invoke_without_command=True)(_gear)
    gear.command("list", epilog=example("survey-app gear list --kind antenna"))(_list)
    gear.command("show", epilog=example("survey-app gear show bowline-p16"))(_show)
    gear.command("check", epilog=example("survey-app gear check --folder my-gear"))(_check)
    app.add_typer(gear, name="gear")


def _gear(context: typer.Context, folder: _Folder = None) -> int:
    """List, show and check gear types.

    Types come from the built-in catalogue, then from your own folder of catalogue files (`gear check` says where it
    is), then from every --folder; a later type replaces an earlier one of the same id. Figures are in dBi, dBm,
    degrees, MHz, volts, watts, kilograms and millimetres, as each line says.
    """
    context.obj = tuple(folder or ())
    if context.invoked_subcommand is None:
        _rows(_catalogue(context.obj), None)
    return 0


def _list(
    context: typer.Context,
    kind: Annotated[
        str | None, typer.Option("--kind", metavar="KIND", help="One kind only, such as radio or cable.")
    ] = None,
    folder: _Folder = None,
) -> int:
    """List gear types: id, kind, what it is, and its main figures with their units."""
    _rows(_catalogue((*(context.obj or ()), *(folder or ()))), kind)
    return 0


def _show(
    context: typer.Context,
    gear: Annotated[str, typer.Argument(metavar="ID", help="Id or name of the type.")],
    folder: _Folder = None,
) -> int:
    """Show one gear type: every figure with its unit and what it means."""
    catalogue = _catalogue((*(context.obj or ()), *(folder or ())))
    item = catalogue.find(gear)
    rows = [(path, f"{value} {unit}".rstrip(), meaning) for path, value, unit, meaning in _fields(item)]
    for line in table([row for row in rows if len(row[1]) <= _LONGEST]):
        say(line)
    for path, value, _ in rows:
        if len(value) > _LONGEST:
            say(f"{path}: {value}")
    note(f"From {catalogue.file_of(item.id)}.")
    return 0


def _check(context: typer.Context, folder: _Folder = None) -> int:
    """Check whether the figures of all gear types can be true and fit together."""
    from survey_app.gear.checks import check_catalogue
    from survey_app.gear.user_folder import user_gear_folder

    catalogue = _catalogue((*(context.obj or ()), *(folder or ())))
    faults = check_catalogue(catalogue)
    for fault in faults:
        say(f"{catalogue.file_of(fault.gear).name}, {fault.gear}, {fault.field}: {fault.message} [{fault.source}]")
    say(f"{len(catalogue)} gear types, {len(faults)} {'fault' if len(faults) == 1 else 'faults'}")
    own = user_gear_folder()
    note(f"Your own folder is {own}{'' if own.is_dir() else ' (does not exist yet)'}.")
    return 0


def _catalogue(folders: tuple[Path, ...]) -> Catalogue:
    from survey_app.gear.catalogue import load_catalogue
    from survey_app.gear.user_folder import user_gear_folders

    return load_catalogue((*user_gear_folders(), *folders))


def _rows(catalogue: Catalogue, kind: str | None) -> None:
    from survey_app.cli.names import nearest
    from survey_app.errors import UnknownNameError

    if kind is not None and kind not in catalogue.kinds():
        raise UnknownNameError(f"no gear type is of the kind '{kind}'", remedy=nearest(kind, catalogue.kinds()))
    items = catalogue if kind is None else catalogue.of_kind(kind)
    for line in table([(item.id, item.kind, item.what, _figures(item)) for item in items]):
        say(line)


def _figures(item: GearType) -> str:
    """Return the main figures of a type in a few words."""
    match item.kind:
        case "radio":
            own = "connectors only" if item.pattern is None else f"{item.pattern.gain_dbi:g} dBi"
            widths = "/".join(str(width) for width in item.widths_mhz)
            return f"{own}, {max(item.power_per_mcs_dbm):g} dBm, {widths} MHz, {item.watts_w:g} W"
        case "antenna":
            beam = f"{item.pattern.azimuth_beamwidth_deg:g} x {item.pattern.elevation_beamwidth_deg:g} deg"
            return f"{item.pattern.gain_dbi:g} dBi, {beam}"
        case "camera":
            return f"{item.width_px} x {item.height_px} px, {item.cap_mbps:g} Mbit/s, {item.watts_night_w:g} W at night"
        case "cable":
            return item.medium if item.ohm_per_km is None else f"{item.medium}, {item.ohm_per_km:g} ohm/km"
        case "clamp":
            return f"{item.body.pipe_min_mm:g} to {item.body.pipe_max_mm:g} mm, tilt step {item.tilt_step_deg:g} deg"
        case "feeder":
            return f"{item.loss_db:g} dB"
        case _:
            outputs = getattr(item, "power_outputs", ())
            return ", ".join(f"{one.ports} x {one.scheme} {one.volts_v:g} V {one.watts_w:g} W" for one in outputs)


def _fields(record: BaseModel, path: str = "") -> Iterator[tuple[str, str, str, str]]:
    """Yield path, value, unit and meaning of every figure of a record, parts of it included."""
    from pydantic import BaseModel

    from survey_app.site.record import unit_of

    for name, field in type(record).model_fields.items():
        value: Any = getattr(record, name)
        place = f"{path}{name}"
        if isinstance(value, BaseModel):
            yield from _fields(value, f"{place}.")
        elif isinstance(value, tuple) and value and isinstance(value[0], BaseModel):
            for number, part in enumerate(value):
                yield from _fields(part, f"{place}[{number}].")
        else:
            unit = unit_of(name)
            yield place, _words(value), "" if unit in (None, "1") else str(unit), field.description or ""


def _words(value: Any) -> str:
    if value is None:
        return "-"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:g}"
    if isinstance(value, tuple):
        return " ".join(_words(part) for part in value) or "-"
    return str(value) or "-"
