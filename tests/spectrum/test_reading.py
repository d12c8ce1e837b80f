"""A region file is read strictly: every fault is one sentence that names file, row and field."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from survey_app.data import shared_folder
from survey_app.errors import InputError
from survey_app.spectrum import read_region

SOURCE = (shared_folder() / "spectrum" / "uk.json").read_text(encoding="utf-8")
PLACE = "mine.json, row uk.5470, field "

Content = dict[str, Any]


def _written(folder: Path, change: Callable[[Content], object]) -> Path:
    content = json.loads(SOURCE)
    change(content)
    path = folder / "mine.json"
    path.write_text(json.dumps(content), encoding="utf-8")
    return path


def _row(content: Content) -> Content:
    row: Content = content["rows"][2]
    assert row["id"] == "uk.5470"
    return row


FAULTS: list[tuple[str, Callable[[Content], object], str, str]] = [
    ("unknown", lambda c: _row(c).update(colour="red"), PLACE + "colour: ", "allowed here: id, low_mhz"),
    ("unknown-deep", lambda c: _row(c)["radar"].update(x=1), PLACE + "radar.x: ", "allowed here: check_s"),
    ("missing", lambda c: _row(c).pop("document"), PLACE + "document: the field is missing", "The document"),
    (
        "missing-deep",
        lambda c: _row(c)["radar"]["longer"][0].pop("check_s"),
        PLACE + "radar.longer[0].check_s: the field is missing",
        "(from 0 to 86400 s)",
    ),
    ("text", lambda c: _row(c)["limits"].update(eirp_dbm="30"), PLACE + "limits.eirp_dbm: ", "(from -60 to 90 dBm)"),
    ("bool", lambda c: _row(c)["limits"].update(eirp_dbm=True), PLACE + "limits.eirp_dbm: ", "number"),
    ("range", lambda c: _row(c)["limits"].update(eirp_dbm=300), PLACE + "limits.eirp_dbm: ", "(from -60 to 90 dBm)"),
    ("word", lambda c: _row(c).update(place="roof"), PLACE + "place: ", "'indoor', 'outdoor' or 'both'"),
    ("list", lambda c: _row(c).update(topologies=["hub"]), PLACE + "topologies[0]: ", "multipoint_hub"),
    ("empty", lambda c: _row(c).update(topologies=[]), PLACE + "topologies: ", "at least 1"),
    ("truth", lambda c: _row(c).update(verified="true"), PLACE + "verified: ", "true or false"),
    ("date", lambda c: _row(c).update(date="May"), PLACE + "date: ", "year-month"),
    ("width", lambda c: _row(c)["channels"][0].update(width_mhz=25), PLACE + "channels[0].width_mhz: ", "20, 40, 80"),
    ("no-limit", lambda c: _row(c).update(limits={}), PLACE + "limits: ", "at least one of"),
    ("slope", lambda c: _row(c)["limits"].update(backoff_db_per_db=1), PLACE + "limits: ", "needs conducted_dbm"),
    ("edges", lambda c: _row(c).update(low_mhz=6000), "mine.json, row uk.5470: ", "low_mhz must be below"),
    ("stretch", lambda c: _row(c).update(closed_mhz=[[5000, 5100]]), "mine.json, row uk.5470: ", "5000-5100 MHz"),
    ("twice", lambda c: _row(c).update(topologies=["client", "client"]), "mine.json, row uk.5470: ", "twice"),
    (
        "memory",
        lambda c: _row(c).update(provenance="memory"),
        "mine.json, row uk.5470: ",
        "a row from memory cannot be verified",
    ),
    (
        "memory-field",
        lambda c: _row(c).update(from_memory=["power"]),
        "mine.json, row uk.5470: ",
        "'power', which is not a field",
    ),
    (
        "channel-outside",
        lambda c: _row(c)["channels"][0]["channels"].append(149),
        "mine.json, row uk.5470: ",
        "channel 149 at 20 MHz lies outside 5470-5730 MHz",
    ),
    (
        "channels-falling",
        lambda c: _row(c)["channels"][0]["channels"].reverse(),
        PLACE + "channels[0]: ",
        "rising",
    ),
    ("row-twice", lambda c: c["rows"].append(c["rows"][0]), "mine.json: ", "the row id uk.5150 stands there twice"),
    ("no-rows", lambda c: c.pop("rows"), "mine.json, field rows: the field is missing", "rows"),
    ("rows-no-list", lambda c: c.update(rows={}), "mine.json, field rows: ", "array"),
    ("row-no-object", lambda c: c["rows"].__setitem__(0, 5), "mine.json, row 1: ", "object"),
    ("nameless", lambda c: _row(c).pop("id"), "mine.json, row 3, field id: the field is missing", "slug"),
    ("format", lambda c: c.update(format="x"), "mine.json, field format: ", "spectrum-region"),
    ("version", lambda c: c.update(version=2), "mine.json, field version: ", "1"),
    ("country", lambda c: c["countries"][0].update(code="dk"), "mine.json, field countries[0].code: ", "Two capital"),
]


@pytest.mark.parametrize(("name", "change", "start", "part"), FAULTS, ids=[fault[0] for fault in FAULTS])
def test_fault_in_a_row_is_one_sentence_with_its_place(
    tmp_path: Path, name: str, change: Callable[[Content], object], start: str, part: str
) -> None:
    with pytest.raises(InputError) as caught:
        read_region(_written(tmp_path, change))
    sentence = str(caught.value)
    assert sentence.startswith(start)
    assert part in sentence
    assert sentence.endswith(".")
    assert "\n" not in sentence
    assert caught.value.exit_status == 3


@pytest.mark.parametrize(
    ("content", "part"),
    [
        (b'{"a": 1, "a": 2}', "a: this key stands twice"),
        (b'{"rows": [{"low_mhz": NaN}]}', "rows[0].low_mhz: NaN is not a number"),
        (b'{"a": -Infinity}', "-Infinity is not a number"),
        (b"[1", "the file ends in the middle"),
        (b"[]", "does not hold an object"),
        (b"[" * 100_000, "deep"),
        (b'{"a": ' * 30 + b"1" + b"}" * 30, "deep"),
        (b"", "is empty"),
        (b"\xff\xfe\x00{", "UTF-16"),
        (b"{'a': 1}", "line 1, column 2"),
    ],
)
def test_bytes_that_are_no_region_are_refused(tmp_path: Path, content: bytes, part: str) -> None:
    path = tmp_path / "mine.json"
    path.write_bytes(content)
    with pytest.raises(InputError, match=r"^mine\.json") as caught:
        read_region(path)
    assert part in str(caught.value)


def test_number_beyond_all_bounds_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "mine.json"
    path.write_text(SOURCE.replace('"low_mhz": 5150', '"low_mhz": 1e999', 1), encoding="utf-8")
    with pytest.raises(InputError, match="low_mhz"):
        read_region(path)


def test_file_that_is_too_long_is_refused_before_it_is_read(tmp_path: Path) -> None:
    path = tmp_path / "mine.json"
    path.write_text(" " * 2_000_001, encoding="utf-8")
    with pytest.raises(InputError, match="larger than 2 MB"):
        read_region(path)


def test_missing_file_is_an_input_error(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="cannot be opened"):
        read_region(tmp_path / "none.json")


def test_optional_fields_may_be_left_out_and_a_whole_number_is_a_number(tmp_path: Path) -> None:
    region = read_region(_written(tmp_path, lambda c: c["rows"][0].pop("source")))
    assert region.rows[0].source == "OWN"
    assert region.rows[0].closed_mhz == ()
    assert region.rows[0].low_mhz == 5150.0


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes here")
def test_pipe_in_the_place_of_a_region_is_refused_and_not_waited_for(tmp_path: Path) -> None:
    pipe = tmp_path / "xx.json"
    os.mkfifo(pipe)
    with pytest.raises(InputError, match="not a file"):
        read_region(pipe)
    endless = tmp_path / "yy.json"
    endless.symlink_to("/dev/zero")
    with pytest.raises(InputError, match="not a file"):
        read_region(endless)
