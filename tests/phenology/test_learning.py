from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace
from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from season_engine.note import Note, Sighting
from season_engine.phenology.dating import date_markers
from season_engine.phenology.learning import (
    NOTHING,
    Learnt,
    learn,
)
from season_engine.phenology.rule_error import DECAY, RuleError, posterior, with_its_draws
from season_engine.phenology.stages import StageNote, season_of, stage_marker
from season_engine.phenology.station_log import learn_log
from season_engine.site import Season
from season_engine.species.catalogue import load_catalogue
from season_engine.weather.series import DailySeries
from season_engine.windows.assess import Prospect, assess
from season_engine.words.learnt import learnt_sentence
from tests.yards import NAGANO, SOUTH, readings, view, view_on

MAPLE = load_catalogue().find("Acer palmatum")
CHERRY = load_catalogue().find("Prunus x yedoensis")
ON = dt.date(2021, 3, 1)
PAST = view(NAGANO, ON).past
DATED = date_markers(MAPLE, PAST)
BY_YEAR = {name: dict(zip(PAST.labels.tolist(), days, strict=True)) for name, days in DATED.plain.items()}
SWELLING = BY_YEAR["buds_swelling"]


def notes(late: list[float], first: int = 2018) -> list[StageNote]:
    """Bud swell noted so many days late in the years up to `first`, newest first."""
    return [
        StageNote(first - back, round(SWELLING[first - back] + days), 1) for back, days in enumerate(late)
    ]


def learnt(late: list[float], season: int = 2019) -> Learnt:
    return learn(MAPLE, notes(late), BY_YEAR, season)


def test_no_note_changes_nothing() -> None:
    assert learn(MAPLE, [], BY_YEAR, 2020) == NOTHING


def test_the_more_notes_agree_the_nearer_their_shift_and_the_surer() -> None:
    found = [learnt([10.0] * count) for count in (1, 3, 5, 10)]
    shifts = [one.shift_days for one in found]
    assert shifts == sorted(shifts)
    assert 3 < shifts[0] < 10 and shifts[-1] == pytest.approx(10, abs=2.0)
    spreads = [one.spread for one in found]
    assert spreads == sorted(spreads, reverse=True)
    assert spreads[0] < 1


def test_one_wild_note_costs_under_two_days() -> None:
    assert abs(learnt([40.0]).shift_days) < 2
    assert abs(learnt([0.0, 0.0, 40.0]).shift_days - learnt([0.0, 0.0]).shift_days) < 2


@pytest.mark.parametrize("late", [0.0, 15.0, 35.0, 40.0])
def test_a_note_is_a_slip_once_in_twenty_and_the_odder_the_likelier(late: float) -> None:
    """By Bayes' rule: right, it strays as the rule errs; a slip, it lies anywhere in four months."""
    (lesson,) = learnt([late]).lessons
    sd_days = MAPLE.markers["buds_swelling"].sd_days
    right = 0.95 * NormalDist(0.0, sd_days).pdf(lesson.difference_days)
    expected = right / (right + 0.05 / 120)
    assert lesson.right == pytest.approx(
        expected, abs=0.1
    )  # a year old, it counts for a little less than one
    assert (late > 24) == (lesson.right < 0.5)


def test_old_notes_of_a_tree_that_was_replaced_lose_their_weight() -> None:
    old = [note for note in notes([10.0] * 19) if note.season < 2010]
    assert abs(learn(MAPLE, [*notes([0.0] * 5), *old], BY_YEAR, 2019).shift_days) < 3
    assert learnt([10.0] * 10).shift_days > 8


def test_three_notes_of_a_new_tree_outweigh_ten_year_old_ones_of_the_one_it_replaced() -> None:
    """The old tree ran ten days late, the new one runs as the catalogue has it.

    Three old notes alone would still move it by a few days; beside three new ones they move it by less than
    two, while three of last year's would hold it half way.
    """
    new = notes([0.0] * 3)
    old = [note for note in notes([10.0] * 13) if note.season <= 2008][:3]
    assert [2019 - note.season for note in old] == [11, 12, 13]
    recent = [replace(note, column=note.column + 10) for note in new]
    alone, beside, level = (
        learn(MAPLE, told, BY_YEAR, 2019).shift_days for told in (old, [*new, *old], [*new, *recent])
    )
    assert 1 < alone < 6
    assert 0 < beside < 2 < level < 6
    lessons = learn(MAPLE, [*new, *old], BY_YEAR, 2019).lessons
    assert all(lesson.weight > 0.6 for lesson in lessons[:3])
    assert all(lesson.weight < 0.2 for lesson in lessons[3:])


def test_the_error_falls_as_notes_are_added_in_a_yard_off_by_a_fifth() -> None:
    """A yard that needs a fifth more warmth than the catalogue says, on real weather; noise of two days."""
    true = load_catalogue().find("Acer palmatum")
    needier = replace(
        true, markers={**true.markers, "buds_swelling": more_warmth(true.markers["buds_swelling"])}
    )
    truth = dict(zip(PAST.labels.tolist(), date_markers(needier, PAST).plain["buds_swelling"], strict=True))
    noise = np.random.default_rng(5).normal(0, 2, 60)
    errors = {}
    for count in (0, 1, 3, 5, 10):
        missed = []
        for season in range(1995, 2019):
            noted = [
                StageNote(year, round(truth[year] + noise[year - 1960]), 1)
                for year in range(season - count, season)
            ]
            shift = learn(MAPLE, noted, BY_YEAR, season).shift_days
            missed.append(abs(SWELLING[season] + shift - truth[season]))
        errors[count] = float(np.mean(missed))
    assert list(errors.values()) == sorted(errors.values(), reverse=True)
    assert errors[10] < 0.7 * errors[0]


def more_warmth(marker):
    return marker.model_copy(update={"need": marker.need * 1.2})


def test_a_stage_stands_for_the_nearest_marker_or_none() -> None:
    assert stage_marker(MAPLE, 1) == "buds_swelling"
    assert stage_marker(MAPLE, 4) == "buds_lengthen"
    assert stage_marker(MAPLE, 5) is None
    assert stage_marker(MAPLE, 10) == "leaves_open"
    assert stage_marker(MAPLE, 65) is None


def note(day: dt.date, bbch: int, sighting: Sighting = "seen") -> Note:
    return Note(day, "nagano", species="Japanese maple", bbch=bbch, sighting=sighting)


def opening(on: dt.date, *written: Note):
    window = MAPLE.windows[0]
    return assess(Prospect(view(NAGANO, on), MAPLE, notes=written), window)


def test_what_was_seen_this_season_is_known_to_the_day() -> None:
    seen = dt.date(2021, 3, 24)
    told = opening(dt.date(2021, 3, 28), note(seen, 1))
    assert (told.opens.p10, told.opens.p90) == (seen, seen)
    assert told.learnt.seen_this_season and "saw this season" in learnt_sentence(told.learnt)


def test_not_yet_leaves_no_chance_in_the_past() -> None:
    on = dt.date(2021, 3, 24)
    before, after = opening(on), opening(on, note(on, 1, "not-yet"))
    assert before.opens.p10 < on
    assert after.opens.p10 > on
    assert after.chance_open_now == 0


def test_already_leaves_no_chance_in_the_future_and_keeps_those_behind() -> None:
    on = dt.date(2021, 3, 24)
    before, after = opening(on), opening(on, note(on, 1, "already"))
    assert before.opens.p10 < on < before.opens.p90
    assert after.opens.p90 <= on, "it had come by then"
    assert after.opens.p10 < on, "but on which day isn't known"
    assert (after.opens.p50 - after.opens.p10).days <= (before.opens.p50 - before.opens.p10).days


def test_a_stage_that_came_before_any_chance_of_it_moves_the_date() -> None:
    on = dt.date(2021, 2, 10)
    assert opening(on).opens.p10 > on
    told = opening(on, note(on, 1, "already")).reasons[0]
    assert told.marker == "buds_swelling" and told.date_p50 == on


COLOUR = BY_YEAR["leaves_colour"]


def coloured(days: Sequence[float], bbch: int = 92) -> list[StageNote]:
    return [StageNote(2018 - back, round(day), bbch) for back, day in enumerate(days)]


def test_leaf_colour_goes_by_its_own_dates_and_moves_no_bud() -> None:
    """Whatever the weather of a season: the mean of what was noted, with how far it strays."""
    days = 150.0 + np.random.default_rng(3).normal(0.0, 5.0, 12)
    told = learn(MAPLE, coloured(days.tolist()), BY_YEAR, 2019)
    assert (told.shift_days, told.spread, told.notes) == (0.0, 1.0, 0)
    assert [lesson.use for lesson in told.lessons] == ["own date"] * 12
    own = told.own_dates["leaves_colour"]
    assert own.column == pytest.approx(150, abs=3) and 4 < own.sd_days < 9
    moved = date_markers(MAPLE, PAST, learnt=told)
    assert set(moved.plain["leaves_colour"]) == {own.column}
    assert np.ptp(moved.plain["coloured_for_weeks"]) == 0
    eight_in_ten = np.ptp(np.quantile(moved.dates["leaves_colour"][0], [0.1, 0.9]))
    assert eight_in_ten == pytest.approx(2.56 * own.sd_days, abs=2)
    for name in ("buds_swelling", "leaves_open"):
        np.testing.assert_array_equal(moved.dates[name], DATED.dates[name])
    both = learn(MAPLE, [*notes([10.0]), *coloured(days.tolist())], BY_YEAR, 2019)
    assert both.shift_days == learnt([10.0]).shift_days
    assert both.own_dates == told.own_dates


def test_few_own_dates_lean_on_what_the_rule_usually_gives() -> None:
    usual = float(np.mean([day for day in COLOUR.values() if np.isfinite(day)]))
    shifts = []
    for count in (1, 3, 10):
        own = learn(MAPLE, coloured([usual + 10.0] * count), BY_YEAR, 2019).own_dates["leaves_colour"]
        shifts.append(own.column - usual)
    assert 3 < shifts[0] < shifts[1] < shifts[2] < 11


def test_the_fall_of_leaves_has_own_dates_as_well() -> None:
    usual = float(np.mean([day for day in BY_YEAR["leaves_fallen"].values() if np.isfinite(day)]))
    told = learn(MAPLE, coloured([usual + 12.0] * 4, bbch=97), BY_YEAR, 2019)
    assert 6 < told.own_dates["leaves_fallen"].column - usual < 13
    assert "leaves_colour" not in told.own_dates


def test_a_rule_that_the_mean_of_thirty_dates_beats_gives_way_to_it() -> None:
    """Dates that hang on nothing; and beside them such as follow the rule, which goes on."""
    rng = np.random.default_rng(7)
    usual = float(np.mean(list(SWELLING.values())))
    years = range(1989, 2019)
    at_random = [StageNote(year, round(usual + rng.normal(0.0, 4.0)), 1) for year in years]
    told = learn(MAPLE, at_random, BY_YEAR, 2019)
    assert told.own_dates["buds_swelling"].column == pytest.approx(usual, abs=3)
    assert {lesson.use for lesson in told.lessons} == {"own date"}
    assert learn(MAPLE, at_random[1:], BY_YEAR, 2019).own_dates == {}, "too few to judge by"
    by_rule = [StageNote(year, round(SWELLING[year] + rng.normal(0.0, 4.0)), 1) for year in years]
    assert learn(MAPLE, by_rule, BY_YEAR, 2019).own_dates == {}


def test_a_stage_seen_this_season_counts_before_own_dates() -> None:
    days = [150.0] * 5
    season = learn(MAPLE, [*coloured(days), StageNote(2019, 141, 92)], BY_YEAR, 2019)
    assert set(date_markers(MAPLE, PAST, learnt=season).dates["leaves_colour"].ravel()) == {141.0}
    vain = learn(MAPLE, [*coloured(days), StageNote(2019, 152, 92, seen=False)], BY_YEAR, 2019)
    dating = date_markers(MAPLE, PAST, learnt=vain)
    assert dating.odds("leaves_colour").by(0.01) > 152


@pytest.mark.parametrize(
    ("site", "date", "bbch", "year"),
    [
        (NAGANO, dt.date(2020, 9, 28), 92, 2020),
        (NAGANO, dt.date(2020, 10, 3), 92, 2020),
        (NAGANO, dt.date(2021, 1, 5), 97, 2020),
        (NAGANO, dt.date(2020, 6, 30), 92, 2019),
        (NAGANO, dt.date(2020, 9, 28), 15, 2019),
        (SOUTH, dt.date(2020, 3, 20), 92, 2020),
        (SOUTH, dt.date(2020, 4, 20), 92, 2020),
        (SOUTH, dt.date(2019, 12, 31), 92, 2019),
    ],
)
def test_an_autumn_begins_three_months_before_its_season(site, date, bbch, year) -> None:
    assert season_of(site, date, bbch).year == year


def test_colour_noted_in_september_and_in_october_are_one_autumn_each() -> None:
    dates = [dt.date(2015 + year, 9 + year % 2, 28 if year % 2 == 0 else 4) for year in range(6)]
    written = [note(date, 92) for date in dates]
    on = dt.date(2021, 8, 20)
    prospect = Prospect(view(NAGANO, on), MAPLE, notes=written)
    own = prospect.learnt(1).own_dates["leaves_colour"]
    told = Season(2021, "north").first_trace_day + dt.timedelta(days=float(own.column))
    assert dt.date(2021, 9, 25) < told < dt.date(2021, 10, 15)
    assert prospect.learnt(0).own_dates.keys() == prospect.learnt(1).own_dates.keys()


def test_last_seasons_notes_count_though_its_autumn_is_young() -> None:
    on = dt.date(2021, 2, 1)
    late = note(dt.date(2020, 4, 8), 1)
    assert "By one note of yours it runs" in learnt_sentence(opening(on, late).learnt)


@pytest.mark.parametrize(("noted", "use"), [(2014, "no weather"), (2015, "no weather"), (2016, "moves")])
def test_a_note_of_a_season_that_began_before_the_readings_moves_nothing(noted: int, use: str) -> None:
    """With readings from 1 March 2015 the chill of that spring isn't known; the next one's is."""
    whole = readings(NAGANO).cut(ON)
    begun = dt.date(2015, 3, 1)
    kept = whole.days >= np.datetime64(begun)
    young = view_on(NAGANO, DailySeries(begun, whole.tmin_c[kept], whole.tmax_c[kept]), ON)
    told = Prospect(young, MAPLE, notes=[note(dt.date(noted, 3, 25), 1)]).learnt(0)
    assert [lesson.use for lesson in told.lessons] == [use]
    assert (told.in_general() == NOTHING) == (use != "moves")


def test_a_bud_at_rest_is_one_that_has_not_begun() -> None:
    on = dt.date(2021, 3, 24)
    assert opening(on, note(on, 0)).opens == opening(on, note(on, 1, "not-yet")).opens


def test_notes_of_other_yards_and_species_teach_nothing() -> None:
    elsewhere = Note(dt.date(2020, 4, 20), "lowland", None, "Japanese maple", 1)
    other = Note(dt.date(2020, 4, 20), "nagano", None, "trident maple", 1)
    assert opening(dt.date(2021, 2, 1), elsewhere, other) == opening(dt.date(2021, 2, 1))


# --- the yard's shift and how far its years stray ----------------------------------------------------------

ERROR = RuleError(yard_days=6.0, year_days=4.0)
SWELL = MAPLE.markers["buds_swelling"]


def taught(differences: list[float], weights: list[float] | None = None) -> tuple[float, float]:
    """Shift and spread."""
    found = posterior(np.array(differences), np.array(weights or [1.0] * len(differences)), ERROR)
    return float(found.shift_days), float(found.sd_days) / ERROR.whole_days


def test_without_notes_the_error_is_the_rules_own() -> None:
    """How far years stray is unsure, but a priori their mean square is the rule's."""
    shift, spread = taught([])
    assert shift == pytest.approx(0, abs=1e-9)
    assert spread == pytest.approx(1, abs=0.02)


@pytest.mark.parametrize("late", [-4.0, 1.0, 3.0, 6.0])
@pytest.mark.parametrize("count", [1, 4, 12])
def test_the_shift_is_near_that_of_two_normal_errors(late: float, count: int) -> None:
    """Closed form of a normal yard and normal years: shrunk by one year's variance over all the notes.

    With slips as good as ruled out by notes that agree, what is left apart is that years may stray less.
    """
    yard, year = ERROR.yard_days**2, ERROR.year_days**2
    plain = late * count * yard / (count * yard + year)
    shift, _ = taught([late] * count)
    assert abs(plain) - 0.1 <= abs(shift) <= abs(late)
    assert shift == pytest.approx(plain, abs=0.15 * abs(late))


def test_more_notes_narrow_and_never_to_nothing() -> None:
    """Years that stray as far as the rule says."""
    usual = [5 + ERROR.year_days, 5 - ERROR.year_days] * 20
    spreads = [taught(usual[:count])[1] for count in (0, 2, 4, 10, 40)]
    assert spreads == sorted(spreads, reverse=True)
    whole = np.hypot(ERROR.yard_days, ERROR.year_days)
    assert spreads[-1] == pytest.approx(ERROR.year_days / whole, rel=0.15)  # a year's error stays


def test_calm_years_narrow_the_spread_and_wild_ones_widen_it() -> None:
    step = np.array([1.0, -1.0] * 6)
    calm, usual, wild = (taught((3 + size * step).tolist()) for size in (1.0, ERROR.year_days, 9.0))
    assert calm[1] < 0.8 * usual[1] < 0.64 * wild[1]
    for shift, _ in (calm, usual, wild):
        assert shift == pytest.approx(3, abs=1)


DIFFERENCES = st.lists(st.floats(-50, 50), min_size=1, max_size=6)


@given(DIFFERENCES, st.floats(0.1, 1.0))
def test_late_and_early_are_alike_and_weights_add_up(differences: list[float], weight: float) -> None:
    weights = [weight] * len(differences)
    shift, spread = taught(differences, weights)
    mirrored = taught([-one for one in differences], weights)
    assert mirrored == pytest.approx((-shift, spread), abs=1e-9)
    halves = taught([*differences, *differences], [weight / 2] * (2 * len(differences)))
    assert halves == pytest.approx((shift, spread), abs=1e-9)
    order = taught(differences[::-1], weights)
    assert order == pytest.approx((shift, spread), abs=1e-9)
    assert abs(shift) <= max(map(abs, differences)) + 1e-9


@given(st.integers(0, 10**6))
def test_many_yards_learn_each_as_it_does_alone(seed: int) -> None:
    """A note without weight tells nothing, whatever stands there."""
    random = np.random.default_rng(seed)
    differences, weights = random.normal(0, 12, (3, 5)), random.random((3, 5))
    absent = random.random((3, 5)) < 0.4
    weights[absent], differences[absent] = 0.0, random.choice([np.nan, np.inf, 1e9], absent.sum())
    found = posterior(differences, weights, ERROR)
    for place, missing in enumerate(absent):
        kept = ~missing
        alone = posterior(differences[place, kept], weights[place, kept], ERROR)
        assert found.shift_days[place] == pytest.approx(alone.shift_days, abs=1e-9)
        assert found.sd_days[place] == pytest.approx(alone.sd_days, abs=1e-9)
        assert found.right[place, kept] == pytest.approx(alone.right, abs=1e-9)


def test_made_yards_are_found_again_and_their_spread_is_honest() -> None:
    """Shift, calm and years drawn as the rule says: after five notes the next date lies in its range."""
    random = np.random.default_rng(12)
    yards = 3000
    shift = random.normal(0, ERROR.yard_days, yards)
    years = shift[:, None] + random.normal(0, ERROR.year_days, (yards, 6))
    found = posterior(years[:, :5], np.ones((yards, 5)), ERROR)
    off = years[:, 5] - found.shift_days
    sd = found.sd_days
    held = np.mean(np.abs(off) <= NormalDist().inv_cdf(0.9) * sd)
    assert held == pytest.approx(0.8, abs=2.5 * (0.8 * 0.2 / yards) ** 0.5 + 0.02)
    assert off.std() == pytest.approx(np.sqrt((sd**2).mean()), rel=0.05)
    assert np.abs(found.shift_days - shift).mean() < 0.5 * np.abs(shift).mean()


@pytest.mark.parametrize(
    ("sd_days", "year_sd_days", "yard", "year"),
    [
        (9.0, None, 7.2, 5.4),  # three fifths of it a year's
        (2.5, None, 2.0, 1.5),  # of a sharp rule as well
        (13.0, 5.0, 12.0, 5.0),  # where it says so itself
        (3.0, 3.0, 1.0, 3.0),
    ],
)
def test_a_rules_error_is_parted_into_the_yards_and_a_years(
    sd_days: float, year_sd_days: float | None, yard: float, year: float
) -> None:
    marker = SWELL.model_copy(update={"sd_days": sd_days, "year_sd_days": year_sd_days})
    found = RuleError.of([marker])
    assert (found.yard_days, found.year_days) == pytest.approx((yard, year))
    both = RuleError.of([marker, marker.model_copy(update={"sd_days": 9.0, "year_sd_days": None})])
    assert both.year_days == pytest.approx(np.sqrt((year**2 + 5.4**2) / 2))


# --- a log of one event ------------------------------------------------------------------------------------

YEARS = np.array([1999, 2000, 2001, 2003, 2004, 2006, 2007])
OFF = np.array([4.0, np.nan, 7.0, -2.0, np.inf, 5.0, 6.5])
ASKED = np.array([1999, 2000, 2002, 2003, 2007, 2008, 2031])


@pytest.mark.parametrize("newest", [None, 0, 1, 3, 99])
def test_a_log_teaches_each_season_what_the_years_before_it_say(newest: int | None) -> None:
    """One by one from those noted before: the last of them, and of these what the rule dates too."""
    ruled = np.linspace(140.0, 170.0, YEARS.size)
    found = learn_log(MAPLE, "buds_swelling", YEARS, ruled + OFF, ruled, ASKED, newest)
    for place, season in enumerate(ASKED.tolist()):
        before = [pair for pair in zip(YEARS.tolist(), OFF.tolist(), strict=True) if pair[0] < season]
        before = before[len(before) - newest :] if newest is not None and newest < len(before) else before
        dated = [(year, off) for year, off in before if np.isfinite(off)]
        shift, spread = found.shift_days[place], found.spread[place]
        if not dated:
            assert (shift, spread) == (0.0, 1.0)
            continue
        weights = np.exp([-DECAY * (season - year) for year, _ in dated])
        alone = posterior(np.array([off for _, off in dated]), weights, RuleError.of([SWELL]))
        narrowed = float(alone.sd_days) / RuleError.of([SWELL]).whole_days
        assert (shift, spread) == pytest.approx((float(alone.shift_days), narrowed), abs=1e-9)


def test_a_log_and_a_journal_with_the_same_dates_teach_the_same() -> None:
    written = notes([3.0, -1.0, 8.0, 2.0])
    years = np.array([note.season for note in written][::-1])
    noted = np.array([float(note.column) for note in written][::-1])
    ruled = np.array([SWELLING[note.season] for note in written][::-1])
    log = learn_log(MAPLE, "buds_swelling", years, noted, ruled, np.array([2019]))
    journal = learn(MAPLE, written, BY_YEAR, 2019)
    assert log.shift_days[0] == pytest.approx(journal.shift_days, abs=1e-9)
    assert log.spread[0] == pytest.approx(journal.spread, abs=1e-9)


def test_an_empty_log_teaches_nothing() -> None:
    none = np.array([])
    found = learn_log(MAPLE, "buds_swelling", none.astype(np.int64), none, none, np.array([2001, 2002]))
    assert found.shift_days.tolist() == [0, 0] and found.spread.tolist() == [1, 1]


APRICOT = load_catalogue().find("Prunus mume")


def test_petals_that_fall_late_teach_as_much_as_flowers_that_open_late() -> None:
    """They share the flowers' draws: what the one is off, the other is off too."""
    dated = {name: dict.fromkeys(range(2000, 2020), 200.0) for name in APRICOT.markers}
    shifts = {}
    for bbch in (61, 67):
        written = [StageNote(year, 215, bbch) for year in range(2014, 2019)]
        found = learn(APRICOT, written, dated, 2019)
        assert all(lesson.right > 0.8 for lesson in found.lessons)
        shifts[bbch] = found.shift_days
    assert shifts[67] == pytest.approx(shifts[61], abs=1.5) and shifts[61] > 10


def test_a_marker_counted_in_days_has_the_error_of_what_it_is_counted_from_and_its_own() -> None:
    flowers, petals = (with_its_draws(CHERRY.markers, name) for name in ("first_flowers", "petals_fall"))
    own = CHERRY.markers["petals_fall"].sd_days
    assert flowers == CHERRY.markers["first_flowers"]
    assert petals.sd_days == pytest.approx(np.hypot(flowers.sd_days, own))
    assert petals.year_sd_days == pytest.approx(np.hypot(flowers.year_sd_days, own))
