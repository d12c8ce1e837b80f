"""Files that nobody should trust: each is refused with one clear sentence that names the place."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest

from survey_app.errors import InputError
from survey_app.site import FileFaultsError
from survey_app.site import json_text as json_text_module
from survey_app.site.file import site_from_bytes, site_to_bytes
from tests.site.full_site import full_site

GOOD = site_to_bytes(full_site())
TEXT = GOOD.decode()


def _edited(change: Callable[[dict[str, Any]], Any]) -> bytes:
    tree = json.loads(GOOD)
    change(tree)
    return json.dumps(tree).encode()


def _set(path: str, value: Any) -> bytes:
    def change(tree: Any) -> None:
        *steps, last = [int(step) if step.isdigit() else step for step in path.split(".")]
        for step in steps:
            tree = tree[step]
        tree[last] = value

    return _edited(change)


def _swapped(old: str, new: str) -> bytes:
    assert TEXT.count(old) >= 1, old
    return TEXT.replace(old, new, 1).encode()


def _deep(levels: int) -> bytes:
    return _swapped('"name": "Full site"', f'"name": {"[" * levels}{"]" * levels}')


CASES: list[tuple[str, bytes, str, str]] = [
    # id, bytes, place, words of the sentence
    ("empty", b"", "", "is empty"),
    ("blank", b" \n\t ", "", "is empty"),
    ("truncated", GOOD[: len(GOOD) // 2], "line ", ""),
    ("truncated-in-text", GOOD[: GOOD.index(b"Full s") + 6], "line 5, column 13", "no closing quote"),
    ("truncated-after-colon", b'{"format":', "line 1, column 11", "ends in the middle"),
    ("no-json", b"site: yard\n", "line 1, column 1", "not written as JSON"),
    ("two-documents", GOOD + GOOD, "line ", "after the end"),
    ("trailing-comma", b'{"format": "survey-site",}', "line 1, column 2", ""),
    ("single-quotes", b"{'format': 'survey-site'}", "line 1, column 2", "double quotes"),
    ("comment", b"// yard\n" + GOOD, "line 1, column 1", "not written as JSON"),
    ("bare-key", b'{format: "survey-site"}', "line 1, column 2", "double quotes"),
    ("missing-colon", b'{"format" "survey-site"}', "line 1, column 11", "colon"),
    ("missing-comma", b'{"format": "survey-site" "version": 1}', "line 1, column 26", "comma"),
    ("line-break-in-text", _swapped("Full site", "Full\nsite"), "line 5, column 18", "line break"),
    ("bad-escape", _swapped("Full site", "Full \\q"), "line 5, column 1", "backslash"),
    ("bad-unicode-escape", _swapped("Full site", "\\u12"), "line 5, column 1", "hexadecimal"),
    ("half-character", _swapped("Full site", "\\ud83d"), "design.name", "half a character"),
    ("byte-order-mark", b"\xef\xbb\xbf" + GOOD, "line 1, column 1", "byte order mark"),
    ("utf-16", TEXT.encode("utf-16"), "line 1, column 1", "UTF-16"),
    ("utf-16-without-mark", TEXT.encode("utf-16-le"), "line 1, column 1", "UTF-16"),
    ("utf-32", TEXT.encode("utf-32"), "line 1, column 1", "UTF-16 or UTF-32"),
    ("latin-1", _swapped("Büro „Süd“", "Bxro").replace(b"Bxro", b"B\xfcro"), "line 15, column 19", "0xFC is not UTF-8"),
    ("overlong", b'{"format": "\xc0\xaf"}', "line 1, column 13", "0xC0 is not UTF-8"),
    ("surrogate-bytes", b'{"format": "\xed\xa0\x80"}', "line 1, column 13", "not UTF-8"),
    ("zero-bytes", b"\x00" * 64, "line 1, column 1", "zero bytes"),
    ("zero-in-text", _swapped("Full site", "Full\x00"), "line 5, column 18", "control character"),
    ("control-escaped", _swapped("Full site", "Full\\u0000"), "design.name", "control character"),
    ("not-an-object", b"[]", "", "is no site"),
    ("a-number", b"7", "", "is no site"),
    ("null", b"null", "", "is no site"),
    ("no-format", b'{"version": 1}', "format", "is missing"),
    ("other-format", _set("format", "drawing"), "format", "'drawing' is given"),
    ("no-version", b'{"format": "survey-site"}', "version", "is missing"),
    ("newer-version", _set("version", 2), "version", "made by a newer version"),
    ("version-zero", _set("version", 0), "version", "the whole number 1"),
    ("blank-name", _set("design.name", " \u202e\u200b"), "design.name", "nothing in it can be read"),
    ("version-text", _set("version", "1"), "version", "'1' is given"),
    ("version-true", _set("version", True), "version", "true is given"),
    ("version-fraction", _set("version", 1.0), "version", "1.0 is given"),
    ("deep", _deep(30), "line 5, column ", "more than 24 deep"),
    ("very-deep", b'{"format":' + b"[" * 5_000_000, "line 1, column ", "more than 24 deep"),
    ("very-deep-objects", b'{"a":' * 100_000, "line 1, column ", "more than 24 deep"),
    ("key-twice", _swapped('"name": "Full site"', '"name": "A", "name": "B"'), "design.name", "stands twice"),
    (
        "key-twice-in-a-row",
        _swapped('"x_m": 18, "y_m": 0', '"x_m": 18, "y_m": 0, "x_m": 19'),
        "design.structures[0].outline[1].x_m",
        "stands twice",
    ),
    (
        "key-twice-by-escape",
        _swapped('"name": "Full site"', '"name": "A", "n\\u0061me": "B"'),
        "design.name",
        "stands twice",
    ),
    ("design-twice", b'{"format": "survey-site", "version": 1, "design": {}, "design": {}}', "design", "stands twice"),
    (
        "thousand-keys",
        _edited(lambda t: t["design"].update({f"k{n}": 1 for n in range(1000)})),
        "",
        "no record has so many",
    ),
    (
        "not-a-number",
        _swapped('"height_m": 6.5', '"height_m": NaN'),
        "design.structures[1].height_m",
        "NaN is not a number",
    ),
    (
        "infinity",
        _swapped('"height_m": 6.5', '"height_m": Infinity'),
        "design.structures[1].height_m",
        "Infinity is not",
    ),
    (
        "minus-infinity",
        _swapped('"y_m": 12.5', '"y_m": -Infinity'),
        "design.structures[1].position.y_m",
        "-Infinity is",
    ),
    (
        "overflow",
        _swapped('"height_m": 6.5', '"height_m": 1e999'),
        "design.structures[1].height_m",
        "not a finite number",
    ),
    (
        "long-number",
        _swapped('"height_m": 6.5', f'"height_m": {"9" * 5000}'),
        "design.structures[1].height_m",
        "5000 digits",
    ),
    (
        "long-fraction",
        _swapped('"height_m": 6.5', f'"height_m": 6.{"1" * 100}'),
        "design.structures[1].height_m",
        "digits",
    ),
    ("too-high", _set("design.structures.1.height_m", 501), "design.structures[1].height_m", "at most 500 m"),
    ("zero-height", _set("design.structures.1.height_m", 0), "design.structures[1].height_m", "at least 0.01 m"),
    ("off-the-earth", _set("design.plane.anchor.lat_deg", 91), "design.plane.anchor.lat_deg", "at most 90 degree"),
    ("text-for-number", _set("design.mounts.3.height_m", "twelve"), "design.mounts[3].height_m", "'twelve' is text"),
    ("digits-for-number", _set("design.mounts.3.height_m", "12"), "design.mounts[3].height_m", "'12' is text"),
    ("true-for-number", _set("design.mounts.3.height_m", True), "design.mounts[3].height_m", "true is given"),
    ("null-for-number", _set("design.mounts.3.height_m", None), "design.mounts[3].height_m", "null is given"),
    ("list-for-number", _set("design.mounts.3.height_m", [4]), "design.mounts[3].height_m", "a list is given"),
    ("number-for-text", _set("design.name", 5), "design.name", "5 is a number, text is needed"),
    ("one-for-true", _set("design.structures.2.guyed", 1), "design.structures[2].guyed", "true or false is needed"),
    ("fraction-for-whole", _set("design.radios.0.channel", 100.5), "design.radios[0].channel", "whole number"),
    ("object-for-list", _set("design.mounts", {}), "design.mounts", "a list is needed"),
    ("text-for-row", _set("design.mounts.0", "wall"), "design.mounts[0]", "an object with"),
    ("unknown-kind", _set("design.structures.0.kind", "castle"), "design.structures[0]", "'castle' is not known"),
    (
        "no-kind",
        _edited(lambda t: t["design"]["structures"][0].pop("kind")),
        "design.structures[0]",
        "'kind' is missing",
    ),
    ("kind-list", _set("design.structures.0.kind", ["pole"]), "design.structures[0]", "kind"),
    ("unknown-choice", _set("design.radios.0.role", "master"), "design.radios[0].role", "access_point, station"),
    ("unknown-key", _set("design.mounts.0.hight_m", 3), "design.mounts[0].hight_m", "did you mean 'height_m'"),
    ("key-that-paints", _set("design.mounts.0.\x1b[31mx\n", 3), 'design.mounts[0]."\\u001b[31mx\\n"', "no such field"),
    ("key-twice-that-paints", b'{"\\u001b": 1, "\\u001b": 1, "format": "survey-site"}', "version", "is missing"),
    ("long-key", _set("design.mounts.0." + "k" * 1_000_000, 3), "design.mounts[0]." + "k" * 40 + "…", "no such field"),
    ("unknown-key-at-top", _set("desing", {}), "desing", "did you mean 'design'"),
    ("dunder-key", _set("design.mounts.0.__class__", "x"), "design.mounts[0].__class__", "no such field"),
    ("missing-design", b'{"format": "survey-site", "version": 1}', "design", "is missing"),
    ("missing-field", _edited(lambda t: t["design"]["hops"][0].pop("station")), "design.hops[0].station", "is missing"),
    (
        "half-a-position",
        _set("design.notes.0.position", {"lat_deg": 3}),
        "design.notes[0].position.lon_deg",
        "is missing",
    ),
    (
        "mixed-position",
        _set("design.notes.0.position", {"lat_deg": 3, "lon_deg": 4, "x_m": 5}),
        "design.notes[0].position.x_m",
        "no such field",
    ),
    (
        "two-corners",
        _set("design.zones.0.outline", [{"x_m": 0, "y_m": 0}] * 2),
        "design.zones[0].outline",
        "at least 3",
    ),
    ("date-as-number", _set("design.as_of", 20261201), "design.as_of", "a date such as '2026-12-01'"),
    ("date-as-seconds", _set("design.as_of", "1796083200"), "design.as_of", "is not a date"),
    ("date-that-never-was", _set("design.as_of", "2026-02-30"), "design.as_of", "is not a date"),
    ("date-other-way", _set("design.as_of", "01.12.2026"), "design.as_of", "is not a date"),
    ("moment-without-offset", _set("evidence.sights.0.at", "2026-12-01T09:30:00"), "evidence.sights[0].at", "offset"),
    ("long-name", _set("design.name", "x" * 10_000_000), "design.name", "10000000 characters"),
    ("two-line-name", _set("design.name", "a\nb"), "design.name", "line break"),
    ("id-with-space", _set("design.notes.0.id", "a b"), "design.notes[0].id", "is not an id"),
    ("id-with-line-end", _set("design.notes.0.id", "note\n"), "design.notes[0].id", "is not an id"),
    ("id-empty", _set("design.notes.0.id", ""), "design.notes[0].id", "is not an id"),
    ("id-in-other-script", _set("design.notes.0.id", "nоte"), "design.notes[0].id", "is not an id"),
    ("id-twice", _set("design.notes.0.id", "photo"), "design.photographs[0].id", "already that of design.notes[0]"),
    ("id-twice-in-a-list", _set("design.mounts.1.id", "wall-mount"), "design.mounts[1].id", "already that of"),
    ("gear-id-twice", _set("design.gear.1.id", "panel"), "design.gear[1].id", "already that of design.gear[0]"),
    (
        "dangling",
        _set("design.radios.1.mount", "no-mount"),
        "design.radios[1].mount",
        "nothing here has the id 'no-mount'",
    ),
    (
        "wrong-kind",
        _set("design.radios.1.mount", "office"),
        "design.radios[1].mount",
        "'office' is a building, a mount",
    ),
    ("wrong-role", _set("design.hops.0.access_point", "st-2"), "design.hops[0].access_point", "'st-2' is a station"),
    ("wrong-gear", _set("design.radios.1.gear", "eye"), "design.radios[1].gear", "'eye' is a camera type"),
    ("gear-for-thing", _set("design.wires.0.a.thing", "panel"), "design.wires[0].a.thing", "nothing here has the id"),
    ("edge-beyond", _set("design.mounts.0.place.edge", 4), "design.mounts[0].place.edge", "edges 0 to 3, not 4"),
    ("edge-on-pole", _set("design.mounts.0.structure", "gate-pole"), "design.mounts[0].place", "needs a building"),
    ("pole-on-building", _set("design.mounts.1.structure", "office"), "design.mounts[1].place", "needs a pole or mast"),
    (
        "station-in-two-hops",
        _edited(lambda t: t["design"]["hops"].append({"id": "h2", "access_point": "ap", "station": "st"})),
        "design.hops[1].station",
        "already in hop 'hop'",
    ),
    (
        "path-up",
        _set("design.photographs.0.file", "../../etc/passwd"),
        "design.photographs[0].file",
        "leaves the folder",
    ),
    (
        "path-up-inside",
        _set("design.photographs.0.file", "a/../../b"),
        "design.photographs[0].file",
        "leaves the folder",
    ),
    ("path-absolute", _set("design.photographs.0.file", "/etc/passwd"), "design.photographs[0].file", "absolute path"),
    ("path-drive", _set("design.photographs.0.file", "C:x.jpg"), "design.photographs[0].file", "colon"),
    ("path-backslash", _set("design.mounts.0.photo", "..\\x.jpg"), "design.mounts[0].photo", "backslash"),
    ("path-share", _set("design.mounts.0.photo", "\\\\host\\share\\x"), "design.mounts[0].photo", "backslash"),
    ("path-share-slashes", _set("design.mounts.0.photo", "//host/share/x"), "design.mounts[0].photo", "absolute path"),
    ("path-reserved", _set("evidence.sights.0.photo", "CON.jpg"), "evidence.sights[0].photo", "reserved name"),
    (
        "path-reserved-folder",
        _set("evidence.sights.0.photo", "a/nul/b.jpg"),
        "evidence.sights[0].photo",
        "reserved name",
    ),
    ("path-stream", _set("evidence.walk_notes.1.photo", "a.jpg:b"), "evidence.walk_notes[1].photo", "colon"),
    ("path-dot-end", _set("design.photographs.0.file", "a.jpg."), "design.photographs[0].file", "dot"),
    ("path-case", _set("design.mounts.0.photo", "GATE/west.jpg"), "design.mounts[0].photo", "upper and lower case"),
    ("file-empty", _set("design.photographs.0.file", ""), "design.photographs[0].file", "empty"),
]


@pytest.mark.parametrize(("data", "place", "words"), [case[1:] for case in CASES], ids=[case[0] for case in CASES])
def test_hostile_file_is_refused_with_one_sentence_that_names_the_place(data: bytes, place: str, words: str) -> None:
    with pytest.raises(InputError) as error:
        site_from_bytes(data, "site.json")
    sentence = str(error.value)
    assert error.value.exit_status == 3
    assert error.value.faults
    assert place in {fault.place for fault in error.value.faults} or sentence.startswith(f"site.json, {place}")
    assert words in " ".join(fault.sentence for fault in error.value.faults) + sentence
    assert "\n" not in sentence
    assert sentence.endswith(".")
    assert len(sentence) < 400
    for foreign in ("pydantic", "Traceback", "Input should", "object at 0x", "ValidationError"):
        assert foreign not in sentence


def test_hostile_files_are_at_least_sixty() -> None:
    assert len({case[1] for case in CASES}) == len(CASES) >= 60


def test_file_that_is_too_large_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(json_text_module, "MOST_BYTES", 1000)
    with pytest.raises(FileFaultsError, match="larger than"):
        site_from_bytes(GOOD, "site.json")


def test_file_with_too_many_values_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(json_text_module, "MOST_VALUES", 100)
    with pytest.raises(FileFaultsError, match="more than 100 values"):
        site_from_bytes(GOOD, "site.json")


HEAD = '{"format": "survey-site", "version": 1, "design": {"name": "x", "as_of": "2026-12-01", '


@pytest.mark.parametrize(
    ("data", "place"),
    [
        (f'{HEAD}"structures": [{",".join(["1"] * 300_000)}]}}}}', "design.structures"),
        (f'{HEAD}"structures": [{",".join(["1"] * 15_000)}]}}}}', "design.structures[0]"),
        (
            f'{HEAD}"structures": [{{"id": "a", "kind": "building", "outline": [{",".join(["1"] * 300_000)}]}}]}}}}',
            "design.structures[0]",
        ),
        (f'{HEAD}"revision": [{",".join(["1"] * 300_000)}]}}}}', "design.revision"),
        (f'{HEAD}"mounts": [{",".join(["{}"] * 19_000)}]}}}}', "design.mounts[0].id"),
    ],
    ids=["long-list", "many-rows", "huge-row", "list-for-text", "empty-rows"],
)
def test_file_with_very_many_faults_reports_the_first_thousand(data: str, place: str) -> None:
    with pytest.raises(FileFaultsError) as error:
        site_from_bytes(data.encode(), "site.json")
    assert error.value.faults[0].place == place
    assert len(error.value.faults) <= 1000


def test_secret_values_are_not_the_only_ones_shortened_in_messages() -> None:
    with pytest.raises(FileFaultsError) as error:
        site_from_bytes(_set("design.mounts.3.height_m", "\u202e\x1b[31m" + "x" * 500), "site.json")
    sentence = str(error.value)
    assert sentence.isprintable()
    assert len(sentence) < 200
