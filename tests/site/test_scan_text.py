"""Rows of a scan read from text: what people copy out of tables."""

from __future__ import annotations

import pytest

from survey_app.errors import InputError
from survey_app.site.scan_text import scan_rows_from_text


def plain(text: str) -> list[tuple]:
    return [(r.channel, r.width_mhz, r.level_dbm, r.busy_percent) for r in scan_rows_from_text(text)]


@pytest.mark.parametrize(
    "text",
    [
        "36\t40\t-71\t12\n100\t20\t-64.5\t3",
        "36;40;-71;12 %\n100;20;-64,5;3",
        "36, 40, -71, 12\n100,20,-64.5,3",
        "36 40 −71 dBm 12 %\n\n100 20 MHz -64,5 3",
        "Channel\tWidth MHz\tSignal dBm\tBusy %\n36\t40\t-71\t12\n100\t20\t-64.5\t3",
        "Busy;Level;Channel;Note;Channel width\n12;-71;36;gate;40\n3;-64.5;100;;20",
    ],
)
def test_rows_as_people_copy_them(text):
    assert plain(text) == [(36, 40.0, -71.0, 12.0), (100, 20.0, -64.5, 3.0)]


def test_width_and_busy_may_be_missing():
    assert plain("36 -71") == [(36, 20.0, -71.0, None)]
    assert plain("36;;-71;") == [(36, 20.0, -71.0, None)]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "no figures"),
        ("36 -71\n40 loud", "line 2: 'loud' is no figure for the level"),
        ("36.5 -71", "'36.5' is no channel"),
        ("36 -300", "level_dbm"),
        ("36 20 -71 12 9", "line 1 has 5 figures"),
        ("36;;;5", "the level is missing"),
        ("36 nan", "no figure"),
        ("\n".join(["36 -71"] * 501), "at most 500"),
    ],
)
def test_what_cannot_be_read_is_refused_with_its_line(text, words):
    with pytest.raises(InputError, match=words):
        scan_rows_from_text(text)
