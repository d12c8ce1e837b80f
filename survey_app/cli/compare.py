"""`compare`: complete alternatives of one job, side by side."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from survey_app.cli.help import example
from survey_app.cli.names import nearest
from survey_app.cli.opening import SiteArgument, assessed, check_there, status_of
from survey_app.cli.streams import say
from survey_app.cli.table import table
from survey_app.errors import UnknownNameError, UsageError

if TYPE_CHECKING:
    from survey_app.assess.record import Comparison

__all__ = ["register"]

_FEWEST = 2


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command(
        "compare",
        epilog=example("survey-app compare college", "survey-app compare college omni sectors -o college-compared.pdf"),
    )(_compare)


def _compare(
    site: SiteArgument,
    alternatives: Annotated[
        list[str] | None,
        typer.Argument(metavar="[ALTERNATIVE]...", help="Names in its alternatives/ folder. [default: all of them]"),
    ] = None,
    output: Annotated[
        Path | None, typer.Option("-o", "--output", metavar="FILE", help="Also write the pages of it, a .pdf.")
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print one JSON object with full-precision numbers.")] = False,
) -> int:
    """Lay a site and its alternatives side by side.

    For each: what reaches a recorder, how full the air is, how many more
    cameras fit, the worst margin, findings, what goes dark by one failure,
    parts, hours and, with a list of prices, cost; then the lines of the tally
    that differ. Margins are dB, rates Mbit/s, cable metres. A * marks the best. The exit status is 1 where
    SITE itself has a stop that nobody has accepted.
    """
    from survey_app.assess.comparison import compare

    check_there(site)
    if output is not None and output.suffix.lower() != ".pdf":
        raise UsageError("the comparison is written as .pdf", where=str(output), remedy="name a file that ends in .pdf")
    files = _files(site, alternatives or [])
    if len(files) < _FEWEST:
        raise UsageError(
            "there is nothing to compare it with",
            where=str(site),
            remedy="save an alternative first: a complete site in its alternatives/ folder",
        )
    opened = {name: assessed(path) for name, path in files.items()}
    found = compare(opened)
    if output is not None:
        from survey_app.paper.comparison import comparison_pdf
        from survey_app.site.atomic import write_atomically

        first = next(iter(opened.values()))[0]
        write_atomically(output, comparison_pdf(first, found, first.design.paper))
    if as_json:
        say(found.model_dump_json(indent=2))
    else:
        _show(found)
    return status_of(next(iter(opened.values()))[1])


def _files(site: Path, asked: list[str]) -> dict[str, Path]:
    """Return the files by the names of their columns; the site comes first."""
    from survey_app.session.alternatives import alternatives
    from survey_app.site.file import site_file

    main = site_file(site)
    folder = main.parent.parent if main.parent.name == "alternatives" else main.parent
    known = {one.name: one.path for one in alternatives(folder)}
    files = {main.stem if main.parent.name == "alternatives" else "as drawn": main}
    for name in asked or [name for name, path in known.items() if path.resolve() != main.resolve()]:
        path = known.get(name.removesuffix(".json"))
        if path is None:
            raise UnknownNameError(
                f"there is no alternative '{name[:60]}'",
                where=str(folder / "alternatives"),
                remedy=nearest(name, set(known))
                or (f"there are {', '.join(sorted(known))}" if known else "there is none"),
            )
        files[name.removesuffix(".json")] = path
    return files


def _show(found: Comparison) -> None:
    names = [option.name for option in found.options]
    align = "<<" + ">" * len(names)
    rows = [("", "", *names)]
    for row in found.figures:
        cells = [f"{_cell(value)}{'*' if n in row.best else ' '}" for n, value in enumerate(row.values)]
        rows.append((row.quantity, row.unit, *cells))
    for line in table(rows, align=align):
        say(line.rstrip())
    if found.parts:
        say()
        say("Lines of the tally that differ:")
        lines = [("", "", *names)]
        lines += [(row.what, row.unit, *(_cell(order) for order in row.orders)) for row in found.parts]
        for line in table(lines, align=align):
            say(line.rstrip())
    for words in _notes(found):
        say(words)


def _cell(value: float | str | None) -> str:
    if value is None:
        return "-"
    if isinstance(value, str):
        return value
    return f"{value:.0f}" if value == round(value) else f"{value:.1f}"


def _notes(found: Comparison) -> Iterator[str]:
    for option in found.options:
        if option.money is not None and option.money.unpriced:
            count = len(option.money.unpriced)
            lines = "line of the tally has" if count == 1 else "lines of the tally have"
            yield f"{option.name}: {count} {lines} no price and is not in its cost."
