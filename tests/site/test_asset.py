"""Names of files inside a site's folder."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.errors import InputError
from survey_app.site import edits
from survey_app.site.asset import asset_path, check_assets, name_fault
from tests.site.full_site import full_site

BAD = [
    "",
    ".",
    "..",
    "../x",
    "a/../x",
    "a/..",
    "./x",
    "a//b",
    "a/",
    "/x",
    "//host/share",
    "C:x",
    "C:/x",
    "c:\\x",
    "..\\x",
    "a\\..\\x",
    "\\\\host\\share\\x",
    "x:stream",
    "CON",
    "con",
    "CON.jpg",
    "con .jpg",
    "aux.tar.gz",
    "a/nul",
    "COM1",
    "lpt9.txt",
    "COM¹",
    "conin$",
    "x.",
    "x ",
    " x",
    "a /b",
    "a./b",
    "x?.jpg",
    "x*.jpg",
    'x".jpg',
    "a<b",
    "a|b",
    "x\x00.jpg",
    "x\n.jpg",
    "x\u202egpj.exe",
    "x" * 201,
    "é" * 101,
]


@pytest.mark.parametrize("name", BAD)
def test_name_when_it_is_not_safe_on_every_system_is_refused(tmp_path: Path, name: str) -> None:
    assert name_fault(name) is not None
    with pytest.raises(InputError) as error:
        asset_path(tmp_path, name)
    assert error.value.exit_status == 3


@pytest.mark.parametrize(
    "name", ["a.jpg", "gate/west 2.jpg", "Mast größer.png", "..x", "a..b", "console.txt", "com10", "مئذنة.jpg"]
)
def test_name_when_it_is_plain_is_a_path_under_assets(tmp_path: Path, name: str) -> None:
    assert asset_path(tmp_path, name) == tmp_path / "assets" / name


@given(st.text(max_size=30))
def test_name_when_it_passes_never_leads_out_of_the_folder(name: str) -> None:
    if name_fault(name) is None:
        folder = Path("/yard/assets")
        assert folder in (folder / name).resolve().parents


def test_path_when_a_link_leads_out_is_refused_and_one_that_stays_is_not(tmp_path: Path) -> None:
    folder = tmp_path / "yard"
    (folder / "assets" / "inside").mkdir(parents=True)
    (tmp_path / "secret.jpg").write_bytes(b"x")
    (folder / "assets" / "out").symlink_to(tmp_path, target_is_directory=True)
    (folder / "assets" / "file.jpg").symlink_to(tmp_path / "secret.jpg")
    (folder / "assets" / "stays").symlink_to(folder / "assets" / "inside", target_is_directory=True)
    for name in ("out/secret.jpg", "out/new.jpg", "file.jpg"):
        with pytest.raises(InputError, match="link that leaves"):
            asset_path(folder, name)
    assert asset_path(folder, "stays/new.jpg").name == "new.jpg"


def test_path_when_the_site_is_reached_by_a_link_itself_is_fine(tmp_path: Path) -> None:
    (tmp_path / "real" / "assets").mkdir(parents=True)
    (tmp_path / "yard").symlink_to(tmp_path / "real", target_is_directory=True)
    assert asset_path(tmp_path / "yard", "a.jpg").name == "a.jpg"


@pytest.mark.parametrize(
    ("there", "asked"), [("West.jpg", "west.jpg"), ("Gate/a.jpg", "gate/a.jpg"), ("e\u0301.jpg", "\u00e9.jpg")]
)
def test_path_when_a_file_differs_only_in_case_or_form_is_refused(tmp_path: Path, there: str, asked: str) -> None:
    file = tmp_path / "assets" / there
    file.parent.mkdir(parents=True)
    file.write_bytes(b"x")
    with pytest.raises(InputError, match="upper and lower case"):
        asset_path(tmp_path, asked)
    assert asset_path(tmp_path, there) == file


def test_file_of_a_plan_picture_is_checked_like_that_of_a_photograph() -> None:
    site = full_site()
    assert check_assets(site) == ()
    bad = edits.change(site, "sheet", file="../sheet.pdf").after
    assert [fault.place for fault in check_assets(bad)] == ["design.plan_pictures[0].file"]
    twice = edits.change(site, "sheet", file="Gate/West.jpg").after
    assert "only in upper and lower case" in check_assets(twice)[0].sentence
