"""Scans from tables: units, separators, decimal commas, missing columns, dates; one sentence each."""

from __future__ import annotations

from pathlib import Path

import pytest

from survey_app.errors import InputError
from survey_app.exchange.scan_table import ScanWishes, import_scans, looks_like_scan
from survey_app.site.evidence import Scan
from tests.plot import one_hop

SITE = one_hop().site()
MOUNT = SITE.design.mounts[0].id
WHOLE = ScanWishes(mount=MOUNT)


def table(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "scan.csv"
    path.write_text(text, encoding="utf-8")
    return path


def one(tmp_path: Path, text: str, wishes: ScanWishes = WHOLE) -> Scan:
    (scan,) = import_scans(table(tmp_path, text), SITE, wishes).scans
    return scan


@pytest.mark.parametrize(
    "text",
    [
        "time,channel,width_mhz,level_dbm,busy_percent\n2026-11-20T12:00+00:00,36,20,-71.5,12.5\n",
        "Time;Channel;Width (MHz);Level (dBm);Busy %\n2026-11-20T13:00+01:00;36;20;-71,5;12,5\n",
        "time\tfreq_mhz\twidth\trssi\tbusy_fraction\n2026-11-20T12:00\t5180\t20\t-71.5\t0.125\n",
        "time,frequency_ghz,bw,level [dBm],load\n2026-11-20T12:00,5.18,20,\N{MINUS SIGN}71.5,12.5%\n",
        '"time","channel","width","level","busy"\n"2026-11-20T12:00","36","20","-71,5","12.5"\n',
    ],
)
def test_the_same_scan_in_many_spellings(tmp_path: Path, text: str) -> None:
    scan = one(tmp_path, text)
    (row,) = scan.rows
    assert (row.channel, row.width_mhz, row.level_dbm) == (36, 20.0, pytest.approx(-71.5))
    assert row.busy_percent == pytest.approx(12.5)
    assert scan.at.isoformat() in ("2026-11-20T12:00:00+00:00", "2026-11-20T13:00:00+01:00")


def test_milliwatts_become_dbm(tmp_path: Path) -> None:
    (row,) = one(tmp_path, "time,channel,level_mw\n2026-11-20T12:00,36,0.0000001\n").rows
    assert row.level_dbm == pytest.approx(-70.0)


def test_lines_of_one_mount_time_and_bearing_are_one_scan(tmp_path: Path) -> None:
    head = "mount,time,antenna,bearing,channel,level,busy\n"
    lines = "".join(
        f"{MOUNT},2026-11-20T12:00,panel,{bearing},{channel},-80,5\n"
        for bearing in (90, 270)
        for channel in (36, 40, 44)
    )
    found = import_scans(table(tmp_path, head + lines), SITE, ScanWishes())
    assert [(scan.bearing_true_deg, len(scan.rows)) for scan in found.scans] == [(90.0, 3), (270.0, 3)]
    assert all("indicative" not in remark for remark in found.remarks)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "no column is named channel or frequency"),
        ("time,channel,busy\n2026-11-20T12:00,36,5\n", "no column is named level"),
        ("channel,level\n36,-80\n", "nothing says when"),
        ("time,channel,level\n", "holds no line below its first"),
        ("time,channel,level\n2026-11-20T12:00,36,0.0002e9\n", "level 200000 lies outside"),
        ("time,channel,level\n2026-11-20T12:00,36,loud\n", "'loud' is no number for level"),
        ("time,channel,level\nyesterday,36,-80\n", "'yesterday' is no time"),
        ("time,freq,level\n2026-11-20T12:00,5181,-80\n", "no channel has its middle at 5181 MHz"),
        ("time,channel,level\n2026-11-20T12:00,36.5,-80\n", "36.5 is no channel"),
        ("time,channel,level,busy\n2026-11-20T12:00,36,-80,140\n", "busy 140 lies outside"),
        ("time,channel,level_mw\n2026-11-20T12:00,36,-80\n", "-80 mw is no power"),
        ("mount,time,channel,level\nnowhere,2026-11-20T12:00,36,-80\n", "the site has no mount 'nowhere'"),
    ],
)
def test_what_is_wrong_is_one_sentence_with_its_line(tmp_path: Path, text: str, words: str) -> None:
    with pytest.raises(InputError) as told:
        import_scans(table(tmp_path, text), SITE, WHOLE)
    assert words in str(told.value)
    assert "scan.csv" in str(told.value)
    assert "\n" not in str(told.value)


def test_age_and_antenna_are_judged(tmp_path: Path) -> None:
    old = import_scans(table(tmp_path, "time,channel,level,antenna\n2020-01-01T12:00,36,-80,phone\n"), SITE, WHOLE)
    assert any("days older than the planned date" in remark for remark in old.remarks)
    assert any("indicative only" in remark for remark in old.remarks)
    assert any("How busy" in remark for remark in old.remarks)


def test_a_table_of_heights_is_no_scan(tmp_path: Path) -> None:
    assert not looks_like_scan(table(tmp_path, "x,y,h\n0,0,1\n"))
    assert looks_like_scan(table(tmp_path, "channel;level\n36;-80\n"))
