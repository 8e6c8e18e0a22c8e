"""Stations' temperatures and dated events, read from three files and made ready for a backtest."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from season_engine.errors import InputErrors, WeatherError
from season_engine.files.packed import Readable
from season_engine.phenology.stages import season_of
from season_engine.phenology.station_record import StationRecord
from season_engine.site import Season, Site
from season_engine.verify.mending import Mended, mended
from season_engine.verify.notes import (
    BacktestNote,
    DatesTooFarApart,
    NoEvent,
    NoTemperatures,
    SeasonsWithGaps,
    ShortRecord,
    UnusableTemperatures,
)
from season_engine.verify.station_files import Event, Sighting, read_events, read_sites, site_fault
from season_engine.verify.weather_file import read_weather
from season_engine.weather.fitness import FEWEST_SEASONS, MOST_FILLED_SHARE
from season_engine.weather.hemisphere import told, warmest_across_the_equator
from season_engine.weather.quality.readings import both_read
from season_engine.weather.series import DailySeries

MOST_APART_DAYS = 182  # beyond it an event's dates lie on both sides of the season's start


@dataclass(frozen=True)
class Observations:
    """Records of each event's stations, and what was left out."""

    records: Mapping[Event, tuple[StationRecord, ...]]
    notes: tuple[BacktestNote, ...]


def read_observations(
    sites_file: Readable,
    weather_file: Readable,
    events_file: Readable,
    train_until: int,
    *,
    fewest_seasons: int = FEWEST_SEASONS,
) -> Observations:
    """Read sites.csv, weather.csv and events.csv for a backtest that learns from the years to `train_until`.

    Temperatures are mended so that nothing after a forecast's day can reach it (`mending`). Events of a
    season with over a tenth of its days filled, and sites with too short a record, are left out and noted.
    Of several trees of a yard the middle date counts.
    Raises InputErrors where a site's temperatures are those of the other hemisphere.
    """
    sites = read_sites(sites_file)
    weather, unlisted_weather = read_weather(weather_file, sites)
    _refuse_other_hemispheres(sites_file, sites, weather)  # before seasons, which go by the hemisphere
    sightings, about_events = read_events(events_file, sites)
    told = [*about_events, *([unlisted_weather] if unlisted_weather else [])]
    found = observations_of(sites, weather, sightings, train_until, fewest_seasons=fewest_seasons)
    return Observations(found.records, (*told, *found.notes))


def observations_of(
    sites: Mapping[str, Site],
    weather: Mapping[str, DailySeries],
    sightings: Iterable[Sighting],
    train_until: int,
    *,
    fewest_seasons: int = FEWEST_SEASONS,
) -> Observations:
    """The same of what was read already, temperatures that are checked against their hemisphere."""
    sightings = tuple(sightings)
    notes: list[BacktestNote] = []
    wanted = {sighting.site for sighting in sightings}
    whole: dict[str, Mended] = {}
    for name in sites:
        if name not in wanted:
            notes.append(NoEvent(name))
        elif name not in weather:
            notes.append(NoTemperatures(name))
        else:
            _mend(sites[name], weather[name], dt.date(train_until, 12, 31), fewest_seasons, whole, notes)
    grouped: defaultdict[Event, defaultdict[str, list[Sighting]]] = defaultdict(lambda: defaultdict(list))
    for sighting in sightings:
        if sighting.site in whole:
            grouped[sighting.event][sighting.site].append(sighting)
    records = {
        event: tuple(_records(event, by_site, sites, whole, notes))
        for event, by_site in sorted(grouped.items())
    }
    return Observations({event: found for event, found in records.items() if found}, tuple(notes))


def _refuse_other_hemispheres(
    file: Readable, sites: Mapping[str, Site], weather: Mapping[str, DailySeries]
) -> None:
    """Hold each site's record against its latitude: the whole of it, as all the files are checked whole."""
    faults = []
    for name, series in weather.items():
        read = both_read(np.array([series.tmin_c, series.tmax_c]))
        if warmest := warmest_across_the_equator(sites[name], series, read):
            problem, hint = told(sites[name], "site's temperatures", warmest, "latitude {}")
            faults.append(site_fault(file, sites[name], "latitude", problem, hint))
    if faults:
        raise InputErrors(faults)


def _mend(
    site: Site,
    raw: DailySeries,
    learnt_until: dt.date,
    fewest_seasons: int,
    whole: dict[str, Mended],
    notes: list[BacktestNote],
) -> None:
    try:
        weather = mended(raw, learnt_until)
    except WeatherError as error:
        notes.append(UnusableTemperatures(site.name, str(error)))
        return
    if len(weather.series) < fewest_seasons * 365:
        notes.append(ShortRecord(site.name, fewest_seasons))
        return
    whole[site.name] = weather


def _records(
    event: Event,
    by_site: Mapping[str, list[Sighting]],
    sites: Mapping[str, Site],
    whole: Mapping[str, Mended],
    notes: list[BacktestNote],
) -> Iterable[StationRecord]:
    """The event's stations in the order of sites.csv."""
    for name, site in sites.items():
        if name not in by_site:
            continue
        dates: defaultdict[int, list[int]] = defaultdict(list)
        poor: list[Season] = []
        for sighting in sorted(by_site[name], key=lambda one: one.date):
            season = season_of(site, sighting.date, event.bbch)
            if _too_poor(whole[name], season, sighting.date):
                poor.append(season)
            else:
                dates[season.year].append(season.day_of(sighting.date))
        if poor:
            notes.append(SeasonsWithGaps(name, event, tuple(dict.fromkeys(poor))))
        observed = {year: float(np.median(days)) for year, days in dates.items()}
        if observed and max(observed.values()) - min(observed.values()) > MOST_APART_DAYS:
            notes.append(DatesTooFarApart(name, event))
        elif observed:
            yield StationRecord(site, whole[name].series, observed)


def _too_poor(weather: Mended, season: Season, until: dt.date) -> bool:
    """Whether over a tenth of the season's days in the record, up to a date, are filled."""
    first = (season.start - weather.series.first_day).days
    last = (until - weather.series.first_day).days
    observed = weather.observed[max(first, 0) : max(last + 1, 0)]
    return bool(observed.size and np.mean(observed) < 1.0 - MOST_FILLED_SHARE)
