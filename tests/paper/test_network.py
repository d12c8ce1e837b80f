"""The network on paper: what has an address, cells by channel, routes, single failures; whole rows, nothing cut."""

from __future__ import annotations

from functools import cache

import pytest

from survey_app.assess.pipeline import assess
from survey_app.assess.record import Assessment, FailureRow
from survey_app.assess.rules import CODES
from survey_app.paper.network import NETWORK_CODES, network_pdf
from survey_app.paper.network_cells import cell_table
from survey_app.paper.network_failures import failure_table
from survey_app.paper.network_routes import route_table
from survey_app.paper.network_things import thing_table
from survey_app.paper.sources import Sources
from survey_app.site.edits import change, fill_addresses, set_address_plan
from survey_app.site.network_names import names_in_network
from survey_app.site.site import Site
from tests.paper.demo_site import demo
from tests.paper.page_laws import bare, crossed_rules, cut_words, stray_words, touching_words, without_mark
from tests.paper.page_text import page_count, words_of
from tests.paper.sample_site import direction_row, sample_assessment, sample_site
from tests.plot import sector

HOSTILE = "#set page(width: 1mm) $x^2$ \\ \u202eabc مرحبا 🚧 *b* _i_ @ref <l> " + "w" * 200


@cache
def printed(name: str, paper: str = "a4") -> bytes:
    return network_pdf(*demo(name), paper)  # type: ignore[arg-type]


def words(pdf: bytes) -> str:
    return " ".join(words_of(pdf, page) for page in range(page_count(pdf)))


def laws(pdf: bytes, high_mm: float = 190.0) -> list[str]:
    return [*stray_words(pdf, 249.0, high_mm), *touching_words(pdf), *crossed_rules(pdf), *cut_words(pdf)]


@cache
def yard(cameras: int = 5) -> tuple[Site, Assessment]:
    site = sector(60.0, 90.0, 120.0, cameras=cameras).site()
    return site, assess(site)


def failure(subject: str, **changes) -> FailureRow:
    fields = {
        "subject": subject,
        "kind": "wire",
        "dark": ("C1",),
        "without_power": (),
        "unrecorded": ("C1",),
        "moved": (),
        "slower": (),
        "recorded_hours": 0.0,
        "fullest": None,
        "load_fraction": None,
        "severity": "note",
    }
    return FailureRow(**(fields | changes))


@pytest.mark.parametrize(("name", "paper"), [("boatyard", "a4"), ("college", "letter"), ("mill", "a4")])
def test_pages_of_the_demo_sites_keep_the_laws_of_the_page(name, paper):
    pdf, assessment = printed(name, paper), demo(name)[1]
    assert laws(pdf, 190.0 if paper == "a4" else 195.9) == []
    assert without_mark(pdf, assessment.checksum, "REV.", assessment.site, "NETWORK") == []


def test_every_thing_cell_route_and_failure_of_a_demo_is_printed():
    site, assessment = demo("mill")
    found = bare(words(printed("mill")))
    assert all(bare(name) in found for name in names_in_network(site).values())
    assert all(bare(radio.address) in found for radio in site.design.radios)
    assert all(bare(cell.access_point) in found for cell in assessment.cells)
    assert all(f"{leg.kind}{bare(leg.id)}" in found for route in assessment.routes for leg in route.legs)
    assert all(f"{row.kind}{bare(row.subject)}" in found for row in assessment.failures)
    notes = [finding for finding in assessment.findings if finding.code in NETWORK_CODES]
    assert notes
    assert all(bare(finding.message) in found for finding in notes)


def test_codes_of_its_notes_are_codes_that_exist():
    assert set(CODES) >= NETWORK_CODES


def test_address_is_printed_in_its_network_and_what_has_none_gets_an_empty_box():
    site, assessment = yard()
    table = thing_table(Sources(site, assessment))
    assert table is not None
    assert [group.head for group in table.groups] == [
        "Management network: no block is given",
        "Video network: no block is given",
    ]
    assert "Empty(" in repr(table.groups[0].rows[0][4])
    given = fill_addresses(set_address_plan(site, "10.20.0.0/24", "10.30.0.0/24", 1).after).after
    table = thing_table(Sources(given, assessment))
    assert table is not None
    management, video = table.groups
    assert management.head == "Management network 10.20.0.0/24: the first 1 address is kept for routers and laptops"
    assert management.rows[0][4].text == "10.20.0.2"
    assert video.rows[0][4].text.startswith("10.30.0.")
    pdf = network_pdf(given, assessment)
    assert "empty box under ADDRESS" not in words(pdf)
    assert "empty box under ADDRESS" in words(network_pdf(site, assessment))


def test_names_follow_the_pattern_of_the_site():
    site, assessment = yard()
    radio = site.design.radios[0]
    named = set_address_plan(site, "10.20.0.0/24", name_pattern="{mount}_{kind} {id}").after
    name = names_in_network(named)[radio.id]
    assert name == f"{radio.mount}-radio-{radio.id}".replace("_", "-")
    assert name in words(network_pdf(named, assessment))


def test_pattern_without_an_id_gives_no_two_things_one_name():
    site, _ = yard()
    names = names_in_network(set_address_plan(site, "10.20.0.0/24", name_pattern="{kind}").after)
    assert len({name.lower() for name in names.values()}) == len(names)
    assert all(0 < len(name) <= 63 for name in names.values())


def test_cells_of_one_channel_stand_together_with_what_disturbs_them():
    site, found = sample_site(), sample_assessment(sample_site())
    first = found.cells[0]
    cells = tuple(
        first.model_copy(update={"id": key, "access_point": key, "channel": channel, "hops": hops})
        for key, channel, hops in (("A1", 102, ("H1",)), ("A2", 36, ()), ("A3", 102, ()))
    )
    hop = found.hops[0]
    weak = direction_row(sinr_db=11.4, worst_interferer="S2")
    hop = hop.model_copy(update={"directions": hop.directions.model_copy(update={"to_station": weak})})
    table = cell_table(Sources(site, sample_assessment(site, cells=cells, hops=(hop,))))
    assert table is not None
    assert [(group.head, [row[0].text for row in group.rows]) for group in table.groups] == [
        ("Channel 36, centre 5510 MHz", ["A2"]),
        ("Channel 102, centre 5510 MHz: 2 cells", ["A1", "A3"]),
    ]
    disturbed, unknown = table.groups[1].rows
    assert disturbed[11].links == ("S2", "at S1")
    assert disturbed[12].text == "11"
    assert "Empty(" in repr(unknown[12])


def test_cell_that_is_over_full_waits_without_end_and_unknown_air_is_an_empty_box():
    table = cell_table(Sources(*demo("college")))
    assert table is not None
    rows = {row[0].text: row for group in table.groups for row in group.rows}
    assert rows["A-O"][4].text == "152"
    assert rows["A-O"][9].text == "no end"
    assert "Empty(" in repr(rows["A-R"][4])
    assert "Cells, no figure for A-R" in words(printed("college", "letter"))


def test_route_says_what_is_left_at_its_narrowest_leg():
    site, assessment = demo("boatyard")
    table = route_table(Sources(site, assessment))
    assert table is not None
    row = table.groups[0].rows[0]
    assert row[0].text == "cam-a-1"
    assert [cell.text for cell in row[2:7]] == ["4.2", "S-A", "42", "4", "57"]
    assert row[1].links[-1] == "head-end"


def test_camera_that_sends_multicast_bears_the_flag_of_the_cell_that_repeats_it():
    site, _ = yard()
    camera = site.design.cameras[0].id
    site = change(site, camera, **{"stream.multicast": True}).after
    assessment = assess(site)
    flood = next(finding for finding in assessment.findings if finding.code == "multicast-flood")
    table = route_table(Sources(site, assessment))
    assert table is not None
    flags = {row[0].text: [flag[1] for flag in row[-1].rows] for row in table.groups[0].rows}
    assert [key for key, numbers in flags.items() if flood.number in numbers] == [camera]
    assert bare(f"Multicast, cell {flood.subject}: {flood.message}") in bare(words(network_pdf(site, assessment)))


def test_things_whose_failure_does_the_same_stand_in_one_row():
    rows = (
        failure("W1"),
        failure("W2", recorded_hours=24.0, unrecorded=(), severity=None),
        failure("D1", kind="device"),
    )
    table = failure_table(rows)
    assert table is not None
    first, second = table.groups[0].rows
    assert first[0].links == ("wire W1", "device D1")
    assert (first[2].links, *(first[n].text for n in (1, 3, 4, 8))) == (("C1",), "1", "1", "0", "note")
    assert (second[0].links, *(second[n].text for n in (3, 4, 8))) == (("wire W2",), "0", "24", "none")


def test_failure_names_who_comes_home_another_way_who_is_slower_and_what_is_fullest_then():
    row = failure("H1", kind="hop", dark=(), unrecorded=(), recorded_hours=None, moved=("C1", "C2", "C3"),
                  slower=("C4",), fullest="A1", load_fraction=0.83)  # fmt: skip
    table = failure_table((row, row.model_copy(update={"subject": "H2", "load_fraction": None})))
    assert table is not None
    first, second = table.groups[0].rows
    assert [first[n].text for n in (1, 3, 4)] == ["none"] * 3
    assert [first[n].links for n in (5, 6, 7)] == [("C1 to C3",), ("C4",), ("A1", "83")]
    assert second[7].links == ("A1", "no rate")


def test_row_that_is_longer_than_a_page_goes_on_and_loses_nothing():
    site = sample_site()
    cameras = tuple(f"camera-{n}-of-the-far-jetty" for n in range(300))
    things = tuple(failure(f"wire-under-the-long-jetty-{n}", dark=cameras, severity="warn") for n in range(90))
    pdf = network_pdf(site, sample_assessment(site, failures=things))
    assert laws(pdf) == []
    found = bare(words(pdf))
    assert all(f"camera-{n}-of-the-far-jetty" in found for n in range(300))
    assert all(f"wire-under-the-long-jetty-{n}" in found for n in range(90))


def test_hostile_names_are_printed_and_never_run():
    site = sample_site(name=HOSTILE)
    found = sample_assessment(site)
    radios = tuple(row.model_copy(update={"label": HOSTILE}) for row in found.radios)
    pdf = network_pdf(site, sample_assessment(site, radios=radios))
    assert [*stray_words(pdf, 249.0, 190.0), *touching_words(pdf), *crossed_rules(pdf)] == []
    assert "#set page(width: 1mm)" in words(pdf)


def test_same_site_gives_the_same_bytes():
    assert network_pdf(*demo("mill")) == printed("mill")


def test_site_of_nothing_prints_a_sentence():
    site = sample_site(radios=(), hops=())
    pdf = network_pdf(site, sample_assessment(site, radios=(), hops=(), cells=(), routes=(), findings=()))
    assert "Nothing of a network is drawn yet" in words(pdf)
    assert page_count(pdf) == 1
