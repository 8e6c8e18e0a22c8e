"""What a map shows as a number, and why a site shows none."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from season_engine.errors import GrowerError
from season_engine.maps.batch_files import read_rows
from season_engine.maps.shown import ODDS, Blank, Shown, shown
from season_engine.maps.whats import WHATS
from tests.made_country import ON, a_refusal, a_row, country, write_batch


def rows_of(folder, rows, **options):
    return read_rows(write_batch(folder, rows, **options))


def day(month, date, year=2026):
    return dt.date(year, month, date)


def test_each_reason_for_a_blank_is_told_apart(tmp_path):
    given = [
        a_row("dated", 45, 5, day(3, 20)),
        a_row("dated too", 46, 5, day(4, 2)),
        a_row("not here", 1, 5, None),
        a_row("next season", 50, 5, day(3, 20, 2027), season="2026/27"),
        a_row("no middle date", 60, 5, day(3, 20)) | {"opens_p50": None},
        a_refusal("refused", 47, 5),
    ]
    found = shown(rows_of(tmp_path, given), "opens")
    expected = [Blank.SHOWN, Blank.SHOWN, Blank.NOT_HERE, Blank.OTHER_SEASON, Blank.NO_DATE, Blank.REFUSED]
    assert found.blank.tolist() == expected
    assert found.values[:2].tolist() == [
        (day(3, 20) - day(10, 1, 2025)).days,
        (day(4, 2) - day(10, 1, 2025)).days,
    ]
    assert np.isnan(found.values[2:]).all()
    assert found.date(found.values[1], "north") == day(4, 2)


def test_odds_and_mondays_hang_on_no_season(tmp_path):
    given = [
        a_row("this", 45, 5, day(2, 20)),
        a_row("this too", 45, 6, day(2, 20)),
        a_row("next", 46, 5, day(2, 21), season="2026/27"),
    ]
    rows = rows_of(tmp_path, given)
    for what in ("monday", "chance", "early-late"):
        assert shown(rows, what).blank.tolist() == [Blank.SHOWN] * 3, what
    assert shown(rows, "opens").blank.tolist() == [Blank.SHOWN, Blank.SHOWN, Blank.OTHER_SEASON]


def test_north_and_south_share_a_scale_half_a_year_apart(tmp_path):
    """What opens as many days into its season has the same value on both sides of the equator."""
    given = [a_row("north", 45, 5, day(3, 20)), a_row("south", -45, 5, day(9, 18))]
    found = shown(rows_of(tmp_path, given), "opens")
    assert found.values.tolist() == [170, 170]
    assert [found.date(170, half) for half in ("north", "south")] == [day(3, 20), day(9, 18)]


def test_days_late_are_this_opening_less_the_usual(tmp_path):
    given = [a_row(str(late), 45 + late, 5, day(3, 20), late=late) for late in (-9, 0, 4)]
    found = shown(rows_of(tmp_path, given), "early-late")
    assert found.values.tolist() == [-9, 0, 4]
    assert shown(rows_of(tmp_path / "again", given), "usual").values.tolist() == [179, 170, 166]


@pytest.mark.parametrize("on", [day(3, 2), day(3, 3), day(3, 8)])
def test_mondays_count_from_the_first_one_from_the_day_on(tmp_path, on):
    monday = on + dt.timedelta(-on.weekday() % 7)
    given = [a_row(f"{weeks}", 45 + weeks, 5, day(3, 2)) for weeks in range(3)]
    for weeks, row in enumerate(given):
        row["earliest_safe_monday"] = monday + dt.timedelta(7 * weeks)
    found = shown(rows_of(tmp_path, given, on=on), "monday")
    assert found.values.tolist() == [0, 7, 14]
    assert found.date(7, "south").weekday() == 0
    assert found.lines().tolist() == [7, 14]


def test_a_map_without_any_value_is_refused_and_says_why(tmp_path):
    given = [a_row("a", 1, 5, None), a_row("b", 2, 5, None), a_refusal("c", 3, 5)]
    with pytest.raises(GrowerError, match="of 3 sites 1 were refused, at 2 the window seldom comes"):
        shown(rows_of(tmp_path, given), "opens")


def a_shown(what, values):
    values = np.array(values, float)
    return Shown(what, values, np.zeros(values.size, np.int8), np.zeros(values.size, bool), ON)


@pytest.mark.parametrize("what", ["opens", "early-late", "monday"])
@pytest.mark.parametrize("span", [0, 1, 3, 9, 30, 100, 300])
@pytest.mark.parametrize("least", [-40, -3, 0, 7])
def test_lines_are_few_round_and_lie_between_values(what, span, least):
    unit = 7 if what == "monday" else 1
    values = unit * np.linspace(least, least + span, 200).round()
    lines = a_shown(what, values).lines()
    assert lines.size <= 10
    assert (lines.size > 0) == (span > 0)
    if lines.size:
        assert values.min() < lines.min() and lines.max() <= values.max()
        step = lines[0] if lines.size == 1 else lines[1] - lines[0]
        assert np.diff(lines) == pytest.approx(step) and (lines % unit == 0).all()
        if what == "early-late" and lines.min() < 0 < lines.max():
            assert 0 in lines


def test_a_few_extremes_dont_stretch_the_lines():
    values = [*np.arange(100) % 20, 4000]
    lines = a_shown("opens", values).lines()
    assert lines.size >= 5 and lines.max() <= 21


def test_lines_of_odds_are_fixed():
    assert a_shown("chance", np.linspace(0, 1, 50)).lines().tolist() == list(ODDS)
    assert a_shown("chance", [0.2, 0.55]).lines().tolist() == [0.3, 0.5]


def test_every_quantity_of_the_made_country_has_values_and_the_equator_has_none(tmp_path):
    rows = rows_of(tmp_path, country(step=2.0))
    for what in WHATS:
        found = shown(rows, what)
        assert np.isnan(found.values[np.abs(rows.latitude) < 8]).all()
        assert (found.blank[np.abs(rows.latitude) < 8] == Blank.NOT_HERE).all()
        assert {Blank.SHOWN, Blank.NOT_HERE, Blank.REFUSED} <= {*found.blank.tolist()}
