"""What is asked for in Python, held to the checks that files and the command line have."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from pathlib import Path

from season_engine.errors import GrowerError
from season_engine.files.foreign_values import FIRST_YEAR, LAST_YEAR, year_served
from season_engine.files.text import did_you_mean, read_text, shortened
from season_engine.files.toml_lines import TomlText
from season_engine.site import Site
from season_engine.species.catalogue import Catalogue, load_catalogue
from season_engine.weather.hemisphere import other_hemisphere
from season_engine.weather.series import Weather

Day = dt.date | str  # as text in ISO 8601, 2026-08-10


def as_day(day: Day, name: str = "on") -> dt.date:
    """The date meant, of a year the engine reckons with; a moment is its day. Raises GrowerError."""
    try:
        found = dt.date.fromisoformat(day) if isinstance(day, str) else day
        found = dt.date(found.year, found.month, found.day)
    except (AttributeError, TypeError, ValueError):
        problem = f'"{day}" is not a date.'
        raise GrowerError(problem, hint='Write it as "2026-08-24", or give a date.', field=name) from None
    if not year_served(found.year):
        problem = f"{found} lies outside the years {FIRST_YEAR} to {LAST_YEAR}; only those are reckoned with."
        raise GrowerError(problem, field=name)
    return found


def check_known(name: str, known: Iterable[str], kind: str) -> str:
    """The name, where it is one of those known; else GrowerError, with what may be meant."""
    known = tuple(known)
    if name not in known:
        hint = did_you_mean(name, known) or f"There are {', '.join(known)}."
        raise GrowerError(f'"{shortened(name)}" is not a {kind}.', hint=hint, field=kind)
    return name


def check_site(site: Site) -> None:
    """Raise GrowerError for a place that isn't on the globe."""
    for name, most in (("latitude", 90), ("longitude", 180)):
        value = getattr(site, name)
        if not isinstance(value, int | float) or not abs(value) <= most:  # nor NaN
            hint = 'Latitude comes first: Site("yard", -37.8, 145.0).'
            raise GrowerError(f"{value} does not lie from -{most} to {most}.", hint=hint, field=name)


def check_hemisphere(site: Site, weather: Weather) -> None:
    """Raise GrowerError where the readings are warm in the other hemisphere's summer: a minus is missing."""
    if fault := other_hemisphere(weather, site, "latitude {}"):
        problem, hint = fault
        raise GrowerError(problem, hint=hint, field=site.name)


def catalogue_from(catalogue: Catalogue | Path | str | None) -> Catalogue:
    """The package's catalogue, or one with a grower's file over it; raises GrowerError."""
    if isinstance(catalogue, Catalogue):
        return catalogue
    own = () if catalogue is None else (TomlText(str(catalogue), read_text(Path(catalogue))),)
    return load_catalogue(own)
