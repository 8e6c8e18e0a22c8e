"""Cases side by side: each as the traces of its own season, and none with anything of a later day."""

from __future__ import annotations

import datetime as dt
from functools import cache

import numpy as np
import pytest

from season_engine.measures.chill import chill_portions
from season_engine.measures.hourly import hourly_temperatures_c
from season_engine.pot import Pot
from season_engine.site import day_number
from season_engine.traces import CHILL_DAYS, CaseTraces, TraceSet
from season_engine.traces.cases import Case
from season_engine.traces.record import MOST_YEARS, Record
from season_engine.weather.series import DailySeries
from tests.traces.made_cases import CASES, SITES, last_day, series, site_records

DAYS = 365
PLACES = range(len(CASES))


@cache
def together(days: int = DAYS) -> CaseTraces:
    return site_records().traces(CASES, days)


def alone(one: Case) -> TraceSet:
    """Its season as the record gives it that ends with the case's last day."""
    record = Record(series()[one.site].cut(last_day(one)))
    return record.spliced(SITES[one.site], one.season)


def years_whole(one: Case, first: int, last: int) -> list[int]:
    """Years of which the days numbered so in this season lie within what is known, the oldest first."""
    begins = day_number(series()[one.site].first_day)
    return [y for y in range(60, -1, -1) if first - 365 * y >= begins and last - 365 * y <= one.known]


def borrowed(one: Case, days: int) -> list[int]:
    """Whole years back from which the rest of so many days can be borrowed; none where all are known."""
    start = day_number(one.season.start)
    to_come = max(one.known + 1, start)
    if to_come >= start + days:
        return [0]
    # as a season's own traces, which run on for half a year
    return years_whole(one, to_come, day_number(one.season.last_trace_day))[-MOST_YEARS:]


def in_both(one: Case, single: TraceSet) -> int:
    """How many of a case's traces its season alone has too; the first ones."""
    back = borrowed(one, DAYS)
    if back == [0]:  # of a season known to its end all traces are alike
        return 1
    assert (one.season.year - single.labels).tolist() == back
    return len(single)


# --- against one case at a time ----------------------------------------------------------------------------


@pytest.mark.parametrize("place", PLACES)
def test_each_case_has_the_weather_its_season_has_alone(place: int) -> None:
    """To a rounding: sums over the years of a shorter record are added up in another order."""
    one, many = CASES[place], together()
    single = alone(one)
    inside = slice(single.season_start, single.season_start + DAYS)
    shared = in_both(one, single)
    assert many.tmin_c[place, :shared] == pytest.approx(single.tmin_c[:shared, inside], abs=1e-9)
    assert many.tmax_c[place, :shared] == pytest.approx(single.tmax_c[:shared, inside], abs=1e-9)
    assert np.array_equal(many.day_length_h[place], single.day_length_h[inside])
    assert many.observed[place] == np.clip(single.observed_days - single.season_start, 0, DAYS)
    assert many.bench_frost_allowance_c[place] == single.bench_frost_allowance_c


@pytest.mark.parametrize("on_bench", [False, True])
@pytest.mark.parametrize("place", PLACES)
def test_each_case_has_the_root_zone_its_season_has_alone(place: int, on_bench: bool) -> None:
    """From the second week on, since the season's own traces remember the days before it, and but for the
    length of days, which a leap year moves by one.
    """
    single, pot = alone(CASES[place]), Pot.of_tree(30.0)
    shared = in_both(CASES[place], single)
    inside = slice(single.season_start + 14, single.season_start + DAYS - 1)
    found = together().root_zone(pot, on_bench=on_bench)
    for many, one in zip(found, single.root_zone(pot, on_bench=on_bench), strict=True):
        assert many[place, :shared, 14:-1] == pytest.approx(one[:shared, inside], abs=0.1)


@pytest.mark.parametrize("place", PLACES)
def test_each_case_has_the_chill_its_season_has_alone(place: int) -> None:
    """But for the small hours of the first day, whose evening before is in the season's own traces only."""
    single = alone(CASES[place])
    inside, shared = slice(single.season_start, single.season_start + DAYS), in_both(CASES[place], single)
    found = together().chill_portions[place, :shared].cumsum(axis=1)
    assert found == pytest.approx(single.chill_portions[:shared, inside].cumsum(axis=1), abs=1e-4)
    assert found[:, -1].min() > 10


@pytest.mark.parametrize("days", [120, DAYS])
def test_hours_and_chill_are_those_of_each_trace_by_itself_to_the_bit(days: int) -> None:
    """The days observed are counted once for all traces, and for all days a season is looked at from."""
    many = together(days)
    warmth = many.by_day(lambda hours: np.maximum(hours - 5.0, 0.0))
    for place in PLACES:
        for trace in {0, np.count_nonzero(many.weights[place]) - 1}:
            weather = many.tmin_c[place, trace], many.tmax_c[place, trace]
            hours = hourly_temperatures_c(*weather, many.day_length_h[place])
            portions = chill_portions(hours[:CHILL_DAYS].ravel()).reshape(-1, 24).sum(axis=1)
            assert np.array_equal(many.chill_portions[place, trace, :CHILL_DAYS], portions), place
            assert not many.chill_portions[place, trace, CHILL_DAYS:].any()
            assert np.array_equal(warmth[place, trace], np.maximum(hours - 5.0, 0.0).sum(axis=1))


def test_what_pads_a_case_has_no_weight_and_the_rest_equal_ones() -> None:
    many = together()
    assert many.weights.sum(axis=1) == pytest.approx(1.0)
    counts = [len(borrowed(one, DAYS)) for one in CASES]
    assert len(set(counts)) > 4, "cases of one length pad nothing"
    for place, count in enumerate(counts):
        assert many.weights[place, :count] == pytest.approx(1 / count)
        assert not many.weights[place, count:].any()
    assert np.isfinite(many.tmin_c).all(), "a mark without a number would spoil what is summed"


# --- against a plain calendar ------------------------------------------------------------------------------


def by_date(record: DailySeries) -> dict[int, tuple[float, float]]:
    """Readings by day number; a leap day's is written over by 28 February's."""
    days = [day.item() for day in record.days]
    pairs = zip(record.tmin_c.tolist(), record.tmax_c.tolist(), strict=True)
    return {
        day_number(day): pair
        for day, pair in zip(days, pairs, strict=True)
        if (day.month, day.day) != (2, 29)
    }


@pytest.mark.parametrize("place", PLACES)
def test_days_known_are_the_readings_and_the_rest_those_of_past_years_moved(place: int) -> None:
    """Day by day from a dictionary of dates: both extremes of a borrowed day are moved alike."""
    one, many = CASES[place], together()
    read, start = by_date(series()[one.site]), day_number(one.season.start)
    for trace, back in enumerate(borrowed(one, DAYS)):
        for day in range(0, DAYS, 7):
            number = start + day
            low, high = many.tmin_c[place, trace, day], many.tmax_c[place, trace, day]
            if number <= one.known:
                assert (low, high) == read[number]
            else:
                then_low, then_high = read[number - 365 * back]
                assert low - then_low == pytest.approx(high - then_high, abs=1e-9)
                assert abs(low - then_low) < 3


@pytest.mark.parametrize("place", PLACES)
def test_the_usual_seasons_of_a_case_are_the_whole_ones_before_its_day(place: int) -> None:
    one, usual = CASES[place], together().usual
    assert usual is not None and usual.usual is None
    read, start = by_date(series()[one.site]), day_number(one.season.start)
    back = years_whole(one, start, start + DAYS - 1)
    assert np.count_nonzero(usual.weights[place]) == len(back)
    assert usual.weights[place].sum() == pytest.approx(1.0)
    for trace, years in enumerate(back):
        expected = [read[start + day - 365 * years] for day in range(DAYS)]
        assert np.array_equal(np.stack([usual.tmin_c, usual.tmax_c], -1)[place, trace], expected)
    assert usual.observed[place] == 0
    assert np.array_equal(usual.day_length_h[place], together().day_length_h[place])


# --- nothing later -----------------------------------------------------------------------------------------


def changed_after(record: DailySeries, on: dt.date) -> DailySeries:
    """Every reading after a day is another one."""
    values, later = np.array([record.tmin_c, record.tmax_c]), (on - record.first_day).days + 1
    values[:, later:] += np.random.default_rng(later).normal(2.0, 7.0, values.shape[1] - later)
    return DailySeries(record.first_day, *values)


@pytest.mark.parametrize("place", PLACES)
def test_nothing_after_a_cases_last_day_is_in_it(place: int) -> None:
    """Among the others, of which some see further into the same season."""
    one = CASES[place]
    changed = [
        changed_after(record, last_day(one)) if site == one.site else record
        for site, record in enumerate(series())
    ]
    one_way, other_way = together(), site_records(changed).traces(CASES, DAYS)
    for name in ("tmin_c", "tmax_c", "weights", "chill_portions", "day_length_h", "observed"):
        assert np.array_equal(getattr(one_way, name)[place], getattr(other_way, name)[place]), name
    heat = [traces.by_day(lambda hours: np.maximum(hours, 0.0))[place] for traces in (one_way, other_way)]
    assert np.array_equal(*heat)


def test_the_chill_of_a_season_counted_once_serves_every_day_it_is_looked_at_from() -> None:
    """Asked for later, from an earlier day or a later one, by the same records: as if asked for first."""
    records = site_records()
    for part in (CASES[:1], CASES[2:3], CASES[::-1], CASES):
        kept = records.traces(part, DAYS).chill_portions
        fresh = site_records().traces(part, DAYS).chill_portions
        assert np.array_equal(kept, fresh)


def test_the_last_days_reading_is_in_it() -> None:
    """A test of leaks that nothing could fail would pass just so."""
    one = CASES[0]
    before = last_day(one) - dt.timedelta(days=1)
    changed = [changed_after(series()[0], before), *series()[1:]]
    other = site_records(changed).traces(CASES, DAYS)
    assert not np.array_equal(together().tmin_c[0], other.tmin_c[0])
    assert not np.array_equal(together().chill_portions[0], other.chill_portions[0])
