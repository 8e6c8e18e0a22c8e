"""A first workspace to edit: it runs as it stands, on invented weather, and says so."""

from __future__ import annotations

import os
from importlib import resources
from pathlib import Path

from season_engine.errors import GrowerError
from season_engine.files import write_whole
from season_engine.workspace.workspace import JOURNAL, SETTINGS, TREES

KEPT_OUT = "# Fetched again when needed.\n*\n!.gitignore\n"


def init_workspace(folder: Path) -> list[Path]:
    """Write season.toml, trees.csv, journal.csv and data_cache/ into `folder`; returns the files written.

    Raises GrowerError, with no file left behind, where one of the three is there already or can't be written.
    """
    contents = _first_files()
    taken = [folder / name for name in contents if os.path.lexists(folder / name)]
    if taken:
        raise GrowerError(
            "This file is there already; nothing was written.",
            hint="Choose an empty folder, or move the file away.",
            file=taken[0],
        )
    ignore = "data_cache/.gitignore"
    if not os.path.lexists(folder / ignore):
        contents[ignore] = KEPT_OUT
    written: list[Path] = []
    try:
        for name, content in contents.items():
            write_whole(folder / name, content)
            written.append(folder / name)
    except (OSError, ValueError) as error:
        for path in written:
            path.unlink(missing_ok=True)
        reason = getattr(error, "strerror", None) or str(error)
        raise GrowerError(f"Nothing can be written here: {reason}.", file=folder) from None
    return written


def _first_files() -> dict[str, str]:
    templates = resources.files("season_engine.workspace") / "first"
    return {name: (templates / name).read_text("utf-8") for name in (SETTINGS, TREES, JOURNAL)}
