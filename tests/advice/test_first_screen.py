"""What stands on top: what to work first, what moved and why, what to protect."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from season_engine.advice.choice import to_work_first
from season_engine.advice.hindsight import Hindsight, years_before
from season_engine.advice.moves import LastTime, moves
from season_engine.note import Note
from season_engine.species.catalogue import load_catalogue
from season_engine.traces import SeasonView
from season_engine.trees.need import Need
from season_engine.trees.need_why import Weak, WouldBar
from season_engine.windows.assess import Prospect, assess
from season_engine.windows.assessment import Assessment, WeekAhead
from season_engine.windows.yard import Watched
from tests.factories import AS_OF, an_assessment, days
from tests.yards import NAGANO, readings, view, view_on

ON = dt.date(2024, 3, 23)
MAPLE = load_catalogue().find("Acer palmatum")
SPRING = next(one for one in MAPLE.windows if (one.job, one.name) == ("repotting", "spring"))


def with_odds(today: float, later: float, **changes: object) -> Assessment:
    weeks = [
        WeekAhead(AS_OF + days(7 * n), 1.0, 0.0, (0.0, 0.0), c) for n, c in enumerate((today, today, later))
    ]
    return an_assessment(ahead=tuple(weeks), **changes)


def test_the_job_that_loses_most_by_waiting_comes_first_then_what_closes_first():
    slow = with_odds(0.9, 0.8, tree="A", species="slow")
    fast = with_odds(0.7, 0.2, tree="B", species="fast")
    even = with_odds(0.9, 0.8, tree="C", species="even", closes=AS_OF + days(5))
    assert [c.first.species for c in to_work_first((slow, fast, even))] == ["fast", "even"]


def test_a_missed_heavy_job_costs_more_than_a_missed_tidy():
    tidy = with_odds(0.9, 0.4, tree="A", species="tidy", job="winter-tidy")
    repot = with_odds(0.9, 0.7, tree="B", species="repot")
    assert [c.first.species for c in to_work_first((tidy, repot))] == ["repot", "tidy"]


def test_a_tree_that_is_to_be_left_or_not_due_is_not_named_first():
    """Such as one that the job would cost the repotting it is due for."""
    for state, jobs in (("leave", []), ("may", []), ("due", ["structural-pruning"])):
        need = Need(state, WouldBar("repotting", AS_OF + days(9)), "greater-first")
        prune = with_odds(0.9, 0.4, tree="A", job="structural-pruning", need=need)
        assert [one.first.job for one in to_work_first((prune,))] == jobs


def test_what_is_better_done_later_is_not_to_be_done_first():
    assert to_work_first((with_odds(0.6, 0.9, tree="A"),)) == ()


@pytest.mark.parametrize(("later", "first"), [(0.80, True), (0.81, True), (0.84, False), (0.88, False)])
def test_what_is_as_good_in_two_weeks_may_be_done_first_and_what_is_better_then_waits(later, first):
    """A chance in a hundred is no difference; four in a hundred are worth the wait."""
    assert bool(to_work_first((with_odds(0.80, later, tree="A"),))) is first


def test_only_what_may_be_done_today_and_never_a_weak_tree():
    weak, hold, small = (with_odds(0.9, 0.1, tree=name) for name in ("W", "H", "S"))
    hold, small = replace(hold, today="hold"), replace(small, job="feeding")
    weak = replace(weak, need=Need("leave", Weak(), "weak"))
    assert to_work_first((weak, hold, small)) == ()


def test_trees_of_one_species_and_job_are_one_choice_and_no_tree_is_named_twice():
    trees = [with_odds(0.9, 0.2, tree=name) for name in "AB"]
    again = with_odds(0.9, 0.5, tree="A", job="needle-work", window="autumn")
    first, *others = to_work_first((*trees, again))
    assert [a.tree for a in first.assessments] == ["A", "B"]
    assert others == []


def watched(seen: SeasonView, notes: tuple[Note, ...] = ()) -> Watched:
    return Watched(MAPLE, SPRING, "medium", assess(Prospect(seen, MAPLE, "medium", notes), SPRING))


def no_record(_a: object, _end: object) -> None:
    return None


def moved(series, notes: tuple[Note, ...] = (), on: dt.date = ON, said=no_record):
    seen = view_on(NAGANO, series, on)
    last_time = LastTime(seen, on - days(7), notes, load_catalogue().get)
    return moves([watched(seen, notes)], last_time, said), last_time.weather_since()


def colder(by_c: float):
    """Nagano's readings, the week up to `ON` colder by so much."""
    series = readings(NAGANO)
    last = (ON - series.first_day).days
    tmin, tmax = series.tmin_c.copy(), series.tmax_c.copy()
    for line in (tmin, tmax):
        line[last - 6 : last + 1] -= by_c
    return replace(series, tmin_c=tmin, tmax_c=tmax)


def test_a_cold_week_moves_the_date_back_and_a_warm_one_forward_by_its_weather_alone():
    found = {by_c: moved(colder(by_c)) for by_c in (6.0, -6.0)}
    ((late,), cold), ((early,), warm) = found[6.0], found[-6.0]
    assert late.days > 0 > early.days
    assert (late.weather_days, late.notes_days, late.recorded) == (late.days, 0, False)
    assert cold and warm and cold.warmer_c == pytest.approx(warm.warmer_c - 12, abs=0.5)
    assert cold.colder_days == cold.days == 7


def test_a_note_entered_late_is_one_of_the_week_and_one_taken_back_moves_the_date_back():
    on = ON - days(7)
    note = Note(on - days(26), "nagano", species="Acer palmatum", bbch=1)
    late = replace(note, entered=on - days(2))
    back = replace(late, withdraws=True)
    ((move,), _) = moved(readings(NAGANO), (late,), on=on)
    assert move.notes == (late,)
    assert move.notes_days < 0
    seen = view_on(NAGANO, readings(NAGANO), on)
    (again,) = moves(
        [watched(seen)], LastTime(seen, on - days(7), (note, back), load_catalogue().get), no_record
    )
    assert (again.notes, again.weather_days) == ((), 0)
    assert again.notes_days == again.days > 0


def test_a_note_of_the_week_moves_the_date_by_itself_and_is_named():
    note = Note(ON - days(2), "nagano", species="Acer palmatum", bbch=1, sighting="not-yet")
    ((move,), _) = moved(readings(NAGANO), (note,), on=ON)
    assert move.notes == (note,)
    assert move.notes_days == move.days - move.weather_days
    assert move.notes_days > 0, "not yet seen to swell, so later"


def test_what_was_really_said_stands_over_what_is_worked_out_anew():
    ((move,), _) = moved(
        readings(NAGANO),
        said=lambda a, end: (a.opens if end == "opens" else a.closes).p50 - days(9),
    )
    assert (move.days, move.recorded) == (9, True)


def test_less_than_three_days_is_no_news():
    found, _ = moved(
        readings(NAGANO), said=lambda a, end: (a.opens if end == "opens" else a.closes).p50 - days(2)
    )
    assert found == ()


def test_past_errors_are_those_of_forecasts_from_readings_cut_at_that_day():
    seen = view(NAGANO, ON)
    errors = Hindsight(seen).errors(MAPLE, SPRING, "medium", 2023, "closes")
    assert errors is not None and errors.years == (2022, 2021, 2020)
    for year, error in zip(errors.years, errors.days, strict=True):
        then = dt.date(year + 1, ON.month, ON.day)
        said = Prospect(view(NAGANO, then), MAPLE).opening(SPRING, 0).closed_by(0.5)
        came = Prospect(view(NAGANO, dt.date(year + 1, 9, 1)), MAPLE).opening(SPRING, 0).closed_by(0.5)
        assert said and came and abs(error - (came - said).days) <= 1  # gaps are filled a little otherwise


def test_a_date_that_had_come_by_then_tells_nothing():
    seen = view(NAGANO, dt.date(2024, 9, 1))
    assert Hindsight(seen).errors(MAPLE, SPRING, "medium", 2023, "closes") is None


def test_a_young_record_has_no_hindsight():
    young = readings(NAGANO).cut(ON)
    first = (ON - days(6 * 366) - young.first_day).days
    young = replace(
        young, first_day=ON - days(6 * 366), tmin_c=young.tmin_c[first:], tmax_c=young.tmax_c[first:]
    )
    errors = Hindsight(view_on(NAGANO, young, ON)).errors(MAPLE, SPRING, "medium", 2023, "closes")
    assert errors is None or len(errors.years) == 1


def test_the_same_day_of_earlier_years():
    assert years_before(dt.date(2024, 2, 29), 1) == dt.date(2023, 2, 28)
    assert years_before(dt.date(2024, 2, 29), 4) == dt.date(2020, 2, 28)
