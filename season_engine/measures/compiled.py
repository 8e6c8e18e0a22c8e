"""Functions turned into machine code by numba, whose import alone takes a third of a second.

It comes with the extra `fast` only: raises GrowerError on import where it is missing.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from season_engine.errors import GrowerError

try:
    from numba import njit
except ModuleNotFoundError:
    raise GrowerError(
        "many sites at once are worked out by numba, which is not installed here.",
        hint='Install it beside the program, or the program anew with its extra "fast": in its folder, '
        'pipx install --force ".[fast]" or uv tool install --reinstall ".[fast]".',
    ) from None

Function = TypeVar("Function", bound=Callable[..., Any])


def compiled(function: Function) -> Function:
    """Compile on the first call and keep the code beside the byte code, or in the user's cache.

    Multiplying and adding may be done in one step: the last digit may differ from NumPy's, but never between
    two runs, batches or orders on one machine.
    """
    return _compiled(function, fastmath={"contract"})


def compiled_as_written(function: Function) -> Function:
    """The same, with every operation rounded as NumPy does it."""
    return _compiled(function, fastmath=False)


def _compiled(function: Function, **options: Any) -> Function:
    try:
        made: Function = njit(function, cache=True, error_model="numpy", **options)
    except RuntimeError:  # nowhere to write: compile in each process
        made = njit(function, error_model="numpy", **options)
    return made
