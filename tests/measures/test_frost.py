from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from season_engine.measures.frost import FreezeNormals, first_frosts, freeze_normals, last_frosts

JAPAN = Path(__file__).parents[1] / "data" / "japan"
MILD = 10.0
HIGH_SUMMER = 205  # 24 July, day of a year without 29 February (Utah Climate Center parts the seasons there)


def year_of(cold: dict[int, float], days: int = 180) -> np.ndarray:
    tmin = np.full(days, MILD)
    for day, value in cold.items():
        tmin[day] = value
    return tmin


def winters(name: str) -> np.ndarray:
    """Tmin from high summer to high summer, one row a year."""
    with (JAPAN / f"{name}.csv").open() as file:
        rows = [row for row in csv.DictReader(file) if not row["date"].endswith("-02-29")]
    tmin = np.array([float(row["tmin"] or "nan") for row in rows])
    return tmin[HIGH_SUMMER : HIGH_SUMMER + 49 * 365].reshape(49, 365)


def share_of_years_later(days: np.ndarray, day: float) -> float:
    """Counted: a year without frost had none later."""
    return float(np.mean(np.isfinite(days) & (days > day)))


def test_first_and_last_frost_by_hand():
    tmin = np.stack([year_of({60: 0.0, 61: -3, 90: 0.1}), year_of({}), year_of({3: -9})])
    assert first_frosts(tmin).tolist() == [60, np.inf, 3]
    assert last_frosts(tmin).tolist() == [61, np.inf, 3]
    assert first_frosts(tmin, -2.2).tolist() == [61, np.inf, 3]


# "ten missing days before we reach a freeze date" void a season: Utah Climate Center, help on freeze dates
# (read in a stored copy).
@pytest.mark.parametrize(("missing", "known"), [(9, True), (10, False)])
def test_ten_missing_days_before_the_frost_void_a_season(missing, known):
    tmin = year_of({100: -1})
    tmin[20 : 20 + missing] = np.nan
    tmin[120:150] = np.nan  # after the frost they don't matter
    assert first_frosts(tmin) == (100 if known else pytest.approx(np.nan, nan_ok=True))
    back = tmin[::-1]
    assert last_frosts(back) == (79 if known else pytest.approx(np.nan, nan_ok=True))


def test_a_season_without_frost_can_be_told_only_if_it_is_nearly_whole():
    tmin = year_of({})
    tmin[:10] = np.nan
    assert np.isnan(first_frosts(tmin))
    assert np.isinf(first_frosts(tmin[1:]))


def test_last_frosts_are_first_frosts_seen_backwards():
    tmin = winters("nagano")
    np.testing.assert_array_equal(last_frosts(tmin, -2.2), 364 - first_frosts(tmin[:, ::-1], -2.2))


def test_ninety_per_cent_in_spring_is_nine_years_in_ten_later():
    # The words of the published normals: National Climatic Data Center, Last freeze/frost probability.
    days = np.random.default_rng(1).normal(100, 12, 4000)
    normals = freeze_normals(days)
    assert share_of_years_later(days, normals.day_of_last(0.9)) == pytest.approx(0.9, abs=0.02)
    assert share_of_years_later(days, normals.day_of_first(0.1)) == pytest.approx(0.9, abs=0.02)
    # "Early" and "late" as the 10th and 90th percentile of dates: Midwestern Regional Climate Center's notes.
    assert normals.day_of_first(0.1) == pytest.approx(np.quantile(days, 0.1), abs=1)
    assert normals.day_of_first(0.9) == pytest.approx(np.quantile(days, 0.9), abs=1)


def test_years_without_frost_count():
    half = freeze_normals([90, 100, 110, np.inf, np.inf, np.inf])
    assert (half.years, half.share_with_frost, half.mean_day) == (6, 0.5, 100)
    assert half.day_of_last(0.25) == pytest.approx(100)
    assert half.day_of_last(0.6) == -np.inf  # fewer years have a frost at all
    assert half.day_of_first(0.6) == np.inf


def test_years_that_cannot_be_told_do_not():
    assert freeze_normals([90, np.nan, 110]) == freeze_normals([90, 110])
    with pytest.raises(ValueError, match="at least one year"):
        freeze_normals([np.nan])


def test_places_without_frost_and_years_all_alike():
    none = freeze_normals([np.inf, np.inf])
    assert (none.share_with_frost, none.day_of_first(0.1), none.day_of_last(0.1)) == (0, np.inf, -np.inf)
    one = freeze_normals([50, 50, 50])
    assert (one.day_of_first(0.1), one.day_of_first(0.5), one.day_of_last(0.1)) == (50, 50, 50)


@given(
    arrays(float, st.integers(2, 40), elements=st.one_of(st.just(np.inf), st.integers(0, 200).map(float))),
    st.floats(0.02, 0.97),
)
def test_dates_move_one_way_with_the_odds_and_meet_where_both_ends_share_them(days, chance):
    normals: FreezeNormals = freeze_normals(days)
    assert normals.day_of_first(chance) <= normals.day_of_first(chance + 0.01)
    assert normals.day_of_last(chance) >= normals.day_of_last(chance + 0.01)
    if 0.01 < chance < normals.share_with_frost - 0.01:  # come by a day in some, still to come in the rest
        rest = normals.share_with_frost - chance
        assert normals.day_of_first(chance) == pytest.approx(normals.day_of_last(rest), abs=1e-6)


@pytest.mark.parametrize("level", [0.0, -2.2, -4.4])  # 32, 28 and 24 degF
@pytest.mark.parametrize("name", ["nagano", "kagoshima"])
def test_the_normals_are_near_what_counting_gives_on_a_real_station(name, level):
    """With 49 winters one count is off by up to 0.14 (two standard errors) from the odds behind it."""
    for of_season in (first_frosts, last_frosts):
        days = of_season(winters(name), level)
        normals = freeze_normals(days)
        assert normals.share_with_frost == np.isfinite(days).mean()
        for chance in np.arange(0.05, normals.share_with_frost, 0.05):
            counted = share_of_years_later(days, normals.day_of_last(chance))
            assert chance == pytest.approx(counted, abs=0.14), (of_season.__name__, chance)


def test_the_mild_station_has_winters_without_hard_frost():
    # Known of the place, no source: on the southern coast it rarely falls below -4.4 degC.
    assert freeze_normals(first_frosts(winters("kagoshima"), -4.4)).share_with_frost < 0.5
    assert freeze_normals(first_frosts(winters("nagano"), -4.4)).share_with_frost == 1
