"""Where the machine code of kernels is kept for the next start, whether it is there, and who hears that it is made."""

from __future__ import annotations

import contextlib
import functools
import os
import sys
from collections.abc import Callable
from pathlib import Path
from types import FunctionType
from typing import Any

__all__ = ["before_compiling", "compiled", "is_kept", "listened", "tell"]

_MARK = "kept"
_OPTIONS: dict[str, Any] = {"nogil": True, "error_model": "numpy", "no_cfunc_wrapper": True}
_LISTENERS: list[Callable[[], None]] = []


def compiled(function: FunctionType, fingerprint: str) -> Any:
    """Return what the compiler makes of a function, read back later from the folder of its fingerprint."""
    import numba

    compile_: Any = numba.njit
    settings: Any = numba.config  # which the compiler fills while it is imported
    folder = _folder(fingerprint)
    if _can_be_written(folder):
        before = settings.CACHE_DIR
        settings.CACHE_DIR = str(folder)
        try:
            dispatcher = compile_(cache=True, **_OPTIONS)(function)
        except RuntimeError:
            pass  # the compiler finds no source file to follow: nothing can be kept
        else:
            _forgive(dispatcher, folder / _MARK, _stamp(function.__code__.co_filename))
            return dispatcher
        finally:
            settings.CACHE_DIR = before
    return compile_(**_OPTIONS)(function)


def compiled_within(function: FunctionType) -> Any:
    """Return what the compiler makes of a function that only other kernels call: nothing that Python can call."""
    import numba
    from numba.core import types as kinds

    plain: Any = kinds.unliteral

    compile_: Any = numba.njit
    dispatcher = compile_(no_cpython_wrapper=True, **_OPTIONS)(function)
    template = dispatcher.get_call_template

    def of_one_kind(args: Any, kws: Any) -> Any:
        # a count that begins at 0 is tried as the number 0 first, and all would be compiled twice
        return template(tuple(map(plain, args)), {name: plain(one) for name, one in kws.items()})

    dispatcher.get_call_template = of_one_kind
    return dispatcher


def is_kept(function: FunctionType, fingerprint: str) -> bool:
    """Return whether machine code of a function lies ready, without loading the compiler.

    The compiler has the last word: it may still compile again, where the processor is another one.
    """
    try:
        kept = (_folder(fingerprint) / _MARK).read_text(encoding="utf-8")
    except OSError:
        return False
    return kept == _stamp(function.__code__.co_filename)


def _stamp(source: str) -> str:
    """Return what kept code depends on beside the kernel: the compiler leaves it when its source file was touched."""
    try:
        state = Path(source).stat()
    except OSError:
        return "no source"
    return repr((_compiler_version(), sys.version, state.st_mtime_ns, state.st_size))


@functools.cache
def _compiler_version() -> str:
    from importlib.metadata import version

    return version("numba")


def _folder(fingerprint: str) -> Path:
    compiler = sys.modules.get("numba")
    chosen = compiler.config.CACHE_DIR if compiler is not None else os.environ.get("NUMBA_CACHE_DIR", "")
    return (Path(chosen) if chosen else _own_folder()) / fingerprint


def _own_folder() -> Path:
    import platformdirs

    return Path(platformdirs.user_cache_path("survey-app", appauthor=False)) / "kernels"


def _can_be_written(folder: Path) -> bool:
    import tempfile

    try:
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        tempfile.TemporaryFile(dir=folder).close()
    except OSError:
        return False
    return True


def _forgive(dispatcher: Any, mark: Path, stamp: str) -> None:
    """Let code that cannot be kept or read back count as not kept."""
    store = getattr(dispatcher, "_cache", None)
    if hasattr(store, "load_overload") and hasattr(store, "save_overload"):
        dispatcher._cache = _ForgivingStore(store, mark, stamp)


class _ForgivingStore:
    """The compiler's own store of one kernel, whose failures only cost time."""

    def __init__(self, store: Any, mark: Path, stamp: str) -> None:
        self._store = store
        self._mark = mark
        self._stamp = stamp

    def __getattr__(self, name: str) -> Any:
        return getattr(self._store, name)

    def load_overload(self, signature: Any, target: Any) -> Any:
        """Return the kept code for a signature; None where there is none that can be used."""
        try:
            found = self._store.load_overload(signature, target)
        except Exception:  # a damaged file can raise anything while it is unpickled
            found = None
            with contextlib.suppress(Exception):
                self._store.flush()
        # Two programs that keep code at the same moment may swap their files.
        fits = found is not None and tuple(found.signature.args) == tuple(getattr(signature, "args", signature))
        if not fits:
            with contextlib.suppress(OSError):
                self._mark.unlink(missing_ok=True)
        return found if fits else None

    def save_overload(self, signature: Any, result: Any) -> None:
        """Keep the code where that is possible."""
        with contextlib.suppress(Exception):
            self._store.save_overload(signature, result)
            self._mark.write_text(self._stamp, encoding="utf-8")


def before_compiling(tell: Callable[[], None] | None) -> None:
    """Have something said once in this process, when first a kernel must be compiled that was not kept.

    Parameters
    ----------
    tell : callable or None
        Called from the thread that compiles, before it does; None = nobody listens.
    """
    _LISTENERS[:] = [] if tell is None else [tell]


def listened() -> bool:
    """Return whether somebody waits to be told."""
    return bool(_LISTENERS)


def tell() -> None:
    """Tell whoever listens, once."""
    while _LISTENERS:
        _LISTENERS.pop()()
