"""The odds that growers are told as the benchmark lays them out: those of the backtest, by claims."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from season_engine.phenology.rule import catalogue_rule
from season_engine.species.catalogue import load_catalogue
from season_engine.verify.backtest import station_cases
from season_engine.verify.cases import rows
from season_engine.verify.station_files import Event
from tests.benchmarks.told_odds import DAYS_ON, LEADS, Found, figures, station_columns
from tests.phenology.stations import twelve

SPECIES, UNTIL, NOTES = "Prunus x yedoensis", 2012, (0, 3)


def rule():
    return catalogue_rule(load_catalogue().find(SPECIES), 61)


def record():
    return next(one for one in twelve()[SPECIES] if one.site.name == "Kyoto")


@cache
def found() -> Found:
    columns = station_columns(0, rule(), record(), UNTIL, 9999, NOTES)
    return Found({(SPECIES, notes): columns[notes] for notes in NOTES})


@pytest.mark.parametrize("notes", NOTES)
def test_ranges_and_scores_are_the_backtest_s(notes: int) -> None:
    event, columns = Event(SPECIES, 61), found().told[SPECIES, notes]
    for row in rows(station_cases(event, rule(), record(), UNTIL, LEADS, notes)):
        if row.lead_weeks is None:
            continue
        of_row = (columns["weeks"] == row.lead_weeks) & (columns["looked"] == 1)
        assert of_row.sum() == row.summary.n
        assert columns["crps"][of_row].mean() == pytest.approx(row.summary.crps)
        assert columns["crps_calendar"][of_row].mean() == pytest.approx(row.crps_calendar)
        for size, share in ((50, row.summary.coverage50), (80, row.summary.coverage80)):
            assert found().ranges[SPECIES, row.lead_weeks, notes, size].share == pytest.approx(share)


def test_what_has_come_is_claimed_more_from_week_to_week() -> None:
    columns = found().told[SPECIES, 3]
    for season in np.unique(columns["season"]):
        of_season = columns["season"] == season
        came = columns["came today"][of_season]
        assert (np.diff(came) >= 0).all(), "once it has come it has"
        later = [columns[f"said {days}"][of_season] for days in DAYS_ON]
        assert (np.diff(later, axis=0) >= -1e-9).all()
    assert columns["said today"][columns["weeks"] == 6.0].max() < 0.5
    assert columns["said today"][columns["weeks"] == -3.0].min() > 0.5
    assert 0.2 < columns["came today"].mean() < 0.6


def test_wider_ranges_hold_more_and_have_at_least_what_they_say() -> None:
    numbers = figures(found())
    assert numbers["held of 50"] <= numbers["held of 80"] <= numbers["held of 95"]
    for size in (50, 80, 95):
        assert numbers[f"odds in {size}"] >= size / 100 - 1e-9
    assert numbers["cells"] == 3 * len(LEADS) * len(NOTES)
