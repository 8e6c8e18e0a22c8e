"""Whether a site's temperatures are good enough to say anything from."""

from __future__ import annotations

import datetime as dt

from season_engine.errors import TooLittleWeatherError
from season_engine.site import Season, Site
from season_engine.weather.notices import OldReadings, SourceSilent
from season_engine.weather.quality.readings import runs
from season_engine.weather.series import Weather
from season_engine.weather.shares import shares

FEWEST_SEASONS = 5
MOST_FILLED_SHARE = 0.10
FEW_DAYS = 3  # filled days that never spoil a season, however young it is
REFUSED_AGE_DAYS = 60
WARNED_AGE_DAYS = 7
RUNS_NAMED = 5


def season_coverage(weather: Weather, first_day: dt.date, last_day: dt.date) -> float:
    """Share of the days from `first_day` to `last_day`, both included, that aren't filled; 0..1.

    They were read here or taken from a second source.
    """
    days = (last_day - first_day).days + 1
    if days < 1:
        raise ValueError("the last day is before the first")
    return _covered_days(weather, first_day, last_day) / days


def _covered_days(weather: Weather, first_day: dt.date, last_day: dt.date) -> int:
    start = (first_day - weather.series.first_day).days
    stop = (last_day - weather.series.first_day).days + 1
    return int(weather.covered[max(0, start) : max(0, stop)].sum())


def completeness_by_year(weather: Weather) -> dict[int, float]:
    """Share of each calendar year's days, as far as the record reaches into it, that were observed; 0..1."""
    first, last = weather.series.first_day, weather.series.last_day
    return {
        year: shares(weather, dt.date(year, 1, 1), dt.date(year, 12, 31)).observed
        for year in range(first.year, last.year + 1)
    }


def complete_seasons(weather: Weather, site: Site) -> tuple[Season, ...]:
    """Past seasons that lie whole inside the record, with at most a tenth of their days filled."""
    found = []
    season = site.season_on(weather.series.first_day)
    while (last_day := season.shifted(1).start - dt.timedelta(days=1)) <= weather.data_through:
        inside = season.start >= weather.series.first_day
        if inside and season_coverage(weather, season.start, last_day) >= 1.0 - MOST_FILLED_SHARE:
            found.append(season)
        season = season.shifted(1)
    return tuple(found)


def refuse_if_poor(weather: Weather, site: Site, on: dt.date) -> tuple[OldReadings | SourceSilent, ...]:
    """What to mind about temperatures that will do; TooLittleWeatherError about such that won't."""
    _refuse_short(weather, site)
    _refuse_holes(weather, site, on)
    last, age = weather.data_through, (on - weather.data_through).days
    if age > REFUSED_AGE_DAYS:
        raise TooLittleWeatherError(
            f"{site.name}: the last reading in the {weather.source.name} is of {last.day} {last:%B %Y}, "
            f"{age} days ago; after {REFUSED_AGE_DAYS} nothing can be said.",
            hint=_other_source(weather, "Add newer readings."),
        )
    if age > WARNED_AGE_DAYS:
        return (OldReadings(site.name, weather.source, last, age),)
    own, own_age = weather.last_reading, (on - weather.last_reading).days
    if own_age > WARNED_AGE_DAYS:
        return (SourceSilent(site.name, weather.source, own, own_age, _better(weather, own_age)),)
    return ()


def _better(weather: Weather, own_age: int) -> tuple[str, ...]:
    """Stations to choose where one has long said nothing; another stands in, so it isn't urgent."""
    if weather.station is None or own_age <= REFUSED_AGE_DAYS:
        return ()
    return weather.station.others


def _refuse_short(weather: Weather, site: Site) -> None:
    count = len(complete_seasons(weather, site))
    if count < FEWEST_SEASONS:
        start = site.season_on(weather.data_through).start
        seasons = "1 complete season" if count == 1 else f"{count or 'no'} complete seasons"
        raise TooLittleWeatherError(
            f"{site.name}: the {weather.source.name} holds {seasons}, counted from {start.day} {start:%B}; "
            f"at least {FEWEST_SEASONS} are needed.",
            hint=_other_source(weather, "Add older readings, or take another source."),
        )


def _refuse_holes(weather: Weather, site: Site, on: dt.date) -> None:
    """Refuse too many filled days this season; days after the last reading aren't filled, only late.

    Days taken from a second source don't count as filled.
    """
    season = site.season_on(on)
    first_day, last_day = max(season.start, weather.series.first_day), min(on, weather.data_through)
    days = (last_day - first_day).days + 1
    filled = days - _covered_days(weather, first_day, last_day) if days > 0 else 0
    if filled > FEW_DAYS and filled > MOST_FILLED_SHARE * days:
        raise TooLittleWeatherError(
            f"{site.name}: {filled} of this season's {days} days so far ({filled / days:.0%}) are missing in "
            f"the {weather.source.name}, {_dates(weather, first_day, last_day)}; "
            f"with more than {MOST_FILLED_SHARE:.0%} filled in, its sums mean nothing.",
            hint=_other_source(weather, "Find the missing readings, or take another source."),
        )


def _dates(weather: Weather, first_day: dt.date, last_day: dt.date) -> str:
    """The filled days between two days of the record, the longest runs by name."""
    start, stop = ((day - weather.series.first_day).days for day in (first_day, last_day))
    found = list(runs(~weather.covered[start : stop + 1]))
    longest = sorted(sorted(found, key=lambda run: run[0] - run[1])[:RUNS_NAMED])
    named = [
        " to ".join(dict.fromkeys((first_day + dt.timedelta(days=day)).isoformat() for day in run))
        for run in longest
    ]
    more = len(found) - len(named)
    return ", ".join(named) + (f" and {more} more times" if more else "")


def _other_source(weather: Weather, otherwise: str) -> str:
    """What to do about a poor record: for a station, which could stand in its place."""
    if weather.station is None:
        return otherwise
    others = ", ".join(weather.station.others) or "none is near"
    return f"Take another station: {others}; or use a logger's file."
