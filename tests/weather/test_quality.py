"""Each check finds its own fault, leaves good weather alone, and says what it found."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from season_engine.weather.checks import check_and_fill
from season_engine.weather.faults import Repeated
from season_engine.weather.logger.reading import read_logger
from season_engine.weather.quality.examine import CHECKS, Flag, examine
from season_engine.weather.quality.readings import Readings
from season_engine.weather.second.yard_terms import in_yard_terms
from season_engine.weather.series import DailySeries
from season_engine.weather.sources.origins import GivenOrigin
from season_engine.words.weather_faults import fault_text
from tests.benchmarks.bench_quality import flagged
from tests.benchmarks.planting import FLAGRANT, plant
from tests.yards import NAGANO, STATIONS, readings

FIRST = dt.date(2015, 1, 1)
# Which checks there are, and that plain ones come first, is read in secondary copies of the rules of
# GHCN-Daily, ECA&D and HadISD (cited in `quality.examine`); limits "from memory" there are so here too.


def weather(days: int = 8 * 365, seed: int = 3) -> DailySeries:
    """Tenths of a degree around a yearly course, each day a little like the one before."""
    random = np.random.default_rng(seed)
    noise = random.normal(0, 2, days + 2)
    anomaly = 0.5 * noise[:-2] + 0.7 * noise[1:-1] + noise[2:]
    course = 11 - 11 * np.cos(2 * np.pi * (np.arange(days) - 15) / 365.25)
    low = np.round(course + anomaly - 4, 1)
    return DailySeries(FIRST, low, np.round(low + random.uniform(2.0, 12.0, days), 1))


def changed(
    day: int, low: object = None, high: object = None, series: DailySeries | None = None
) -> DailySeries:
    """The same with other readings from `day` on."""
    series = series or weather()
    tmin_c, tmax_c = series.tmin_c.copy(), series.tmax_c.copy()
    for values, new in ((tmin_c, low), (tmax_c, high)):
        if new is not None:
            part = np.atleast_1d(np.asarray(new, float))
            values[day : day + part.size] = part
    return DailySeries(series.first_day, tmin_c, tmax_c)


def found(series: DailySeries) -> list[tuple[str, int, int, tuple[int, ...]]]:
    flags = examine(series)[1]
    return [(flag.check.kind, flag.finding.first, flag.finding.last, flag.finding.rows) for flag in flags]


def test_good_weather_is_left_alone() -> None:
    assert found(weather()) == []
    assert examine(weather())[0].tmin_c.tolist() == weather().tmin_c.tolist()


def test_each_check_has_a_name_a_source_and_a_limit() -> None:
    kinds = [check.kind for check in CHECKS]
    assert len(set(kinds)) == len(kinds)
    assert all(check.source and check.limit for check in CHECKS)
    order = [
        "naught",
        "copied",
        "range",
        "stuck",
        "apart",
        "outlier",
    ]  # GHCN-Daily's, read in a secondary copy
    places = [kinds.index(kind) for kind in order]
    assert places[0] == 0 and places[3:] == sorted(places[3:])


@pytest.mark.parametrize("zero", [0.0, (0.0 - 32.0) * 5.0 / 9.0])
def test_nought_in_both_is_a_blank(zero: float) -> None:
    assert found(changed(900, zero, zero)) == [("naught", 900, 900, (0, 1))]
    assert found(changed(380, 0.0)) == []  # in January one of the two may well be nought


@pytest.mark.parametrize(
    ("low", "high", "rows"),
    [(-127.0, None, (0,)), (None, 85.0, (1,)), (-89.5, None, (0,)), (None, 57.8, (1,))],
)
def test_beyond_the_worlds_records(low: float | None, high: float | None, rows: tuple[int, ...]) -> None:
    assert found(changed(900, low, high)) == [("range", 900, 900, rows)]


def test_swapped_extremes_are_both_left_out() -> None:
    series = weather()
    assert found(changed(900, series.tmax_c[900], series.tmin_c[900])) == [("crossed", 900, 900, (0, 1))]
    same = changed(900, series.tmax_c[900])
    assert found(same) == []  # a day without any range is rare and right


@pytest.mark.parametrize(("days", "caught"), [(6, False), (7, True), (30, True)])
def test_days_pasted_in_twice(days: int, caught: bool) -> None:
    series = weather()
    source = slice(360, 360 + days)
    pasted = changed(360 + 365, series.tmin_c[source], series.tmax_c[source])
    assert found(pasted) == ([("copied", 725, 725 + days - 1, (0, 1))] if caught else [])
    if caught:
        assert examine(pasted)[1][0].finding.what == Repeated(dt.date(2015, 12, 27))


def test_a_record_made_of_one_year_is_no_paste() -> None:
    year = weather(365)
    series = DailySeries(FIRST, np.tile(year.tmin_c, 6), np.tile(year.tmax_c, 6))
    assert [flag for flag in examine(series)[1] if flag.check.kind == "copied"] == []


@pytest.mark.parametrize(("days", "caught"), [(9, False), (10, True)])
def test_a_month_with_many_days_without_range(days: int, caught: bool) -> None:
    series = weather()
    places = 1370 + 3 * np.arange(days)  # in October 2018, never two days running
    high = series.tmax_c.copy()
    high[places] = series.tmin_c[places]
    kinds = [kind for kind, *_ in found(DailySeries(FIRST, series.tmin_c, high))]
    assert kinds.count("flat") == (days if caught else 0)


@pytest.mark.parametrize("row", [0, 1])
@pytest.mark.parametrize(("count", "caught"), [(4, False), (5, True)])
def test_a_streak_of_one_extreme(row: int, count: int, caught: bool) -> None:
    series = weather()
    values = (series.tmin_c, series.tmax_c)[row]
    level = values[900:905].min() - 0.3 if row == 0 else values[900:905].max() + 0.3
    stuck = changed(900, **{("low", "high")[row]: np.full(count, level)})
    assert found(stuck) == ([("stuck", 900, 900 + count - 1, (row,))] if caught else [])


@pytest.mark.parametrize("series", [weather(), weather(500)], ids=["eight years", "sixteen months"])
@pytest.mark.parametrize("day", [100, 200, 380])
def test_degf_among_degc_and_the_reverse(series: DailySeries, day: int) -> None:
    days = slice(day, day + 4)
    low, high = series.tmin_c[days], series.tmax_c[days]
    to_f, to_c = (
        changed(day, low * 1.8 + 32, high * 1.8 + 32, series),
        changed(day, (low - 32) / 1.8, (high - 32) / 1.8, series),
    )
    for mixed, unit in ((to_f, "degF"), (to_c, "degC")):
        _, flags = examine(mixed)
        left_out = {day for flag in flags for day in range(flag.finding.first, flag.finding.last + 1)}
        assert left_out == set(range(day, day + 4))
        assert any(flag.check.kind in ("units", "range") for flag in flags)
        assert (
            any(flag.finding.what.reads_like == unit for flag in flags if flag.check.kind == "units")
            or mixed is to_f
        )


@pytest.mark.parametrize(("size", "caught"), [(0.90, False), (1.01, True)])
@pytest.mark.parametrize("days", [1, 2, 3, 4])
def test_a_spike_is_four_of_the_usual_steps_and_lasts_three_days_at_most(
    size: float, caught: bool, days: int
) -> None:
    calm = weather()
    step = np.diff(calm.tmin_c)
    near = np.abs((np.arange(1, len(calm)) - 900 + 182) % 365.25 - 182) <= 30
    spread = np.median(np.abs(step[near] - np.median(step[near]))) * 1.4826
    level = calm.tmin_c[[899, 900 + days]].min() - size * max(4.0 * spread, 10.0)
    kinds = found(changed(900, np.full(days, level) - 0.1 * (np.arange(days) % 2)))
    spiked = [(first, last) for kind, first, last, _ in kinds if kind == "spike"]
    assert spiked == ([(900, 900 + days - 1)] if caught and days < 4 else [])


def test_a_front_is_no_spike() -> None:
    series = weather()
    assert found(changed(900, None, series.tmax_c[900:] + 0.0)) == []
    colder = changed(900, series.tmin_c[900:910] - 9, series.tmax_c[900:910] - 9)
    assert [kind for kind, *_ in found(colder)] == []


def test_a_frost_in_calm_weather_is_no_fault() -> None:
    """The one night a grower has to know of: mild and even days, then 9 degC less, and mild again."""
    day = np.arange(8 * 365)
    low = np.round(12 - 4 * np.cos(2 * np.pi * day / 365.25) + 0.3 * (day % 3), 1)
    calm = DailySeries(FIRST, low, low + 6.0 + 0.1 * (day % 11))
    assert found(changed(820, low[820] - 9.0, None, calm)) == []


def test_an_outlier_is_six_spreads_off() -> None:
    series = weather()
    usual, spread = Readings(series).usual
    days = slice(900, 904)  # four days: too long for a spike
    off = np.array([0.0, 0.1, 0.2, 0.3])
    for spreads, caught in ((5.8, False), (6.3, True)):
        cold = changed(900, usual[0, days] - spreads * spread[0, days] - off)
        flags = [one for one in found(cold) if one[0] in ("outlier", "apart")]
        assert bool(flags) == caught


def test_ten_degrees_apart_from_all_others_of_the_month() -> None:
    low = np.round(weather().tmin_c * 0.2, 1)  # a steady place
    calm = DailySeries(FIRST, low, low + 5.0 + 0.1 * (np.arange(low.size) % 7))
    july = (calm.days.astype("datetime64[M]").astype(int) % 12) == 6
    day = int(np.flatnonzero(july)[40])
    for far, caught in ((9.9, False), (10.1, True)):
        odd = changed(day, None, calm.tmax_c[july].max() + far, calm)
        flags = examine(odd, keep=None)[1]
        assert any(flag.check.kind == "apart" for flag in flags) == caught


def test_a_second_source_shows_what_one_record_hides() -> None:
    yard, beside = readings(NAGANO), read_logger(STATIONS / "takayama.csv")
    day = 15_000
    odd = changed(day, yard.tmin_c[day] - 9.0, None, yard)
    assert found(odd) == []
    likely = in_yard_terms(beside, odd)
    flags = [flag for flag in examine(odd, second=likely)[1] if flag.finding.first == day]
    assert [(flag.check.kind, flag.finding.rows) for flag in flags] == [("neighbour", (0,))]


@pytest.mark.parametrize("size", [3.0, -3.0])
def test_a_moved_sensor_is_told_and_nothing_left_out(size: float) -> None:
    yard, beside = readings(NAGANO), read_logger(STATIONS / "takayama.csv")
    day = 12_000
    moved = DailySeries(yard.first_day, yard.tmin_c, yard.tmax_c + size * (np.arange(len(yard)) >= day))
    good, flags = examine(moved, second=in_yard_terms(beside, moved))
    (step,) = [flag for flag in flags if flag.check.kind == "step"]
    assert abs(step.finding.first - day) < 30
    assert step.finding.what.shift_c == pytest.approx(size, abs=0.5)
    assert step.finding.what.beside_second
    assert not step.leaves_out
    assert np.isnan(good.tmax_c).sum() < 100  # a few days that the shift carries past other limits


# Laws


@settings(max_examples=15, deadline=None)
@given(shift=st.integers(-300, 300).map(lambda tenths: tenths / 10))
def test_a_warmer_or_colder_place_is_judged_alike(shift: float) -> None:
    """Streaks, copies, spikes, outliers and steps know no level; bounds, nought and units do."""
    series = weather(1200)
    faulty = changed(900, [-18.0], None, changed(500, np.full(6, 3.3), np.full(6, 14.4), series))
    moved = DailySeries(
        faulty.first_day, np.round(faulty.tmin_c + shift, 1), np.round(faulty.tmax_c + shift, 1)
    )
    level = {"naught", "range", "units", "crossed"}
    assert [one for one in found(moved) if one[0] not in level] == [
        one for one in found(faulty) if one[0] not in level
    ]


def test_kept_days_stay_and_are_told() -> None:
    series = changed(900, np.full(9, 5.5), np.full(9, 9.9))
    keep = np.zeros(len(series), dtype=bool)
    keep[902:905] = True
    good, flags = examine(series, keep=keep)
    assert [(flag.finding.first, flag.finding.last, flag.kept) for flag in flags] == [
        (900, 901, False),
        (902, 904, True),
        (905, 908, False),
    ]
    assert np.flatnonzero(np.isnan(good.tmin_c)).tolist() == [900, 901, 905, 906, 907, 908]


@settings(max_examples=30, deadline=None)
@given(
    st.lists(
        st.tuples(st.floats(-95, 65) | st.just(np.nan), st.floats(-95, 65) | st.just(np.nan)), max_size=40
    )
)
def test_any_readings_can_be_examined(rows: list[tuple[float, float]]) -> None:
    low, high = np.array(rows, dtype=float).reshape(-1, 2).T
    good, flags = examine(DailySeries(FIRST, low, high))
    assert all(isinstance(flag, Flag) for flag in flags)
    kept = ~np.isnan(good.tmin_c)
    np.testing.assert_array_equal(good.tmin_c[kept], low[kept])
    assert not (good.tmin_c > good.tmax_c).any()


# Planted faults on a real station (Source: Japan Meteorological Agency). The table: docs/evidence/mending.md.


@pytest.mark.parametrize("beside", [None, "takayama"])
def test_planted_faults_are_found_and_good_days_left_alone(beside: str | None) -> None:
    planted = plant(readings(NAGANO), seed=11)
    neighbour = None if beside is None else read_logger(STATIONS / f"{beside}.csv")
    days, _ = flagged(planted.series, neighbour)
    wrong = planted.kind != ""
    assert 0.0095 < wrong.mean() < 0.0115
    assert set(planted.kind[wrong]) == set(FLAGRANT)
    assert days[wrong].mean() >= (0.95 if beside is None else 0.99)
    streaks = np.isin(np.roll(planted.kind, -1), ("stuck", "stuck-single"))  # the day a sensor got stuck on
    assert days[~wrong & ~streaks].mean() < 0.001


def test_flags_are_shown_as_faults() -> None:
    series = changed(900, -30.0, None)
    (fault,) = check_and_fill(series, source=GivenOrigin("test")).faults
    assert fault.kind in ("spike", "outlier", "apart")
    assert fault_text(fault).startswith("19 Jun 2017: the lowest reading, -30.0 °C, is ")
    assert fault_text(fault).endswith("; it is left out and filled.")
