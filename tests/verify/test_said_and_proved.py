"""What the backtest proves is what `check` says: the same dates by either way from the same readings."""

from __future__ import annotations

import datetime as dt
from functools import cache

import numpy as np
import pytest

from season_engine.note import Note, Sighting
from season_engine.phenology.rule import catalogue_rule
from season_engine.phenology.station_record import StationRecord
from season_engine.site import Season
from season_engine.species.catalogue import load_catalogue
from season_engine.traces import SeasonView
from season_engine.verify.backtest import DAYS, Asked, StationForecaster, asked
from season_engine.weather.series import Weather
from season_engine.weather.sources.origins import GivenOrigin
from season_engine.windows.assess import Prospect
from tests.once import once_a_run
from tests.phenology.stations import LAST_TRAINED, twelve

STAGE = 61
ODDS = (0.1, 0.25, 0.5, 0.75, 0.9)
# From the snow to the warm sea; weeks before the usual date, or with the season's whole weather.
ASKED = (
    ("Prunus x yedoensis", "Sapporo", 2012, (6.0, 0.0)),
    ("Prunus x yedoensis", "Kochi", 2019, (2.0, None)),
    ("Prunus mume", "Kyoto", 2013, (0.0, None)),
    ("Wisteria floribunda", "Kagoshima", 2016, (6.0, 2.0)),
)


def record_of(species: str, station: str) -> StationRecord:
    return next(record for record in twelve()[species] if record.site.name == station)


def noted(species: str, record: StationRecord, one: Asked) -> list[Note]:
    """A journal with every earlier season's date, and on the day of issue that nothing has come yet."""
    site = record.site
    days: dict[dt.date, Sighting] = {
        Season(year, site.hemisphere).date_of(int(day)): "seen"
        for year, day in record.observed.items()
        if year < one.season.year
    }
    if one.issued_day is not None:
        days[one.season.date_of(one.issued_day)] = "not-yet"
    return [Note(day, site.name, None, species, STAGE, sighting=as_seen) for day, as_seen in days.items()]


def said(species: str, record: StationRecord, one: Asked) -> tuple[np.ndarray, float, float]:
    """Quantiles by the path of `check`, as days of the season, and the shift and spread behind them."""
    on = one.season.date_of(DAYS - 1 if one.issued_day is None else one.issued_day)
    series = record.series.cut(on)
    view = SeasonView(
        record.site, Weather(series, np.ones(len(series), bool), source=GivenOrigin("test")), on
    )
    kind = load_catalogue().find(species)
    prospect = Prospect(view, kind, notes=noted(species, record, one))
    dating, learnt = prospect.dating(0), prospect.learnt(0)
    days = dating.odds(catalogue_rule(kind, STAGE).marker).by(ODDS) - dating.traces.season_start
    return days, learnt.shift_days, learnt.spread


def proved(species: str, record: StationRecord, one: Asked) -> tuple[np.ndarray, float, float]:
    """The same as the backtest makes it."""
    at_site = StationForecaster(
        catalogue_rule(load_catalogue().find(species), STAGE), record, [one.season.year]
    )
    learnt = at_site._learnt(None)
    return at_site.odds([one]).by(ODDS)[:, 0], float(learnt.shift_days[0]), float(learnt.spread[0])


def compared() -> list[tuple[np.ndarray, np.ndarray]]:
    result = []
    for species, station, year, leads in ASKED:
        record = record_of(species, station)
        found = [one for one in asked(record, LAST_TRAINED, (6.0, 2.0, 0.0)) if one.season.year == year]
        chosen = [one for one in found if one.lead_weeks in leads]
        assert len(chosen) == len(leads)
        result += [tuple(np.hstack(way(species, record, one)) for way in (said, proved)) for one in chosen]
    return result


@cache
def both_ways() -> list[tuple[np.ndarray, np.ndarray]]:
    """Of each forecast: quantiles, shift and spread as said and as proved."""
    return once_a_run("said and proved", compared)


def test_the_backtest_proves_the_dates_that_check_says() -> None:
    """To the day: not one of the quantiles is further off, and most are the very day.

    One thing differs: a season's view lays past seasons on this season's calendar, on which after February
    the day's length is that of a day before or after in every fourth year. It moves what lies near midnight.
    """
    apart = np.array([one[:5] - other[:5] for one, other in both_ways()])
    assert apart.shape == (2 * len(ASKED), len(ODDS))
    assert np.abs(apart).max() <= 1
    assert (apart == 0).mean() > 0.9
    assert abs(apart.mean()) < 0.1


def test_both_learn_the_same_from_the_sites_own_dates() -> None:
    learnt = np.array([(one[5:], other[5:]) for one, other in both_ways()])
    assert learnt[:, 0, 0] == pytest.approx(learnt[:, 1, 0], abs=0.2)  # days
    assert learnt[:, 0, 1] == pytest.approx(learnt[:, 1, 1], abs=0.02)
    assert np.abs(learnt[:, :, 0]).max() > 2, "dates that teach nothing prove nothing"
