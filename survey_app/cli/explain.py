"""`explain`: why is this number so?"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Annotated, Any

import typer

from survey_app.cli.help import example
from survey_app.cli.opening import SiteArgument, assessed
from survey_app.cli.streams import say
from survey_app.cli.table import table

if TYPE_CHECKING:
    from survey_app.assess.explain import Reason
    from survey_app.assess.record import Finding

__all__ = ["register"]

_DEPTH = 1


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command(
        "explain",
        epilog=example(
            "survey-app explain yard A-S bearing_true_deg",
            "survey-app explain yard S-A ends.station.rx_level_dbm --depth 4",
            "survey-app explain yard finding:1",
            "survey-app explain yard S-A how_high_m",
            "survey-app explain yard A-S served_m2 --depth 0",
        ),
    )(_explain)


def _explain(
    site: SiteArgument,
    subject: Annotated[
        str,
        typer.Argument(
            metavar="SUBJECT", help="Id of a thing or a finding; KIND:ID where one id names several; or site."
        ),
    ],
    quantity: Annotated[
        str | None, typer.Argument(metavar="[QUANTITY]", help="Which number; without it all of them are listed.")
    ] = None,
    depth: Annotated[int, typer.Option("--depth", metavar="N", min=0, help="Levels of inputs to follow.")] = _DEPTH,
) -> int:
    """Why is this number so?

    Value, unit, rule and document, and what it is made from: every number leads down to fields of the site file,
    figures of the gear and rows of the region's rules, each with its place. The unit (metres, degrees, dB,
    dBm, Mbit/s) stands behind every value;
    names of quantities end in theirs (_m, _deg, _dbm, _mbps).
    Worked out when asked for: of a hop how_high_m and how_high_over_traffic_m, of a radio served_m2, served_mounts
    and served_percent (of the areas in which something moves).
    """
    from survey_app.assess.explain import Explainer

    drawn, assessment = assessed(site)
    explainer = Explainer(drawn, assessment)
    reasons = explainer.ask(subject, quantity)
    if quantity is None:
        for finding in assessment.findings:
            if subject in (finding.id, f"finding:{finding.number}", f"finding:{finding.id}"):
                _show_finding(finding)
        for line in table([(reason.name, _value(reason), reason.says) for reason in reasons], align="<<<"):
            say(line)
        return 0
    tree = _Tree()
    for reason in reasons:
        tree.show(reason, depth)
    return 0


def _show_finding(finding: Finding) -> None:
    say(f"{finding.number} {finding.severity}  {finding.subject}: {finding.message}")
    for cure in finding.cures:
        say(f"  cure: {cure.text}")
    say()


class _Tree:
    """Prints reasons as a tree: what was shown once is not shown again, nor a document's title."""

    def __init__(self) -> None:
        self._shown: set[str] = set()
        self._titled: set[str] = set()

    def show(self, reason: Reason, depth: int, level: int = 0) -> None:
        """Print a reason and as many levels of what it is made from."""
        space = "    " * level
        if reason.origin != "computed":
            cited = self._document(reason)
            say(f"{space}{reason.name} = {_value(reason)}{f'  {cited}' if cited else ''}")
            return
        again = reason.name in self._shown and bool(reason.inputs)
        say(f"{space}{reason.name} = {_value(reason)}{'  (as above)' if again else ''}")
        if again:
            return
        self._shown.add(reason.name)
        for words in (reason.says, reason.missing, self._document(reason)):
            if words:
                say(f"{space}  {words}")
        if reason.inputs and depth == 0:
            say(f"{space}  from {len(reason.inputs)} {'input' if len(reason.inputs) == 1 else 'inputs'}, see --depth")
            return
        for part in reason.inputs:
            self.show(part, depth - 1, level + 1)

    def _document(self, reason: Reason) -> str:
        if not reason.source:
            return ""
        title = "" if reason.source in self._titled else _title(reason.document)
        self._titled.add(reason.source)
        return " ".join((f"[{reason.source}]", ", ".join(part for part in (title, reason.section) if part))).rstrip()


def _title(document: str) -> str:
    """Return author, title, edition and date of a line of the list of references: what stands before what was seen."""
    match = re.match(r".*?\)\.(?= |$)", document) or re.match(r".*?\.(?= |$)", document)
    return (match[0] if match else document).replace("*", "").rstrip(".")


def _value(reason: Reason) -> str:
    return _words(reason.value) + (
        f" {reason.unit}" if reason.unit and reason.unit != "1" and reason.value is not None else ""
    )


def _words(value: Any) -> str:
    from pydantic import BaseModel

    if value is None:
        return "not known"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.6g}"
    if isinstance(value, BaseModel):
        return ", ".join(f"{name} {_words(part)}" for name, part in value if part is not None)
    if isinstance(value, tuple):
        shown = "; ".join(_words(part) for part in value[:14])
        return f"({shown}{'; ...' if len(value) > 14 else ''})"
    return str(value)
