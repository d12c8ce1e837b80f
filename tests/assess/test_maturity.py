"""A hop's word follows from evidence, rung by rung, and nobody can type it."""

from __future__ import annotations

import datetime

import pytest

from survey_app.assess.maturity import maturity_of_site
from survey_app.site.evidence import AcceptanceRow, BenchProof, Sight, WalkNote
from survey_app.site.place import HeightKnown
from survey_app.site.thing import Permission
from tests.assess.rule_case import assessed
from tests.plot import WALK, Plot, one_hop


def bare() -> Plot:
    plot = one_hop()
    plot.evidence["sights"] = []
    return plot


def word(plot: Plot) -> str:
    return assessed(plot.site()).hop("H-S").maturity


def benched(plot: Plot, *radios: str, passed: bool = True) -> None:
    for n, key in enumerate(radios):
        plot.note("bench", BenchProof(at=WALK + datetime.timedelta(hours=n), by="bench", radio=key, passed=passed))


def test_hop_that_nobody_saw_is_known_from_the_desk() -> None:
    assert word(bare()) == "desk"


def test_walk_note_makes_it_walked_and_measured_heights_measured() -> None:
    plot = bare()
    plot.note("walk_notes", WalkNote(at=WALK, by="walker", subject="m-column", words="stood there"))
    assert word(plot) == "measured"
    plot.set("mounts", "m-column", height_known=HeightKnown(how="guessed", sigma_m=0.1))
    assert word(plot) == "walked"


def test_sight_with_both_owners_agreed_makes_it_lamp_proven() -> None:
    assert word(one_hop()) == "lamp-proven"
    plot = one_hop()
    plot.set("mounts", "m-column", permission=Permission(state="asked"))
    assert word(plot) == "measured"
    plot = bare()
    plot.note("sights", Sight(at=WALK, by="walker", hop="H-S", result="not_seen"))
    assert word(plot) == "measured"


def test_both_radios_past_the_bench_make_it_bench_proven() -> None:
    plot = one_hop()
    benched(plot, "A")
    assert word(plot) == "lamp-proven"
    benched(plot, "S")
    assert word(plot) == "bench-proven"
    benched(plot, "S", passed=False)
    plot.evidence["bench"][-1] = plot.evidence["bench"][-1].model_copy(update={"at": WALK + datetime.timedelta(days=2)})
    assert word(plot) == "lamp-proven"


def test_acceptance_counts_whatever_else_is_missing_and_can_be_taken_back() -> None:
    plot = bare()
    plot.note("acceptance", AcceptanceRow(at=WALK, by="owner", subject="H-S", accepted=True))
    assert word(plot) == "accepted"
    later = WALK + datetime.timedelta(days=1)
    plot.note("acceptance", AcceptanceRow(at=later, by="owner", subject="H-S", accepted=False))
    assert word(plot) == "desk"


@pytest.mark.parametrize(
    ("words", "least"), [((), None), (("accepted", "walked"), "walked"), (("measured",), "measured")]
)
def test_site_is_known_as_well_as_its_least_known_hop(words: tuple[str, ...], least: str | None) -> None:
    assert maturity_of_site(words) == least  # type: ignore[arg-type]
