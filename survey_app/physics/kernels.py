"""Kernels: loops compiled to machine code at first use and kept for the next start.

The compiler is loaded when the first kernel is called, so a program that calls none pays nothing. It is told never to
reorder sums or contract products, so that a kernel gives the bits that its Python text gives. A small job therefore
needs no compiler at all: `Kernel.sized` hands out the text itself as long as that is quicker than to compile.

Compiled code is kept in the user's own cache folder, never beside the source and never where others can write, because
reading it back is running it. A folder that cannot be written, a full disk or a damaged file costs only the time to
compile again.
"""

from __future__ import annotations

import contextlib
import functools
import hashlib
import math
import threading
from collections.abc import Callable, Iterator
from contextvars import ContextVar
from types import CodeType, FunctionType, SimpleNamespace
from typing import Any, Generic, ParamSpec, TypeVar, cast

import numpy as np

from survey_app.errors import InternalError
from survey_app.physics import kernel_store

__all__ = ["Kernel", "NotCompiledError", "compiled_only", "kernel", "needed", "prepare"]

P = ParamSpec("P")
R = TypeVar("R")

# One at a time: the folder of compiled code is a setting of the whole compiler.
_BUILDING = threading.RLock()

STEP_S = 1e-5
"""What a caller counts as one step takes the interpreter about so long. [s]"""
_STEPS_OF_A_JOB = 50_000.0  # half a second of the interpreter, where machine code would have to be made
_STEPS_IN_ALL = 200_000.0  # of one kernel in one process: as long as it takes to compile it
_STEPS_IF_KEPT = 10_000.0  # where it need only be read back

_COMPILE_ALL: ContextVar[bool] = ContextVar("compile all", default=False)
_ASKED: ContextVar[dict[Kernel[..., Any], None] | None] = ContextVar("asked", default=None)

# Numbers that behave like the compiler's: dividing by zero is no error.
_MATH = SimpleNamespace(
    sqrt=np.sqrt, copysign=np.copysign, isnan=np.isnan, inf=np.float64(math.inf), nan=np.float64(math.nan)
)


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
        self._within: Any = None
        self._text: Callable[P, R] | None = None
        self._digest: str | None = None
        self._kept = False
        self._steps = 0.0

    def __call__(self, *args: P.args, **kwargs: P.kwargs) -> R:
        if _PATIENCE.refuses and not self._is_loaded():
            raise NotCompiledError(self._function.__name__)
        if not self._is_loaded() and kernel_store.listened() and not self.is_ready():
            kernel_store.tell()
        compiled = self._compiled or self.compiled()
        return compiled(*args, **kwargs)

    def sized(self, steps: float) -> Callable[P, R]:
        """Return what does a job of a given size soonest: the kernel, or its Python text while nothing is compiled.

        Parameters
        ----------
        steps : float
            Upper bound of the job, in steps of `STEP_S` of the interpreter. [1]

        Returns
        -------
        callable
            Gives the same bits either way.
        """
        if _PATIENCE.refuses:
            return self
        asked = _ASKED.get()
        if asked is not None:
            asked[self] = None
            return self.text()
        if _COMPILE_ALL.get() or self._is_loaded() or steps > _STEPS_OF_A_JOB:
            return self
        most = _STEPS_IF_KEPT if self.is_ready() else _STEPS_IN_ALL
        if not self._steps + steps <= most:
            return self
        self._steps += steps
        return self.text()

    def is_ready(self) -> bool:
        """Return whether a call compiles nothing: machine code is loaded, or kept on disk from before."""
        if not self._kept:
            self._digest = self._digest or self.fingerprint()
            self._kept = self._is_loaded() or kernel_store.is_kept(self._function, self._digest)
        return self._kept

    def _is_loaded(self) -> bool:
        return self._compiled is not None and bool(getattr(self._compiled, "overloads", ()))

    def text(self) -> Callable[P, R]:
        """Return the Python text with that of the kernels that it calls; divides by zero as the compiled one does."""
        if self._text is None:
            plain = self._linked(Kernel._plain)

            def text(*args: P.args, **kwargs: P.kwargs) -> R:
                with np.errstate(all="ignore"):
                    return cast(R, plain(*args, **kwargs))

            self._text = text
        return self._text

    def _plain(self) -> FunctionType:
        return self._linked(Kernel._plain)

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
                    self._compiled = kernel_store.compiled(self._linked(Kernel._part), self.fingerprint())
                finally:
                    self._in_work = False
            return self._compiled

    def _part(self) -> Any:
        """Return the form that other kernels link, the same one for all of them."""
        if self._within is None:
            if self._in_work:
                raise InternalError(f"the kernel {self._function.__qualname__} calls itself")
            self._in_work = True
            try:
                self._within = kernel_store.compiled_within(self._linked(Kernel._part))
            finally:
                self._in_work = False
        return self._within

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

    def _linked(self, form: Callable[[Kernel[Any, Any]], Any]) -> FunctionType:
        """Return the function with the kernels that it calls in another form."""
        surroundings = dict(self._function.__globals__)
        for name, value in self._globals().items():
            if isinstance(value, Kernel):
                surroundings[name] = form(value)
            elif value is math and form is Kernel._plain:
                surroundings[name] = _MATH
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


def prepare(*jobs: Callable[[], object]) -> None:
    """Compile, or read back, all that jobs need, by doing them once with nothing left to the interpreter.

    Parameters
    ----------
    *jobs : callable
        Small jobs that reach every kernel that is wanted; from any thread.
    """
    mark = _COMPILE_ALL.set(True)
    try:
        for job in jobs:
            job()
    finally:
        _COMPILE_ALL.reset(mark)


def needed(*jobs: Callable[[], object]) -> tuple[Kernel[..., Any], ...]:
    """Return the kernels that jobs ask for by `Kernel.sized`, each once; the interpreter does the jobs."""
    asked: dict[Kernel[..., Any], None] = {}
    mark = _ASKED.set(asked)
    try:
        for job in jobs:
            job()
    finally:
        _ASKED.reset(mark)
    return tuple(asked)


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
