"""The whole set: all files or a clear sentence, nothing issued is lost, the same bytes on any day, no secret in any."""

from __future__ import annotations

import io
import zipfile
from functools import cache

import pytest

from survey_app.errors import OutputError
from survey_app.paper.paper_set import PAPER_FILES, paper_files, revision_folder, write_paper_set
from survey_app.site.secrets import Secret, Secrets, write_secrets
from tests.paper.demo_site import demo
from tests.paper.page_text import page_count, words_of
from tests.paper.sample_site import sample_assessment, sample_site

NAMES = [
    "cover.pdf", "mounting-sheets.pdf", "bench-sheets.pdf", "hop-schedule.pdf", "hop-schedule.csv", "network.pdf", "tally.pdf", "tally.xlsx", "tally.csv",
]  # fmt: skip


def small():
    """A site of two radios: what is about files and folders needs no more."""
    site = sample_site()
    return site, sample_assessment(site)


@cache
def of_the_boatyard():
    return paper_files(*demo("boatyard"))


def test_set_is_complete_and_lies_in_the_folder_of_its_revision(tmp_path):
    site, assessment = demo("boatyard")
    folder = revision_folder(tmp_path, assessment.revision)
    files = write_paper_set(site, assessment, folder)
    assert [file.name for file in files] == NAMES == list(PAPER_FILES)
    assert folder == tmp_path / "paper" / "A"
    assert sorted(path.name for path in folder.iterdir()) == sorted(NAMES)
    assert all(file.stat().st_size > 200 for file in files)


def test_every_page_of_the_set_has_revision_and_checksum():
    _, assessment = demo("boatyard")
    for name, data in of_the_boatyard().items():
        if not name.endswith(".pdf"):
            continue
        for page in range(page_count(data)):
            words = words_of(data, page)
            assert assessment.checksum in words, (name, page)
            assert "REV." in words, (name, page)


def test_writing_again_changes_nothing_and_another_design_is_refused(tmp_path):
    site, assessment = small()
    files = write_paper_set(site, assessment, tmp_path / "A")
    before = [(file.read_bytes(), file.stat().st_mtime_ns) for file in files]
    assert write_paper_set(site, assessment, tmp_path / "A") == files
    changed = assessment.model_copy(update={"checksum": "0000 0000 0000"})
    with pytest.raises(OutputError, match="revision C was issued here and differs") as error:
        write_paper_set(site, changed, tmp_path / "A")
    assert error.value.exit_status == 73
    assert [(file.read_bytes(), file.stat().st_mtime_ns) for file in files] == before


def test_set_that_was_interrupted_is_completed(tmp_path):
    site, assessment = small()
    files = write_paper_set(site, assessment, tmp_path / "A")
    whole = [file.read_bytes() for file in files]
    files[3].unlink()
    write_paper_set(site, assessment, tmp_path / "A")
    assert [file.read_bytes() for file in files] == whole


def test_set_that_is_called_off_half_way_writes_nothing(tmp_path):
    site, assessment = small()
    told = []

    def progress(done, whole):
        told.append((done, whole))
        if done == 3:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        write_paper_set(site, assessment, tmp_path / "A", progress=progress)
    assert told == [(n, len(NAMES)) for n in range(4)]
    assert not (tmp_path / "A").exists()


def test_folder_that_cannot_be_made_is_refused_with_a_sentence(tmp_path):
    (tmp_path / "paper").write_text("a file stands where the folder should")
    with pytest.raises(OutputError, match="cannot be"):
        write_paper_set(*small(), tmp_path / "paper" / "A")


def test_bytes_are_the_same_on_another_day(monkeypatch):
    import time

    site, assessment = demo("boatyard")
    first = of_the_boatyard()
    later = time.time() + 40.0 * 86400.0
    monkeypatch.setattr(time, "time", lambda: later)
    monkeypatch.setattr(time, "localtime", lambda *_: time.gmtime(later))
    assert paper_files(site, assessment) == first


def test_units_and_paper_can_be_asked_for_without_touching_the_site():
    site, assessment = demo("mill", "metric")
    files = paper_files(site, assessment, "letter", "feet")
    assert b"distance ft" in files["hop-schedule.csv"]
    assert b"distance ft" not in paper_files(site, assessment)["hop-schedule.csv"]
    import pypdfium2

    width, height = pypdfium2.PdfDocument(files["cover.pdf"])[0].get_size()
    assert (round(width), round(height)) == (612, 792)
    assert site.design.units == "metric"


def test_no_secret_of_the_site_reaches_its_paper(tmp_path):
    site, assessment = small()
    planted = "Correct-Horse-7"
    write_secrets(Secrets(rows=(Secret(of="S1", pass_phrase=planted, login=planted, password=planted),)), tmp_path)
    for file in write_paper_set(site, assessment, revision_folder(tmp_path, "A")):
        data = file.read_bytes()
        assert planted.encode() not in data
        if file.suffix == ".pdf":
            assert all(planted not in words_of(data, page) for page in range(page_count(data)))
        if file.suffix == ".xlsx":
            with zipfile.ZipFile(io.BytesIO(data)) as packed:
                assert all(planted.encode() not in packed.read(name) for name in packed.namelist())
