"""Kernels: loops compiled to machine code at first use and kept for the next start.

The compiler is loaded when the first kernel is called, so a program that calls none pays nothing. It is told never to
reorder sums or contract products, so that a kernel gives the bits that its Python text gives.

Compiled code is kept in the user's own cache folder, never beside the source and never where others can write, because
reading it back is running it. A folder that cannot be written, a full disk or a damaged file costs only the time to
compile again.
"""

from __future__ import annotations

import contextlib
import functools
import hashlib
import tempfile
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from types import CodeType, FunctionType
from typing import Any, Generic, ParamSpec, TypeVar, cast

import numpy as np

from survey_app.errors import InternalError

__all__ = ["Kernel", "NotCompiledError", "compiled_only", "kernel"]

P = ParamSpec("P")
R = TypeVar("R")

# One at a time: the folder of compiled code is a setting of the whole compiler.
_BUILDING = threading.RLock()


class NotCompiledError(Exception):
    """A kernel was called under `compiled_only` and has no machine code yet; nobody but who asked for this sees it."""


class _Patience(threading.local):
    """Whether this thread refuses to wait for the compiler."""

    refuses = False


_PATIENCE = _Patience()


@contextlib.contextmanager
def compiled_only() -> Iterator[None]:
    """Let this thread call kernels only where they have machine code; another one raises `NotCompiledError` at once.

    For a thread that must answer within a frame, while another thread has the kernels compiled by using them.

    Examples
    --------
    >>> @kernel
    ... def half(value):
    ...     return 0.5 * value
    >>> with compiled_only():
    ...     half(3.0)
    Traceback (most recent call last):
    ...
    survey_app.physics.kernels.NotCompiledError: half
    """
    before = _PATIENCE.refuses
    _PATIENCE.refuses = True
    try:
        yield
    finally:
        _PATIENCE.refuses = before


class Kernel(Generic[P, R]):
    """A function that is compiled when it is first called; made by the decorator `kernel`.

    Parameters
    ----------
    function : function of a module
        Its text is what the compiler understands: numbers, arrays, tuples, loops, and other kernels by their plain
        name. It must not call itself.

    Attributes
    ----------
    __wrapped__ : function
        The Python text itself, for tests.
    """

    __wrapped__: Callable[P, R]

    def __init__(self, function: Callable[P, R]) -> None:
        functools.update_wrapper(self, function)
        self._function = cast(FunctionType, function)
        self._compiled: Callable[P, R] | None = None
        self._in_work = False

    def __call__(self, *args: P.args, **kwargs: P.kwargs) -> R:
        if _PATIENCE.refuses and not self.is_ready:
            raise NotCompiledError(self._function.__name__)
        compiled = self._compiled or self.compiled()
        return compiled(*args, **kwargs)

    @property
    def is_ready(self) -> bool:
        """Whether there is machine code, which follows with the first call; callers hand in one kind of arguments."""
        return self._compiled is not None and bool(getattr(self._compiled, "overloads", True))

    def compiled(self) -> Callable[P, R]:
        """Return what the compiler makes of the function; machine code follows per kind of arguments at a call.

        Raises
        ------
        InternalError
            The kernel calls itself, directly or through others.
        """
        with _BUILDING:
            if self._compiled is None:
                if self._in_work:
                    raise InternalError(f"the kernel {self._function.__qualname__} calls itself")
                self._in_work = True
                try:
                    self._compiled = _compiled(self._linked(), self.fingerprint())
                finally:
                    self._in_work = False
            return self._compiled

    def fingerprint(self) -> str:
        """Return a digest of everything that the machine code follows from: text, constants and called kernels.

        Code kept for a kernel is thrown away by the compiler only when the kernel's own file changes; with this in the
        name of the folder it is also left when a constant or a kernel of another file does.
        """
        digest = hashlib.sha256()
        _digest_code(digest, self._function.__code__)
        for name, value in sorted(self._globals().items()):
            digest.update(f"\n{name}=".encode())
            digest.update(_digest_bytes(value))
        return digest.hexdigest()[:16]

    def _globals(self) -> dict[str, Any]:
        names = set(_names(self._function.__code__))
        return {name: value for name, value in self._function.__globals__.items() if name in names}

    def _linked(self) -> FunctionType:
        """Return the function with the kernels that it calls in the form that the compiler links."""
        surroundings = dict(self._function.__globals__)
        for name, value in self._globals().items():
            if isinstance(value, Kernel):
                surroundings[name] = value.compiled()
        old = self._function
        linked = FunctionType(old.__code__, surroundings, old.__name__, old.__defaults__, old.__closure__)
        linked.__kwdefaults__ = old.__kwdefaults__
        linked.__qualname__, linked.__module__ = old.__qualname__, old.__module__
        return linked


def kernel(function: Callable[P, R]) -> Kernel[P, R]:
    """Make a kernel of a function of a module (decorator).

    Parameters
    ----------
    function : function of a module
        See `Kernel`.

    Returns
    -------
    Kernel
        Called like the function. Each kind of arguments is compiled apart, so callers hand in one kind only: contiguous
        arrays of one dtype that may be written (`np.ascontiguousarray` and a copy of read-only ones), plain floats.

    Notes
    -----
    Compiled without fast mathematics, so that sums keep their order; division by zero gives infinity or NaN as in
    numpy; the interpreter's lock is released, so that a window stays alive while a kernel runs on a thread.

    Examples
    --------
    >>> @kernel
    ... def running_sum(values):
    ...     total = 0.0
    ...     for value in values:
    ...         total += value
    ...     return total
    >>> running_sum(np.array([0.5, 1.0, 2.0]))
    3.5
    """
    return Kernel(function)


def _names(code: CodeType) -> Iterator[str]:
    yield from code.co_names
    for constant in code.co_consts:
        if isinstance(constant, CodeType):
            yield from _names(constant)


def _digest_code(digest: Any, code: CodeType) -> None:
    digest.update(code.co_code)
    digest.update(repr((code.co_names, code.co_varnames)).encode())
    for constant in code.co_consts:
        if isinstance(constant, CodeType):
            _digest_code(digest, constant)
        else:
            digest.update(repr(constant).encode())


def _digest_bytes(value: Any) -> bytes:
    if isinstance(value, Kernel):
        return value.fingerprint().encode()
    if isinstance(value, np.ndarray):
        return f"{value.dtype}{value.shape}".encode() + value.tobytes()
    if isinstance(value, (bool, int, float, complex, str, tuple, np.generic)):
        return repr(value).encode()
    return str(getattr(value, "__name__", type(value).__name__)).encode()


def _compiled(function: FunctionType, fingerprint: str) -> Any:
    import numba

    options: dict[str, Any] = {"nogil": True, "error_model": "numpy"}
    settings: Any = numba.config  # which the compiler fills while it is imported
    folder = _cache_folder(settings.CACHE_DIR, fingerprint)
    if folder is not None:
        before = settings.CACHE_DIR
        settings.CACHE_DIR = str(folder)
        try:
            dispatcher = numba.njit(cache=True, **options)(function)
        except RuntimeError:
            pass  # the compiler finds no source file to follow: nothing can be kept
        else:
            _forgive(dispatcher)
            return dispatcher
        finally:
            settings.CACHE_DIR = before
    return numba.njit(**options)(function)


def _cache_folder(chosen: str, fingerprint: str) -> Path | None:
    """Return a folder of the user's own that can be written, or None."""
    import platformdirs

    base = Path(chosen) if chosen else Path(platformdirs.user_cache_path("survey-app", appauthor=False)) / "kernels"
    folder = base / fingerprint
    try:
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        tempfile.TemporaryFile(dir=folder).close()
    except OSError:
        return None
    return folder


def _forgive(dispatcher: Any) -> None:
    """Let code that cannot be kept or read back count as not kept."""
    store = getattr(dispatcher, "_cache", None)
    if hasattr(store, "load_overload") and hasattr(store, "save_overload"):
        dispatcher._cache = _ForgivingStore(store)


class _ForgivingStore:
    """The compiler's own store of one kernel, whose failures only cost time."""

    def __init__(self, store: Any) -> None:
        self._store = store

    def __getattr__(self, name: str) -> Any:
        return getattr(self._store, name)

    def load_overload(self, signature: Any, target: Any) -> Any:
        """Return the kept code for a signature; None where there is none that can be used."""
        try:
            found = self._store.load_overload(signature, target)
        except Exception:  # a damaged file can raise anything while it is unpickled
            with contextlib.suppress(Exception):
                self._store.flush()
            return None
        # Two programs that keep code at the same moment may swap their files.
        fits = found is not None and tuple(found.signature.args) == tuple(getattr(signature, "args", signature))
        return found if fits else None

    def save_overload(self, signature: Any, result: Any) -> None:
        """Keep the code where that is possible."""
        with contextlib.suppress(Exception):
            self._store.save_overload(signature, result)
