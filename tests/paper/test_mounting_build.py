"""What the builder of mounting sheets makes of a site and its assessment: words and figures, not pages."""

from __future__ import annotations

import pytest

from survey_app.assess.record import Acceptance, Finding, NullReason
from survey_app.paper.mounting import mounting_pdf
from survey_app.paper.mounting_build import mounting_views
from survey_app.paper.mounting_section import worst_hop
from survey_app.paper.mounting_view import MountingView
from survey_app.paper.rounding import tenths
from survey_app.site.site import Plane
from tests.paper.demo_site import demo
from tests.paper.page_laws import bare, touching_words
from tests.paper.page_text import page_count, words_of
from tests.paper.sample_site import AS_OF, TOWER, end_row, hop_row, radio_row, refused, sample_assessment, sample_site


def view_of(radio: str, *, site=None, **changes) -> MountingView:
    site = site or sample_site()
    views = {view.radio: view for view in mounting_views(site, sample_assessment(site, **changes))}
    return views[radio]


def demo_views(name: str) -> tuple[MountingView, ...]:
    return mounting_views(*demo(name, "metric"))


def radios(**changes) -> tuple:
    """The sample's radios, with one field or more of S1 changed."""
    site = sample_site()
    rows = sample_assessment(site).radios
    return tuple(row.model_copy(update=changes) if row.id == "S1" else row for row in rows)


def figure(text: str) -> int:
    return tenths(float(text.rstrip("°")))


def test_first_aim_is_the_landmark_turn_where_one_is_allowed():
    aims = view_of("S1").aims
    assert [aim.head for aim in aims] == ["Turn right of", "BEARING MAGNETIC", "BEARING TRUE"]
    assert (aims[0].kind, aims[0].value, aims[0].note) == ("right", "23.4°", "WATER TOWER")


def test_first_aim_is_magnetic_where_no_landmark_is_allowed():
    aims = view_of("S1", radios=radios(landmark=None, landmark_check=None)).aims
    assert [aim.head for aim in aims] == ["BEARING MAGNETIC", "BEARING TRUE", "LANDMARK"]
    assert aims[2].note == "none allowed"


def test_first_aim_is_true_where_a_compass_is_refused_and_no_landmark_allowed():
    changed = radios(
        landmark=None, landmark_check=None, bearing_magnetic_deg=None, null_reasons=refused("bearing_magnetic_deg")
    )
    aims = view_of("S1", radios=changed).aims
    assert [aim.head for aim in aims] == ["BEARING TRUE", "BEARING MAGNETIC", "LANDMARK"]
    assert (aims[1].note, aims[1].unknown) == ("aim by landmark", "The field is too weak here.")


def test_turn_to_the_left_is_said_to_the_left():
    mark = TOWER.model_copy(update={"turn_deg": -5.04})
    aim = view_of("S1", radios=radios(landmark=mark, landmark_check=None)).aims[0]
    assert (aim.kind, aim.head, aim.value) == ("left", "Turn left of", "5.0°")


def test_unanchored_site_prints_plan_bearings_and_says_why_there_is_no_other():
    sentence = "The site has no anchor: bearings count from plan north."
    null = NullReason(field="bearing_magnetic_deg", kind="not_applicable", sentence=sentence)
    site = sample_site(plane=Plane())
    assessment = sample_assessment(site)
    north = assessment.north.model_copy(update={"anchored": False, "declination_deg": None, "zone": "unanchored"})
    changed = radios(
        landmark=None,
        landmark_check=None,
        bearing_true_deg=None,
        bearing_magnetic_deg=None,
        declination_deg=None,
        null_reasons=(null,),
    )
    view = view_of("S1", site=site, radios=changed, north=north)
    assert [aim.head for aim in view.aims] == ["BEARING PLAN", "BEARING MAGNETIC", "LANDMARK"]
    assert view.aims[0].value == "307.6°"
    assert (view.aims[1].kind, view.aims[1].note, view.aims[1].unknown) == ("none", "none", sentence)
    assert view.plan is not None
    assert view.plan.north == "PN"


@pytest.mark.parametrize("true_deg", [0.04, 0.06, 12.34, 123.349, 299.95, 359.97])
@pytest.mark.parametrize("declination_deg", [-14.62, -0.04, 0.0, 1.949, 33.3])
def test_printed_magnetic_is_printed_true_minus_printed_declination(true_deg, declination_deg):
    changed = radios(bearing_true_deg=true_deg, declination_deg=declination_deg)
    _, magnetic, true = view_of("S1", radios=changed).aims
    assert (figure(true.value) - tenths(declination_deg) - figure(magnetic.value)) % 3600 == 0
    assert true.value in magnetic.note


@pytest.mark.parametrize(("tilt_deg", "built_deg"), [(-1.44, 2.04), (-3.26, 0.0), (2.0, 2.0), (-2.0, 2.0), (0.04, 0.0)])
def test_printed_bracket_tilt_is_printed_beam_plus_printed_built_in_tilt(tilt_deg, built_deg):
    changed = radios(tilt_deg=tilt_deg, electrical_downtilt_deg=built_deg, bracket_tilt_deg=tilt_deg + built_deg)
    tilt = view_of("S1", radios=changed).tilt
    sign = {"UP": 1, "DOWN": -1, "LEVEL": 0}[tilt.word]
    assert sign * figure(tilt.value) == tenths(tilt_deg) + tenths(built_deg)


def test_check_of_the_second_landmark_adds_up():
    lines = view_of("S1").aims[0].lines
    assert "Check: 61.8° left of CHAPEL SPIRE." in lines
    assert "Between the two 85.2°." in lines


def test_far_ends_own_bearing_is_printed_for_a_check_by_phone():
    assert "from A1 here: 127.6°" in view_of("S1").aims[2].lines
    assert "from A1 here: 142.2°" in view_of("S1").aims[1].lines


def test_bracket_that_cannot_set_the_tilt_says_what_the_nearest_step_costs():
    changed = radios(bracket_tilt_deg=-1.8, tilt_deg=-1.8, bracket_set_deg=0.0, bracket_step_cost_db=2.4)
    assert view_of("S1", radios=changed).tilt.lines[1] == "Nearest step level costs 2.4 dB."


def test_omni_prints_all_round_and_plumb():
    view = view_of("S1", radios=radios(aim_by="all_round", landmark=None, bearing_true_deg=None))
    assert view.aims[0].value == "ALL ROUND"
    assert view.aims[1].rose == (("A1", 307.64),)
    assert view.tilt.value == "PLUMB"


def test_access_point_of_several_lists_its_stations_from_left_to_right():
    view = view_of("A1")
    assert view.level is None
    assert [row.station for row in view.stations] == ["S2", "S1"]
    assert view.stations[1].turn == "10.6° right"


def test_access_point_of_one_prints_the_level_like_a_station():
    site = sample_site(hops=sample_site().design.hops[:1])
    one = sample_assessment(site).radios[0].model_copy(update={"hops": ("H1",), "far_ends": ("S1",)})
    rest = sample_assessment(site).radios[1:2]
    view = view_of("A1", site=site, radios=(one, *rest), hops=sample_assessment(site).hops[:1])
    assert view.level is not None
    assert view.stations == ()


def test_two_radios_of_one_climb_name_each_other():
    assert "One climb: A1, S2." in view_of("A1").climb
    assert "One climb" not in view_of("S1").climb


def stop(subject: str, accepted: Acceptance | None = None) -> Finding:
    return Finding(
        id=f"x:{subject}",
        number=1,
        code="x",
        severity="stop",
        subject=subject,
        message="Ray is cut.",
        source="P",
        accepted=accepted,
    )


def test_stop_finding_holds_the_sheets_of_both_ends_and_no_other():
    held = {radio: view_of(radio, findings=(stop("H1"),)).stop is not None for radio in ("A1", "S1", "S2")}
    assert held == {"A1": True, "S1": True, "S2": False}
    assert view_of("S1", findings=(stop("H1"),)).title.status == "held"


def test_station_of_a_stopped_hop_is_crossed_out_in_the_list():
    rows = {row.station: row for row in view_of("A1", findings=(stop("H1"),)).stations}
    assert (rows["S1"].held, rows["S1"].expect) == (True, "none")
    assert not rows["S2"].held


def test_accepted_stop_does_not_hold_but_stays_a_flag_with_its_name():
    accepted = Acceptance(by="K. Owner", on=AS_OF, reason="known")
    view = view_of("S1", findings=(stop("H1", accepted),))
    assert view.stop is None
    assert "Accepted: K. Owner" in view.flags[0].text


def test_unseen_hop_is_said_to_be_not_checked():
    assert view_of("S1").sight == "Sight: A1 seen, 2026-11-02."
    assert view_of("S2").sight == "Sight: not checked."
    assert view_of("A1").sight == "Sight: S2 not checked."


def test_level_per_chain_display_prints_the_units_own_reading_and_moves_the_window():
    site = sample_site()
    hops = sample_assessment(site).hops
    end = hops[0].ends.station.model_copy(update={"expected_as_shown_dbm": -54.3})
    changed = hops[0].model_copy(update={"ends": hops[0].ends.model_copy(update={"station": end})})
    level = view_of("S1", hops=(changed, hops[1])).level
    assert level.value == "−54"
    assert (level.window.good_low, level.window.good_high) == (-57, -51)


def test_unknown_level_prints_a_box_with_the_records_sentence():
    null = NullReason(field="expected_reading_dbm", kind="unknown", sentence="Give the region.")
    end = end_row("S1", 307.64, 2.04, expected_reading_dbm=None)
    hop = hop_row("H1", "S1", end_row("A1", 127.64, -2.04), end, 295.4, null_reasons=(null,))
    level = view_of("S1", hops=(hop, sample_assessment(sample_site()).hops[1])).level
    assert (level.value, level.unknown) == (None, "Give the region.")


def test_overhead_line_is_printed_as_recorded():
    texts = {radio: view_of(radio).cautions[0].text for radio in ("A1", "S1", "S2")}
    assert texts["A1"].startswith("None within 30 m as recorded.")
    assert texts["S1"].startswith("Recorded 210\xa0m away.")
    assert texts["S2"].startswith("Not recorded.")


def test_feet_stand_under_metres_only_where_people_read_them():
    assert view_of("S1").height.second == "19 ft 8 in"
    assert view_of("S1", site=sample_site(units="metric")).height.second == ""


def test_every_optional_field_null_still_prints_one_page():
    nothing = {
        key: None
        for key, info in type(radio_row("S1")).model_fields.items()
        if info.annotation is not None and type(None) in getattr(info.annotation, "__args__", ())
    }
    site = sample_site()
    view = view_of("S1", site=site, radios=radios(**nothing))
    pdf = mounting_pdf([view], "letter")
    assert page_count(pdf) == 1
    assert "Unknown." in words_of(pdf)


def test_sheets_of_the_sample_print_a_page_a_radio():
    site = sample_site()
    pdf = mounting_pdf(mounting_views(site, sample_assessment(site)), "letter")
    assert page_count(pdf) == 3


def test_sheet_says_what_comes_nearest_to_its_ray_and_what_that_was_held_against():
    views = {view.radio: view for view in demo_views("boatyard")}
    assert views["ST-B"].way[0] == "Way: clear 0.65 m at 40.9 m, PAINT SHED."
    assert " ".join(views["ST-B"].way[1:]) == "Held against flat ground, what is drawn; walk of 2026-10-22."
    assert views["ST-B"].section.clearance.thing == "paint-shed"


def test_access_point_of_several_shows_the_hop_that_is_worst_off_and_names_its_far_end():
    view = next(view for view in demo_views("boatyard") if view.radio == "A-S")
    assert view.way[0].startswith("Way to ST-B: clear 0.65 m")
    assert view.section.end.label == "ST-B"


def test_cut_hop_is_worse_than_one_with_less_of_its_zone():
    ends = end_row("A1", 127.6, -2.0), end_row("S1", 307.6, 2.0)
    cut = hop_row("H9", "S1", *ends, 295.4, cut_at_m=30.0, cut_by="ground", fresnel_clearance_ratio=0.4)
    low = hop_row("H1", "S1", *ends, 295.4, fresnel_clearance_ratio=-0.2)
    assert worst_hop((low, cut)) is cut
    assert worst_hop(()) is None


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_sheets_of_the_boatyard_set_no_words_over_others_and_show_sections(paper):
    pdf = mounting_pdf(demo_views("boatyard"), paper)
    assert touching_words(pdf) == []
    printed = bare(" ".join(word for page in range(page_count(pdf)) for word in words_of(pdf, page)))
    assert printed.count(bare("SECTION, ")) >= 4  # sheets full of flags have no room for one
    assert bare("SECTION, A-S to ST-B") in printed
