from __future__ import annotations

import csv
import dataclasses
import datetime as dt
from pathlib import Path

import numpy as np
import pytest

from season_engine.measures.chill import chill_portions
from season_engine.measures.hourly import hourly_temperatures_c
from season_engine.measures.table import MeasureTable, daily_measures, restarted
from tests.measures.plain_reference import daily_rows

JAPAN = Path(__file__).parents[1] / "data" / "japan"
COLUMNS = [field.name for field in dataclasses.fields(MeasureTable)]


def station(name: str, first: int, last: int):
    """Days, tmin, tmax and observed; each gap is a single day and gets the mean of its neighbours."""
    with (JAPAN / f"{name}.csv").open() as file:
        rows = [row for row in csv.DictReader(file) if first <= int(row["date"][:4]) <= last]
    days = [dt.date.fromisoformat(row["date"]) for row in rows]
    tmin, tmax = (np.array([float(row[key] or "nan") for row in rows]) for key in ("tmin", "tmax"))
    observed = ~(np.isnan(tmin) | np.isnan(tmax))
    for values in (tmin, tmax):
        for gap in np.flatnonzero(np.isnan(values)):
            values[gap] = (values[gap - 1] + values[gap + 1]) / 2
    return days, tmin, tmax, observed


def latitude(name: str) -> float:
    with (JAPAN / "sites.csv").open() as file:
        return next(float(row["latitude"]) for row in csv.DictReader(file) if row["site"] == name)


@pytest.mark.parametrize(
    ("name", "at", "base", "upper"),
    [
        ("nagano", None, 5.0, None),
        ("kagoshima", None, 10.0, 24.0),
        ("nagano", 69.0, 5.0, None),  # moved beyond the polar circle, to pass through both polar seasons
        ("nagano", -41.0, 5.0, None),
    ],
)
def test_equals_the_plain_reference_on_real_weather(name, at, base, upper):
    days, tmin, tmax, observed = station(name, 1992, 1997)
    assert 1 <= (~observed).sum() <= 2
    where = latitude(name) if at is None else at
    day_of_year = [day.timetuple().tm_yday for day in days]
    restart = [(day.month, day.day) == (10, 1) for day in days]

    table = daily_measures(
        tmin,
        tmax,
        observed=observed,
        latitude_deg=where,
        day_of_year=day_of_year,
        chill_restart=restart,
        base_c=base,
        upper_c=upper,
    )
    expected = daily_rows(
        tmin.tolist(), tmax.tolist(), observed.tolist(), where, day_of_year, restart, base, upper
    )
    for column in COLUMNS:
        np.testing.assert_allclose(
            getattr(table, column), [row[column] for row in expected], rtol=0, atol=1e-9, err_msg=column
        )


def test_cold_and_mild_stations_differ_as_their_winters_do():
    # Common knowledge, no source: a winter around freezing chills by the hour but slowly in chill portions,
    # a mild one gives fewer of both; and the mild station is the warmer by far.
    sums = {}
    for name in ("nagano", "kagoshima"):
        days, tmin, tmax, observed = station(name, 1994, 1994)
        table = daily_measures(
            tmin,
            tmax,
            observed=observed,
            latitude_deg=latitude(name),
            day_of_year=np.arange(1, len(days) + 1),
            chill_restart=np.zeros(len(days), bool),
        )
        sums[name] = {column: getattr(table, column).sum() for column in COLUMNS}
    assert sums["nagano"]["chilling_hours"] > 1.5 * sums["kagoshima"]["chilling_hours"]
    assert sums["nagano"]["chill_portions"] > sums["kagoshima"]["chill_portions"]
    assert sums["kagoshima"]["gdd_c"] > 1.3 * sums["nagano"]["gdd_c"]


def test_observed_share_counts_the_hours_that_rest_on_a_filled_day():
    # At the equator the day is just over 12 hours: sunrise before 6, sunset after 18. The filled day takes
    # with it the five hours (19 to 23) before it that fall towards its minimum, and the six (0 to 5) after.
    observed = np.array([True, True, False, True, True])
    table = daily_measures(
        np.full(5, 3.0),
        np.full(5, 12.0),
        observed=observed,
        latitude_deg=0.0,
        day_of_year=np.arange(100, 105),
        chill_restart=np.zeros(5, bool),
    )
    np.testing.assert_allclose(table.observed_share, [1, 19 / 24, 0, 18 / 24, 1])
    assert np.isfinite(table.chill_portions).all()


def test_a_reading_still_missing_leaves_nan_not_a_number():
    tmin, tmax = np.full(5, 3.0), np.full(5, 12.0)
    tmin[2] = tmax[2] = np.nan
    table = daily_measures(
        tmin,
        tmax,
        observed=np.ones(5, bool),
        latitude_deg=0.0,
        day_of_year=np.arange(100, 105),
        chill_restart=np.zeros(5, bool),
    )
    for column in set(COLUMNS) - {"day_length_h", "observed_share"}:
        assert np.isnan(getattr(table, column)[2]), column
    np.testing.assert_allclose(table.observed_share, [1, 19 / 24, 0, 18 / 24, 1])


def test_restart_begins_again_from_an_empty_store():
    hourly = np.random.default_rng(5).normal(6, 4, (2, 40, 24))
    restart = np.zeros(40, bool)
    restart[[11, 12, 30]] = True
    parts = np.split(hourly, [11, 12, 30], axis=1)
    expected = [chill_portions(part.reshape(2, -1)).reshape(part.shape) for part in parts]
    np.testing.assert_array_equal(
        restarted(chill_portions, hourly, restart), np.concatenate(expected, axis=1)
    )


def test_traces_together_equal_traces_one_by_one():
    random = np.random.default_rng(6)
    tmin = random.normal(2, 5, (3, 50))
    tmax = tmin + random.gamma(4, 2, (3, 50))
    observed = random.random((3, 50)) < 0.8
    fixed = {
        "latitude_deg": 47.0,
        "day_of_year": np.arange(250, 300),
        "chill_restart": np.arange(250, 300) == 274,
    }
    together = daily_measures(tmin, tmax, observed=observed, **fixed)
    for trace in range(3):
        alone = daily_measures(tmin[trace], tmax[trace], observed=observed[trace], **fixed)
        for column in set(COLUMNS) - {"day_length_h"}:
            np.testing.assert_array_equal(getattr(together, column)[trace], getattr(alone, column))


def test_no_days_give_no_rows():
    table = daily_measures([], [], observed=[], latitude_deg=40.0, day_of_year=[], chill_restart=[])
    assert all(getattr(table, column).shape == (0,) for column in COLUMNS)


def test_later_days_change_nothing_but_the_last_night():
    """Nothing dated after a day may matter: only its own night waits for the next minimum."""
    days, tmin, tmax, observed = station("nagano", 1994, 1994)
    day_of_year = np.arange(1, len(days) + 1)

    def measured(count: int) -> MeasureTable:
        return daily_measures(
            tmin[:count],
            tmax[:count],
            observed=observed[:count],
            latitude_deg=36.66,
            day_of_year=day_of_year[:count],
            chill_restart=np.zeros(count, bool),
        )

    whole, cut = measured(365), measured(100)
    for column in COLUMNS:
        np.testing.assert_array_equal(getattr(whole, column)[:99], getattr(cut, column)[:99])
    hourly = [hourly_temperatures_c(tmin[:n], tmax[:n], whole.day_length_h[:n]) for n in (365, 100)]
    np.testing.assert_array_equal(hourly[0][99, :19], hourly[1][99, :19])
