"""Libraries that come with the extra `maps` only, imported where they are used."""

from __future__ import annotations

from importlib import import_module
from typing import Any

from season_engine.errors import GrowerError


def of_the_extra(module: str) -> Any:
    """The module of that name; raises GrowerError where its library is missing."""
    library = module.partition(".")[0]
    try:
        return import_module(module)
    except ModuleNotFoundError as missing:
        if (missing.name or "").partition(".")[0] != library:
            raise
        raise GrowerError(
            f"maps need the library {library}, which is not installed here.",
            hint='Install the program anew with its extra "maps": in its folder, '
            'pipx install --force ".[maps]" or uv tool install --reinstall ".[maps]".',
        ) from None
