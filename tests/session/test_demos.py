"""Demo sites: told in one sentence, copied out whole, never over something."""

from __future__ import annotations

import pytest

from survey_app.errors import OutputError
from survey_app.session.demos import copy_demo, demos
from survey_app.site.file import read_site


def test_every_demo_has_a_sentence_and_can_be_read():
    assert [demo.name for demo in demos()] == ["boatyard", "college", "mill"]
    for demo in demos():
        assert demo.sentence.endswith(".")
        read_site(demo.folder)


def test_copy_is_the_same_site_in_a_folder_of_its_own(tmp_path):
    demo = demos()[0]
    first, second = copy_demo(demo, tmp_path), copy_demo(demo, tmp_path)
    assert first == tmp_path / "boatyard" / "site.json"
    assert second == tmp_path / "boatyard-2" / "site.json"
    assert read_site(first) == read_site(demo.folder)
    assert (tmp_path / "boatyard" / "alternatives" / "cured.json").is_file()
    assert sorted(entry.name for entry in tmp_path.iterdir()) == ["boatyard", "boatyard-2"]


def test_copy_into_what_is_no_folder_is_refused_and_leaves_nothing(tmp_path):
    (tmp_path / "file").write_text("x")
    with pytest.raises(OutputError, match="cannot be copied"):
        copy_demo(demos()[0], tmp_path / "file")
    assert (tmp_path / "file").read_text() == "x"
