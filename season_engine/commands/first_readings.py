"""A logger's file looked at before a workspace is written for it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from season_engine.errors import GrowerError, WeatherError
from season_engine.files.toml_faults import checked
from season_engine.files.toml_lines import TomlText
from season_engine.site import Site
from season_engine.workspace.settings import LoggerWeather
from season_engine.workspace.sources import weather_source
from season_engine.workspace.start import FirstLogger

if TYPE_CHECKING:
    from season_engine.weather.logger.reading import LoggerRecord

TYPED = "what you typed"
ENDINGS = ("*.csv", "*.txt", "*.tsv", "*.xlsx", "*.ods", "*.json", "*.gz", "*.zip")


def files_named(text: str) -> str:
    """A file or a pattern as it was typed; of a folder all its files of the kind that loggers write."""
    typed = Path(text.strip("\"' ")).expanduser()
    if not typed.is_dir():
        return str(typed)
    ending = next((one for one in ENDINGS if any(typed.glob(one))), None)
    if ending is None:
        raise GrowerError("there is no file of a logger in this folder.", file=typed)
    return str(typed / ending)


def look_at(logger: FirstLogger, site: Site) -> LoggerRecord:
    """What a logger's file says, by the settings that go with it.

    Raises GrowerError for what is wrong with either, for a year of the other hemisphere too.
    """
    from season_engine.weather.hemisphere import refuse_other_hemisphere_of
    from season_engine.weather.sources.logger_file import LoggerFile

    settings = checked(TomlText(TYPED, logger.table), LoggerWeather)
    source = weather_source(settings, Path(), "degC")
    assert isinstance(source, LoggerFile)
    try:
        record = source.readings.readings(site)
    except WeatherError as error:
        raise GrowerError(error.problem, hint=error.hint, file=error.file) from None
    refuse_other_hemisphere_of(record.daily, site, f"logger file {Path(logger.file).name}", "--latitude")
    return record
