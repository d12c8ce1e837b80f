from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

import pytest

from survey_app.errors import InputError
from survey_app.gear.catalogue import load_catalogue
from survey_app.gear.reading import read_catalogue_file

P16: dict[str, Any] = json.loads(load_catalogue().find("bowline-p16").model_dump_json())


def file_with(folder: Path, *items: Any, **top: Any) -> Path:
    path = folder / "own.json"
    path.write_text(json.dumps({"format": "survey-gear", "version": 1, "items": list(items)} | top), encoding="utf-8")
    return path


def changed(**fields: Any) -> dict[str, Any]:
    entry: dict[str, Any] = json.loads(json.dumps(P16))
    for path, value in fields.items():
        *way, last = path.split("__")
        inner: Any = entry
        for part in way:
            inner = inner[int(part) if part.isdigit() else part]
        inner[int(last) if last.isdigit() else last] = value
    return entry


def without(field: str) -> dict[str, Any]:
    return {key: value for key, value in P16.items() if key != field}


def test_a_right_file_is_read_as_it_stands(tmp_path: Path) -> None:
    (item,) = read_catalogue_file(file_with(tmp_path, P16))
    assert json.loads(item.model_dump_json()) == P16


# entry, then the words that the one sentence must hold: the field, what is wrong, what is allowed
WRONG: list[tuple[Any, list[str]]] = [
    (changed(pattern__gain_dbi=99.0), ["pattern.gain_dbi", "99", "at most 60"]),
    (changed(pattern__azimuth_beamwidth_deg=0.0), ["pattern.azimuth_beamwidth_deg", "0", "at least 0.1 degree"]),
    (changed(watts_w="8"), ["watts_w", "'8' is text", "number in watts"]),
    (changed(watts_w=True), ["watts_w", "true", "number in watts"]),
    (changed(mode="b"), ["mode", "'b'", "n, ac, ax"]),
    (changed(power_per_mcs_dbm__3="a lot"), ["power_per_mcs_dbm[3]", "a lot", "number"]),
    (changed(power_inputs__0__scheme="magic"), ["power_inputs[0].scheme", "magic", "802.3af"]),
    (changed(widths_mhz=[]), ["widths_mhz", "at least 1"]),
    (changed(acir_db=[1.0, 2.0, 3.0, 4.0]), ["acir_db", "at most 3"]),
    (changed(id="Bowline P16"), ["entry 1 ('Bowline P16'), id", "small letters"]),
    (changed(gain_dbi=16.0), ["gain_dbi", "no such field"]),
    (changed(wats_w=8.0), ["wats_w", "no such field", "did you mean 'watts_w'"]),
    (without("watts_w"), ["watts_w", "is missing"]),
    (without("kind"), ["'kind' is missing", "radio", "sundry"]),
    (changed(kind="laser"), ["'laser' is not known", "radio", "sundry"]),
    (["radio"], ["entry 1", "a list"]),
]


@pytest.mark.parametrize(("entry", "words"), WRONG, ids=[" ".join(words)[:40] for _, words in WRONG])
def test_a_wrong_entry_gets_one_sentence_with_place_and_what_is_allowed(
    tmp_path: Path, entry: Any, words: list[str]
) -> None:
    with pytest.raises(InputError) as caught:
        read_catalogue_file(file_with(tmp_path, entry))
    sentence = str(caught.value)
    for word in ("own.json, entry 1", *words):
        assert word in sentence
    assert "\n" not in sentence
    assert sentence.endswith(".")
    assert len(sentence) < 400
    assert caught.value.exit_status == 3


def test_further_faults_of_an_entry_are_counted(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="the first of 3 faults"):
        read_catalogue_file(file_with(tmp_path, changed(watts_w=-1.0, pattern__gain_dbi=99.0, mode="b")))


def test_the_second_entry_is_the_one_that_is_named(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"entry 2 \('bowline-p16'\), watts_w"):
        read_catalogue_file(file_with(tmp_path, changed(id="other"), changed(watts_w=-1.0)))


def test_an_id_twice_in_one_file_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"entry 2 \('bowline-p16'\), id: the id .* is already that of entry 1"):
        read_catalogue_file(file_with(tmp_path, P16, P16))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "is empty"),
        ("[1, 2]", "object"),
        ("{", "line 1"),
        ('{"format": "survey-site", "version": 1, "items": []}', "format"),
        ('{"version": 1, "items": []}', "format: is missing"),
        ('{"format": "survey-gear", "version": 2, "items": []}', "version: 2"),
        ('{"format": "survey-gear", "version": true, "items": []}', "version: true"),
        ('{"format": "survey-gear", "version": 1, "items": [], "more": 1}', "more: no such field"),
        ('{"format": "survey-gear", "version": 1, "items": {}}', "items: an object is given, a list is needed"),
        ('{"format": "survey-gear", "format": "survey-gear", "version": 1, "items": []}', "stands twice"),
        ('{"format": "survey-gear", "version": NaN, "items": []}', "NaN is not a number"),
        ('{"format": "survey-gear", "version": 1, "items": [' + "[" * 90 + "]" * 90 + "]}", "deep"),
        ("[" * 100_000 + "]" * 100_000, "deep"),
    ],
)
def test_a_file_that_is_no_catalogue_gets_one_sentence(tmp_path: Path, text: str, words: str) -> None:
    path = tmp_path / "own.json"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as caught:
        read_catalogue_file(path)
    assert words in str(caught.value)
    assert str(caught.value).startswith("own.json")


def test_a_file_that_is_not_utf_8_says_where(tmp_path: Path) -> None:
    path = tmp_path / "own.json"
    path.write_bytes(b'{"format": "\xff"}')
    with pytest.raises(InputError, match="0xFF is not UTF-8"):
        read_catalogue_file(path)


def test_a_huge_file_is_refused_before_it_is_read(tmp_path: Path) -> None:
    path = tmp_path / "own.json"
    path.write_bytes(b" " * (4 * 2**20 + 1))
    with pytest.raises(InputError, match="larger than 4 MiB"):
        read_catalogue_file(path)


def test_a_folder_in_the_place_of_a_file_is_no_traceback(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="cannot be read"):
        read_catalogue_file(tmp_path / "missing.json")


def test_numbers_too_large_for_a_double_are_refused(tmp_path: Path) -> None:
    path = tmp_path / "own.json"
    path.write_text(
        json.dumps({"format": "survey-gear", "version": 1, "items": [P16]}).replace("8.0", "1e999", 1), encoding="utf-8"
    )
    with pytest.raises(InputError):
        read_catalogue_file(path)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes here")
def test_pipe_in_the_place_of_a_catalogue_is_refused_and_not_waited_for(tmp_path: Path) -> None:
    pipe = tmp_path / "own.json"
    os.mkfifo(pipe)
    with pytest.raises(InputError, match="is not a file"):
        read_catalogue_file(pipe)
