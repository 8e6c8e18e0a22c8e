"""A block of sites: their readings checked as `check` does, and their windows judged side by side."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from season_engine.batch.asked import Asked
from season_engine.batch.sources.source import Readings
from season_engine.errors import GrowerError
from season_engine.site import Site
from season_engine.species.schema import Window
from season_engine.traces.block import BlockView, alike
from season_engine.traces.record import Record
from season_engine.weather.checks import check_and_fill
from season_engine.weather.fitness import refuse_if_poor
from season_engine.weather.hemisphere import other_hemisphere
from season_engine.weather.record import known_by
from season_engine.weather.series import Weather
from season_engine.windows.block import Judged, KindAtSites

SITES_TOGETHER = 16  # in one go: more take memory and save little


@dataclass(frozen=True, slots=True)
class Refused:
    """Why nothing can be said of a site; `fault_of_ours`: through no fault of its weather."""

    why: str
    fault_of_ours: bool = False


@dataclass(frozen=True, slots=True)
class SiteSums:
    """What the season has added up to by its last reading."""

    chill_portions: float
    heat_gdh: float


@dataclass(frozen=True, slots=True)
class JudgedWindow:
    """One window of a species at a site."""

    species: str
    window: Window
    judged: Judged


@dataclass(frozen=True, slots=True)
class SiteResult:
    """All that a block tells of a site."""

    site: Site
    sums: SiteSums | None = None
    windows: tuple[JudgedWindow, ...] = ()
    refused: Refused | None = None


@dataclass(frozen=True, slots=True)
class _Fit:
    """A site whose weather is fit to judge by."""

    site: Site
    record: Record
    age_days: int  # of its last reading


def judge_block(sites: Sequence[Site], readings: Iterable[Readings], asked: Asked) -> list[SiteResult]:
    """Every site of a block, in order; one that can't be judged keeps no other from it.

    Raises what reading the sources raises where a file or network fails for now.
    """
    found: dict[str, SiteResult] = {}
    fit: list[tuple[Site, Weather]] = []
    for site, read in zip(sites, readings, strict=True):
        weather = _weather_or_refusal(site, read, asked.on)
        if isinstance(weather, Refused):
            found[site.name] = SiteResult(site, refused=weather)
        else:
            fit.append((site, weather))
    for part in _together(fit, asked.on):
        found |= {one.site.name: one for one in _judged_or_alone(part, asked)}
    return [found[site.name] for site in sites]


def _weather_or_refusal(site: Site, readings: Readings, on: dt.date) -> Weather | Refused:
    try:
        return fit_weather(site, readings, on)
    except GrowerError as error:
        return Refused(str(error))
    except Exception as error:  # one site's trouble is told with it, and stops no other
        return _own_fault(error)


def fit_weather(site: Site, readings: Readings, on: dt.date) -> Weather:
    """A site's temperatures up to a day, checked, filled and fit to judge by; raises as `check` refuses."""
    if isinstance(readings.series, GrowerError):
        raise readings.series
    raw = known_by(readings.series, on, site, readings.origin)
    weather = check_and_fill(raw, source=readings.origin)
    if fault := other_hemisphere(weather, site):
        problem, hint = fault
        raise GrowerError(problem, hint=hint)
    refuse_if_poor(weather, site, on)
    return weather


def _together(fit: Sequence[tuple[Site, Weather]], on: dt.date) -> Iterator[list[_Fit]]:
    """Sites that go side by side, a few at a time."""
    sites = [
        _Fit(site, Record(weather.series.cut(on)), (on - weather.data_through).days) for site, weather in fit
    ]
    for group in alike([one.site for one in sites], [one.record for one in sites], on):
        for start in range(0, len(group), SITES_TOGETHER):
            yield [sites[place] for place in group[start : start + SITES_TOGETHER]]


def _judged_or_alone(part: Sequence[_Fit], asked: Asked) -> list[SiteResult]:
    """The sites judged side by side; where that fails each by itself, so that the one at fault is found."""
    try:
        return _judged(part, asked)
    except Exception as error:
        if len(part) == 1:
            return [SiteResult(part[0].site, refused=_own_fault(error))]
        return [result for one in part for result in _judged_or_alone([one], asked)]


def _judged(part: Sequence[_Fit], asked: Asked) -> list[SiteResult]:
    sites = [one.site for one in part]
    view = BlockView(sites, [one.record for one in part], asked.on)
    ages = [one.age_days for one in part]
    columns = []
    for kind, windows in asked.windows(asked.catalogue):
        at_sites = KindAtSites(view, kind, windows)
        for seen in at_sites.windows:
            columns.append([JudgedWindow(kind.name, seen.window, one) for one in seen.judged(ages)])
    sums = [SiteSums(*one) for one in view.sums_so_far()]
    return [
        SiteResult(site, sums[place], tuple(column[place] for column in columns))
        for place, site in enumerate(sites)
    ]


def _own_fault(error: Exception) -> Refused:
    why = f"The program stopped at a fault of its own here ({type(error).__name__}: {error}). Pass that on."
    return Refused(why, fault_of_ours=True)
