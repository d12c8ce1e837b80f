"""What `--help` says: the commands that the program has, units, and an example that runs."""

from __future__ import annotations

import re
import shlex

import pytest

from tests.cli.process import Cli

COMMANDS = (
    "open",
    "demo",
    "new",
    "import",
    "gear",
    "check",
    "sheets",
    "bench",
    "schedule",
    "network",
    "tally",
    "compare",
    "aim",
    "reach",
    "explain",
    "propose",
    "what-if",
)
PAGES = (*((command,) for command in COMMANDS), ("gear", "list"), ("gear", "show"), ("gear", "check"))
UNIT = re.compile(r"\b(metres|degrees|dBm?|dBi|MHz|Mbit/s|watts|kilograms|millimetres)\b")


def test_help_lists_exactly_the_commands_that_exist(cli: Cli) -> None:
    found = cli("--help")
    assert found.status == 0
    listed = re.findall(r"^  ([a-z-]+) {2,}\S", found.out.partition("Commands:")[2], re.MULTILINE)
    assert sorted(listed) == sorted(COMMANDS)


@pytest.mark.parametrize("command", PAGES, ids="-".join)
def test_every_help_states_units_and_ends_with_an_example(cli: Cli, command: tuple[str, ...]) -> None:
    page = cli(*command, "--help").out
    head, _, examples = page.rpartition("Example")
    assert examples.strip(), page
    if command not in (("gear", "check"), ("gear", "list"), ("gear", "show")):
        assert UNIT.search(head), page


@pytest.mark.parametrize("command", PAGES, ids="-".join)
def test_no_help_line_is_wider_than_a_terminal(cli: Cli, command: tuple[str, ...]) -> None:
    text = cli(*command, "--help").out.rpartition("Example")[0]
    assert max(map(len, text.splitlines())) <= 80


@pytest.mark.parametrize("command", ["aim", "reach", "gear"])
def test_examples_that_need_no_site_run_as_they_stand(cli: Cli, command: str) -> None:
    page = cli(command, "--help").out
    lines = re.findall(r"^ +survey-app (.+)$", page.rpartition("Example")[2], re.MULTILINE)
    assert lines
    for line in lines:
        found = cli(*shlex.split(line))
        assert found.status == 0, (line, found.err)
        assert found.out.strip()


def test_version_is_that_of_the_package(cli: Cli) -> None:
    import survey_app

    assert cli("--version").out == f"survey-app {survey_app.__version__}\n"
