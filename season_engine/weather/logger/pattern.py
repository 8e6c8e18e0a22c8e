"""The files that a name, or a pattern such as "logger/*.csv", stands for."""

from __future__ import annotations

from pathlib import Path

from season_engine.errors import WeatherError

_WILD = frozenset("*?[")


def paths_of(folder: Path, file: str) -> list[Path]:
    """The files named from a folder, by name; raises WeatherError where none matches a pattern."""
    whole = folder / file
    if not _WILD & set(file) or whole.exists():
        return [whole]
    pattern = Path(file)
    root = Path(pattern.anchor) if pattern.is_absolute() else folder
    named = str(pattern.relative_to(pattern.anchor))
    try:
        found = sorted(path for path in root.glob(named) if path.is_file())
    except (OSError, ValueError, NotImplementedError):
        found = []
    if not found:
        hint = "Look at file under [site.weather]; it is named from the folder of season.toml."
        raise WeatherError("no file matches this pattern.", hint=hint, file=whole)
    return found
