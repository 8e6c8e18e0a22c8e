"""When each bonsai or other container tree is ready for each heavy job, from local weather.

    from season_engine import Site, read_logger, season

    yard = Site("yard", -37.8, 145.0)
    weather = read_logger("yard.csv", yard)
    season(yard, weather, on="2026-08-10").windows("Acer palmatum").to_frame()

Numbers are in degC; `docs/python.md` leads through all that is here. Each name is loaded when it is used.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from season_engine.errors import GrowerError, WeatherError
    from season_engine.face.reading import demo_weather, read_frame, read_logger, read_station
    from season_engine.face.view import SeasonView, read_workspace, season, season_at
    from season_engine.face.windows import Windows
    from season_engine.face.words import in_words
    from season_engine.note import Note
    from season_engine.site import Site
    from season_engine.tree import Tree
    from season_engine.weather.series import Weather
    from season_engine.windows.assessment import Assessment
    from season_engine.workspace.workspace import Workspace

__all__ = [
    "Assessment",
    "GrowerError",
    "Note",
    "SeasonView",
    "Site",
    "Tree",
    "Weather",
    "WeatherError",
    "Windows",
    "Workspace",
    "demo_weather",
    "in_words",
    "read_frame",
    "read_logger",
    "read_station",
    "read_workspace",
    "season",
    "season_at",
]

_MODULES = {
    "errors": ("GrowerError", "WeatherError"),
    "face.reading": ("demo_weather", "read_frame", "read_logger", "read_station"),
    "face.view": ("SeasonView", "read_workspace", "season", "season_at"),
    "face.windows": ("Windows",),
    "note": ("Note",),
    "face.words": ("in_words",),
    "site": ("Site",),
    "tree": ("Tree",),
    "weather.series": ("Weather",),
    "windows.assessment": ("Assessment",),
    "workspace.workspace": ("Workspace",),
}
_MODULE_OF = {name: module for module, names in _MODULES.items() for name in names}


if not TYPE_CHECKING:  # a checker would take it for leave to name anything

    def __getattr__(name: str) -> Any:
        if name not in _MODULE_OF:
            raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
        return getattr(import_module(f"{__name__}.{_MODULE_OF[name]}"), name)


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
