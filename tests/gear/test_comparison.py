from __future__ import annotations

from survey_app.gear import GearChange, compare, compare_with_catalogue, load_catalogue
from survey_app.site.gear_part import Body
from survey_app.site.gear_type import ClampType, RadioType

CATALOGUE = load_catalogue()
P16 = CATALOGUE.find("bowline-p16")
assert isinstance(P16, RadioType)


def changed(**fields: object) -> RadioType:
    data = {name: getattr(P16, name) for name in RadioType.model_fields}
    return RadioType(**(data | fields))


def test_equal_types_have_no_changes() -> None:
    assert compare(P16, changed()) == ()


def test_change_is_named_by_the_path_of_its_field() -> None:
    power = (*P16.power_per_mcs_dbm[:7], 20.0)
    new = changed(power_per_mcs_dbm=power, body=Body(ingress="IP65", mass_kg=0.4))
    assert compare(P16, new)[-1] == GearChange("bowline-p16", "power_per_mcs_dbm[7]", 21.0, 20.0)
    assert GearChange("bowline-p16", "body.ingress", "IP55", "IP65") in compare(P16, new)


def test_list_of_another_length_is_one_change() -> None:
    (change,) = compare(P16, changed(lights_dbm=(-80.0, -70.0)))
    assert (change.field, change.new) == ("lights_dbm", (-80.0, -70.0))


def test_part_that_appears_is_one_change() -> None:
    (change,) = compare(changed(pass_output=None), P16)
    assert (change.field, change.old) == ("pass_output", None)


def test_changes_there_and_back_are_mirrored() -> None:
    other = CATALOGUE.find("bowline-p18")
    there, back = compare(P16, other), compare(other, P16)
    assert {(c.field, str(c.old), str(c.new)) for c in there} == {(c.field, str(c.new), str(c.old)) for c in back}


def test_copies_of_a_site_are_held_against_the_catalogue() -> None:
    own = ClampType(
        kind="clamp", id="mine", name="Mine", what="clamp", tilt_min_deg=-5, tilt_max_deg=5, tilt_step_deg=5
    )
    changes = compare_with_catalogue((P16, changed(watts_w=9.0), own), CATALOGUE)
    assert changes == (GearChange("bowline-p16", "watts_w", 9.0, 8.0), GearChange("mine", "", "Mine", None))
