"""Kernels: the same bits as their text, kept between starts, and working where nothing can be kept."""

from __future__ import annotations

import subprocess
import sys
import textwrap
from pathlib import Path

import numpy as np
import pytest

from survey_app.errors import InternalError
from survey_app.physics.kernel_store import before_compiling
from survey_app.physics.kernels import Kernel, NotCompiledError, compiled_only, kernel, needed, prepare

ROOT = Path(__file__).resolve().parents[2]
SCALE = 0.1


@kernel
def scaled(value):
    return value * SCALE


@kernel
def total(values):
    result = 0.0
    for index in range(values.size):
        result += scaled(values[index]) / (index + 1.0)
    return result


@kernel
def endless(value):
    return endless(value) + 1.0


@pytest.fixture
def cache(tmp_path, monkeypatch):
    """The user's cache folder, empty; what the kernels of this module compiled before is forgotten."""
    monkeypatch.setattr("platformdirs.user_cache_path", lambda *_, **__: tmp_path / "cache")
    monkeypatch.setattr("numba.config.CACHE_DIR", "")
    for made in (scaled, total):
        for name, value in (
            ("_compiled", None),
            ("_within", None),
            ("_text", None),
            ("_digest", None),
            ("_kept", False),
            ("_steps", 0.0),
        ):
            monkeypatch.setattr(made, name, value)
    return tmp_path / "cache" / "kernels"


def hits(made: Kernel) -> int:
    return sum(made.compiled().stats.cache_hits.values())


def forget() -> None:
    total._compiled = scaled._within = total._text = total._digest = None
    total._kept = False


VALUES = np.random.default_rng(5).normal(size=1001)


def test_kernel_gives_the_bits_of_its_text(cache):
    # the text calls the inner kernel, which is compiled as well: bits differ if sums were reordered or contracted
    expected = 0.0
    for index, value in enumerate(VALUES.tolist()):
        expected += (value * SCALE) / (index + 1.0)
    assert total(VALUES) == expected


def test_kernel_is_kept_and_read_back(cache):
    first = total(VALUES)
    assert hits(total) == 0
    forget()
    assert total(VALUES) == first
    assert hits(total) == 1


def test_kept_code_lies_in_the_users_own_folder(cache):
    total(VALUES)
    kept = list(cache.rglob("*.nbc"))
    assert len(kept) == 1, "what only another kernel calls is in that one's code"
    assert all((folder.stat().st_mode & 0o077) == 0 for folder in cache.iterdir()) or sys.platform == "win32"


def test_changed_constant_is_not_answered_from_the_cache(cache, monkeypatch):
    before = total(VALUES)
    forget()
    monkeypatch.setitem(globals(), "SCALE", 0.2)
    assert total(VALUES) == pytest.approx(2.0 * before)
    assert hits(total) == 0


def test_damaged_cache_costs_only_time(cache):
    before = total(VALUES)
    for kept in (*cache.rglob("*.nbc"), *cache.rglob("*.nbi")):
        kept.write_bytes(kept.read_bytes()[:40])
    forget()
    assert total(VALUES) == before
    assert hits(total) == 0
    forget()
    assert total(VALUES) == before
    assert hits(total) == 1, "the damaged file was not replaced"


def test_machine_without_a_cache_still_works(cache):
    cache.parent.write_text("a file where the folder should be")
    assert np.isfinite(total(VALUES))
    assert total.compiled().stats.cache_path is None


def test_full_disk_costs_only_time(cache, monkeypatch):
    def full(*_):
        raise OSError(28, "no space left on device")

    monkeypatch.setattr(total.compiled()._cache._store, "save_overload", full)
    assert np.isfinite(total(VALUES))
    assert not [kept for kept in cache.rglob("*.nbc") if "total" in kept.name]


def test_setting_of_the_compiler_is_left_as_it_was(cache, tmp_path, monkeypatch):
    monkeypatch.setattr("numba.config.CACHE_DIR", str(tmp_path / "chosen"))
    total(VALUES)
    import numba

    assert str(tmp_path / "chosen") == numba.config.CACHE_DIR
    assert list((tmp_path / "chosen").rglob("*.nbc")), "a folder that the user chose is used"
    assert not cache.exists()


def test_kernel_that_calls_itself_is_refused():
    with pytest.raises(InternalError, match="calls itself"):
        endless(1.0)


def test_division_by_zero_is_as_in_numpy(cache):
    assert np.isinf(total(np.array([np.inf])))


def test_small_job_runs_the_text_until_something_is_compiled(cache):
    quick = total.sized(10.0)
    assert quick is not total
    assert quick(VALUES) == total(VALUES)
    assert total.sized(10.0) is total, "machine code is there and not used"


def test_large_job_is_compiled(cache):
    assert total.sized(1e9) is total
    assert total.sized(float("nan")) is total


def test_many_small_jobs_are_compiled_in_the_end(cache):
    handed = [total.sized(1000.0) is total for _ in range(1000)]
    assert not handed[0]
    assert handed[-1]


def test_text_divides_by_zero_as_the_machine_does(cache):
    assert np.isinf(total.text()(np.array([np.inf])))


def test_readiness_is_known_from_the_disk(cache):
    assert not total.is_ready()
    total(VALUES)
    assert total.is_ready()
    forget()
    assert total.is_ready(), "what was kept is not seen"
    forget()
    for kept in cache.rglob("kept"):
        kept.write_text("of another compiler")
    assert not total.is_ready()


def test_readiness_follows_a_changed_constant(cache, monkeypatch):
    total(VALUES)
    forget()
    monkeypatch.setitem(globals(), "SCALE", 0.2)
    assert not total.is_ready()


def test_job_is_prepared_and_knows_its_kernels(cache):
    def job():
        total.sized(1.0)(VALUES)

    assert needed(job) == (total,)
    assert not total.is_ready()
    prepare(job)
    assert total.is_ready()
    assert total.sized(1.0) is total


def test_wait_for_the_compiler_is_told_once_and_only_then(cache):
    told = []
    before_compiling(lambda: told.append(1))
    total.sized(1.0)(VALUES)
    assert told == []
    total(VALUES), total(VALUES)
    assert told == [1]
    forget()
    before_compiling(lambda: told.append(2))
    total(VALUES)
    assert told == [1], "what is kept needs no waiting"
    before_compiling(None)


def test_compiler_is_loaded_only_by_the_first_call():
    script = """
        import sys
        from survey_app.physics.kernels import kernel
        @kernel
        def same(value):
            return value
        assert "numba" not in sys.modules
        assert same(2.0) == 2.0
        assert "numba" in sys.modules
    """
    subprocess.run([sys.executable, "-c", textwrap.dedent(script)], check=True, cwd=ROOT)


def test_thread_that_must_not_wait_is_refused_until_another_call_has_compiled(cache):
    with compiled_only(), pytest.raises(NotCompiledError):
        total(VALUES)
    assert not total.is_ready()
    expected = total(VALUES)
    assert total.is_ready()
    with compiled_only():
        assert total(VALUES) == expected
    forget()
    assert total(VALUES) == expected  # outside of it a kernel compiles as ever
