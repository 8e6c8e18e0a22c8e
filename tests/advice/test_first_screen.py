"""What stands on top: what to work first, what moved and why, what to protect."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from season_engine.advice.choice import work_first
from season_engine.advice.hindsight import Hindsight, years_before
from season_engine.advice.moves import LastTime, moves
from season_engine.note import Note
from season_engine.species.catalogue import load_catalogue
from season_engine.traces import SeasonView
from season_engine.trees.need import Need
from season_engine.trees.need_why import NoDateKnown, Weak, WouldBar
from season_engine.windows.assess import Prospect, assess
from season_engine.windows.assessment import Assessment, Standing
from season_engine.windows.yard import Watched
from tests.factories import AS_OF, an_assessment, days, quantiles, weeks_ahead
from tests.yards import NAGANO, readings, view, view_on

ON = dt.date(2024, 3, 23)
MAPLE = load_catalogue().find("Acer palmatum")
SPRING = next(one for one in MAPLE.windows if (one.job, one.name) == ("repotting", "spring"))


def with_odds(*good: float, **changes: object) -> Assessment:
    """A repotting that is due, with the odds that it goes well now and in each of the next four weeks."""
    due = {"need": Need("due", NoDateKnown(), "no-date"), "tree": "A"}
    return an_assessment(ahead=weeks_ahead(*good), **{**due, **changes})


STEADY = (0.9,) * 5
SLOW = (0.9, 0.9, 0.85, 0.85, 0.8)
FAST = (0.7, 0.5, 0.2, 0.1, 0.0)


def jobs_first(*assessments: Assessment) -> list[str]:
    return [choice.first.job for choice in work_first(assessments)]


def species_first(*assessments: Assessment) -> list[str]:
    return [choice.first.species for choice in work_first(assessments)]


def test_the_job_that_loses_most_by_waiting_comes_first_then_what_closes_first():
    slow = with_odds(*SLOW, tree="A", species="slow")
    fast = with_odds(*FAST, tree="B", species="fast")
    even = with_odds(*SLOW, tree="C", species="even", closes=AS_OF + days(5))
    assert species_first(slow, fast, even) == ["fast", "even", "slow"]


def test_a_missed_heavy_job_costs_more_than_a_missed_tidy():
    tidy = with_odds(0.9, 0.6, 0.4, 0.3, 0.2, species="tidy", job="winter-tidy")
    repot = with_odds(0.9, 0.8, 0.7, 0.6, 0.5, species="repot")
    assert species_first(tidy, repot) == ["repot", "tidy"]


def test_a_tree_that_is_to_be_left_or_not_due_is_not_named_first():
    """Such as one that the job would cost the repotting it is due for."""
    for state, jobs in (("leave", []), ("may", []), ("due", ["structural-pruning"])):
        need = Need(state, WouldBar("repotting", AS_OF + days(9)), "greater-first")
        assert jobs_first(with_odds(*FAST, job="structural-pruning", need=need)) == jobs


def test_what_is_due_is_told_though_it_is_better_done_later_after_what_waiting_costs():
    later, pressing = with_odds(0.6, 0.7, 0.9, 0.9, 0.9, species="later"), with_odds(*SLOW, species="now")
    assert species_first(later, pressing) == ["now", "later"]


def test_what_is_due_is_told_though_it_must_wait_after_the_same_that_need_not():
    """It counts half where it may not be done today; under a roof it may."""
    held = with_odds(*FAST, species="held", today="hold", closes=AS_OF + days(5))
    shelter = with_odds(*FAST, species="shelter", today="only-with-shelter", closes=AS_OF + days(9))
    free = with_odds(*FAST, species="free", closes=AS_OF + days(20))
    assert species_first(held, shelter, free) == ["shelter", "free", "held"]


def test_what_may_be_caught_up_on_later_in_the_year_comes_after_what_may_not():
    first = with_odds(*FAST, tree="A", species="twice", closes=AS_OF + days(5))
    once = with_odds(*FAST, tree="B", species="once", closes=AS_OF + days(20))
    ahead = AS_OF + days(150)
    again = with_odds(*FAST, tree="A", species="twice", window="autumn", verdict="wait", opens=ahead)
    again = replace(again, opens=quantiles(ahead, 9), closes=quantiles(ahead + days(30), 9))
    assert species_first(first, once) == ["twice", "once"]
    assert species_first(first, again, once) == ["once", "twice"], "and what waits isn't told at all"


def test_what_small_care_has_what_is_far_off_and_a_weak_tree_are_never_named_first():
    small, far = with_odds(*FAST, job="feeding"), with_odds(*STEADY, verdict="wait")
    weak = with_odds(*FAST, need=Need("leave", Weak(), "weak"))
    assert jobs_first(small, far, weak) == []


def without_trees(*good: float, **changes: object) -> Assessment:
    return with_odds(*good, **{"need": None, "tree": None, **changes})


@pytest.mark.parametrize(("later", "first"), [(0.80, True), (0.81, True), (0.84, False), (0.88, False)])
def test_where_no_trees_are_kept_what_is_better_in_two_weeks_waits(later, first):
    """A chance in a hundred is no difference; four in a hundred are worth the wait."""
    assert bool(jobs_first(without_trees(0.80, 0.80, later, later, later))) is first


def test_where_no_trees_are_kept_only_what_may_be_done_today_and_closes_within_eight_weeks():
    assert jobs_first(without_trees(*FAST, today="hold")) == []
    assert jobs_first(without_trees(*STEADY, closes=AS_OF + days(56))) == ["repotting"]
    assert jobs_first(without_trees(*STEADY, closes=AS_OF + days(57))) == []
    assert jobs_first(without_trees(*FAST, closes=AS_OF + days(57))) == ["repotting"], "what falls presses"


def test_trees_of_one_species_and_job_are_one_choice_and_a_tree_may_stand_in_several():
    trees = [with_odds(*FAST, tree=name) for name in "AB"]
    apart = with_odds(*SLOW, tree="C")
    again = with_odds(*SLOW, tree="A", job="needle-work", window="autumn")
    told = [[a.tree for a in choice.assessments] for choice in work_first((*trees, apart, again))]
    assert sorted(told) == [["A"], ["A", "B"], ["C"]]
    assert told[0] == ["A", "B"]


def test_the_last_good_day_is_the_one_before_the_odds_fall_and_never_one_that_is_past():
    (choice,) = work_first((with_odds(*FAST),))
    assert choice.last_good_day == choice.first.standing.closes - days(1)
    over = Standing(AS_OF - days(9), AS_OF - days(3), unsure=False)
    (choice,) = work_first((with_odds(*FAST, standing=over),))
    assert choice.last_good_day == AS_OF


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
