"""What is to be done after jobs, in dates; the days are common practice, written from memory, no source."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from season_engine.note import Details, Note, notes_until
from season_engine.species.catalogue import load_catalogue
from season_engine.species.follow_ups import FOLLOW_UPS
from season_engine.species.jobs import JOBS
from season_engine.tree import Tree
from season_engine.trees.follow_ups import LATE_DAYS, FollowUp, due_within, follow_ups, in_flush
from season_engine.trees.history import history_of

CATALOGUE = load_catalogue()
DONE = dt.date(2025, 4, 2)
HEAVY = Details(amount="heavy")
MAPLE, PINE, RADIATA = "Acer palmatum", "Pinus thunbergii", "Pinus radiata"
LOOK, OFF, TIES_OFF = "See whether the wire bites", "Take the wire off", "Take the ties off"
WIND, FIRM, BITE = "Out of the wind", "See that the ties hold the tree firm", "See whether the ties bite"
FEED_ROOTS = "Feed for the first time since the roots were worked, once shoots run"
BUDS_TO_TWO = "Thin the new buds to two, when they are 5 to 10 mm long"
LAST_CUT = "Cut for the last time before flower buds set"
KEEP_APART = "Keep the new tree apart, and look for pests"


def days(number: int) -> dt.timedelta:
    return dt.timedelta(days=number)


def no_dates(names: Sequence[str], day: dt.date) -> dt.date | None:
    return None


def tree_of(species: str = MAPLE, **more: object) -> Tree:
    return replace(Tree("t1", "yard", species), **more)  # type: ignore[arg-type]


def note(date: dt.date = DONE, job: str | None = None, **more: object) -> Note:
    return replace(Note(date, "yard", tree="t1", job=job), **more)  # type: ignore[arg-type]


def told(tree: Tree, notes: Sequence[Note], on: dt.date, dates=no_dates) -> tuple[FollowUp, ...]:
    history = history_of(tree, notes_until(notes, on), on)
    return follow_ups(history, CATALOGUE.find(tree.species), dates, on)


def words(found: Sequence[FollowUp]) -> set[str]:
    return {one.words.template for one in found}


def ever(tree: Tree, notes: Sequence[Note], since: dt.date = DONE) -> set[tuple[str, int, int]]:
    """What is told in two and a half years, but looks at wire: words, first and last day after the job."""
    return {
        (one.words.template, (one.first - since).days, (one.last - since).days)
        for week in range(0, 900, 7)
        for one in told(tree, notes, since + days(week))
        if one.words.template != LOOK
    }


AFTER_ROOTS = {(FIRM, 7, 7), (FIRM, 14, 14), (BITE, 60, 90)}
AFTER_BLOOM = {("Feed after bloom", 7, 7), ("Thin the new shoots", 30, 40)}
AFTER_HEAVY = {
    ("See where new buds come after the heavy pruning", 30, 60),
    ("See how the cuts heal", 180, 180),
    ("See how the cuts heal", 365, 365),
}


@pytest.mark.parametrize(
    ("species", "job", "details", "expected"),
    [
        (MAPLE, "repotting", {}, {*AFTER_ROOTS, (WIND, 0, 14), (FEED_ROOTS, 30, 45), (TIES_OFF, 180, 270)}),
        (PINE, "repotting", {}, {*AFTER_ROOTS, (WIND, 0, 21), (FEED_ROOTS, 45, 60), (TIES_OFF, 270, 365)}),
        (
            PINE,
            "sectional-repotting",
            {},
            {*AFTER_ROOTS, (WIND, 0, 21), (FEED_ROOTS, 45, 60), (TIES_OFF, 365, 730)},
        ),
        (
            PINE,
            "decandling",
            {},
            {
                ("Cut the candles that were missed", 7, 7),
                ("Cut the other candles, where weak and strong ones are cut apart", 7, 14),
                (BUDS_TO_TWO, 28, 70),
                ("Feed again after decandling", 40, 60),
                ("Pull the old needles", 120, 180),
            },
        ),
        (
            MAPLE,
            "defoliation",
            {},
            {("See whether new leaves come", 21, 28), ("Feed again after defoliation", 30, 40)},
        ),
        (MAPLE, "wiring", {}, {(OFF, 30, 90)}),
        ("Acer buergerianum", "wiring", {}, {(OFF, 30, 90)}),
        ("Ficus microcarpa", "wiring", {}, {(OFF, 30, 75)}),
        ("Ulmus parvifolia", "wiring", {}, {(OFF, 30, 75)}),
        ("Olea europaea", "wiring", {}, {(OFF, 30, 75)}),
        (RADIATA, "wiring", {}, {(OFF, 75, 180)}),
        (PINE, "wiring", {}, {(OFF, 120, 365)}),
        ("Juniperus rigida", "wiring", {}, {(OFF, 180, 540)}),
        (MAPLE, "structural-pruning", {"details": HEAVY}, AFTER_HEAVY),
        (MAPLE, "structural-pruning", {}, set()),
        (MAPLE, "trimming", {}, set()),
        ("Rhododendron indicum", "after-bloom-pruning", {}, {*AFTER_BLOOM, (LAST_CUT, 35, 42)}),
        ("Camellia japonica", "after-bloom-pruning", {}, {*AFTER_BLOOM, (LAST_CUT, 40, 40)}),
        (
            "Prunus mume",
            "after-bloom-pruning",
            {},
            {*AFTER_BLOOM, (f"{LAST_CUT}, always to a leaf bud", 80, 100)},
        ),
        (
            "Wisteria floribunda",
            "after-bloom-pruning",
            {},
            {("Feed after bloom", 7, 7), ("Shorten the long shoots again", 60, 90)},
        ),
        (
            "Larix decidua",
            "collecting",
            {},
            {
                ("Feed lightly for the first time since it was dug", 60, 90),
                ("See how it has come on since it was dug", 365, 365),
                ("See how it has come on since it was dug", 730, 730),
            },
        ),
        (
            MAPLE,
            None,
            {"details": Details(states=frozenset({"arrived"}))},
            {
                (KEEP_APART, 0, 0),
                (KEEP_APART, 7, 7),
                (KEEP_APART, 14, 14),
                ("Put the new tree with the others, if it is clean", 28, 28),
            },
        ),
    ],
)
def test_each_row_of_the_table(species, job, details, expected) -> None:
    assert ever(tree_of(species), [note(job=job, **details)]) == expected


def test_ties_of_a_collected_tree_stay_for_a_year_at_least() -> None:
    assert (TIES_OFF, 365, 730) in ever(tree_of(PINE, origin="collected"), [note(job="repotting")])


def test_feeding_waits_until_shoots_run() -> None:
    """Repotted on 2 April, day 30 is 2 May; shoots run on 20 May, and the fortnight counts from then."""

    def dates(names: Sequence[str], day: dt.date) -> dt.date | None:
        return dt.date(2025, 5, 20) if "shoots_run" in names else None

    (feed,) = (
        one
        for one in told(tree_of(), [note(job="repotting")], DONE, dates)
        if one.words.template == FEED_ROOTS
    )
    assert (feed.first, feed.last) == (dt.date(2025, 5, 20), dt.date(2025, 6, 4))


def test_wire_put_on_a_bare_tree_counts_from_its_leaves() -> None:
    wired = dt.date(2025, 12, 6)

    def dates(names: Sequence[str], day: dt.date) -> dt.date | None:
        return dt.date(2026, 4, 20) if "leaves_open" in names else None

    (off,) = (
        one
        for one in told(tree_of(), [note(wired, "wiring")], dt.date(2026, 3, 30), dates)
        if one.words.template == OFF
    )
    assert (off.first, off.last) == (dt.date(2026, 4, 20), dt.date(2026, 6, 19))


def in_flush_all_year(names: Sequence[str], day: dt.date) -> dt.date | None:
    return dt.date(day.year, 1, 1) if names == FOLLOW_UPS.flush.starts else dt.date(day.year, 12, 31)


@pytest.mark.parametrize(
    ("dates", "expected"),
    [
        # Wired on 2 April: every 7 to 10 days in flush, every 14 else.
        (in_flush_all_year, [(14, 17), (21, 24)]),
        (no_dates, [(14, 14), (28, 28)]),
    ],
)
def test_wire_is_looked_at_again_and_again(dates, expected) -> None:
    found = told(tree_of(PINE), [note(job="wiring")], dt.date(2025, 4, 20), dates)
    looks = [one for one in found if one.words.template == LOOK]
    assert [((one.first - DONE).days, (one.last - DONE).days) for one in looks] == expected


def test_a_look_that_is_noted_puts_off_the_next() -> None:
    notes = [note(job="wiring"), note(dt.date(2025, 4, 18), "wire-check")]
    (look,) = (one for one in told(tree_of(PINE), notes, dt.date(2025, 4, 20)) if one.words.template == LOOK)
    assert look.first == dt.date(2025, 5, 2)


def test_flush_lies_between_growth_and_hardening_else_around_midsummer() -> None:
    def marked(names: Sequence[str], day: dt.date) -> dt.date | None:
        return dt.date(2025, 4, 20) if "leaves_open" in names else dt.date(2025, 6, 10)

    def sun(names: Sequence[str], day: dt.date) -> dt.date | None:
        return dt.date(2025, 6, 21) if "midsummer" in names else None

    flush = FOLLOW_UPS.flush
    for date, with_markers, by_sun in (
        (dt.date(2025, 4, 6), False, False),  # 76 days before midsummer
        (dt.date(2025, 4, 7), False, True),
        (dt.date(2025, 4, 20), True, True),
        (dt.date(2025, 6, 11), False, True),
        (dt.date(2025, 9, 4), False, True),
        (dt.date(2025, 9, 5), False, False),
    ):
        assert (in_flush(flush, marked, date), in_flush(flush, sun, date)) == (with_markers, by_sun)


@pytest.mark.parametrize(("job", "off", "text"), [("wiring", "wire", OFF), ("repotting", "ties", TIES_OFF)])
def test_what_bites_stays_until_it_is_off(job: str, off: str, text: str) -> None:
    put_on = [note(job=job)]
    years_on = DONE + days(1500)
    (left,) = told(tree_of(), put_on, years_on)
    assert left.words.template == text
    assert left.stays and left.overdue
    assert left in due_within([left], years_on, 7)
    taken = [*put_on, note(years_on, details=Details(off=frozenset({off})))]  # type: ignore[arg-type]
    assert told(tree_of(), taken, years_on) == ()


def test_overdue_wire_comes_before_all_else() -> None:
    notes = [note(job="wiring"), note(DONE - days(700), "repotting"), note(DONE + days(99), "repotting")]
    found = told(tree_of(), notes, DONE + days(100))
    assert found[0].words.template == OFF and found[0].urgent
    assert [one.last for one in found[1:]] == sorted(one.last for one in found[1:])


def test_tied_in_anew_the_old_ties_are_gone() -> None:
    again = DONE + days(700)
    found = told(tree_of(), [note(job="repotting"), note(again, "repotting")], again + days(1))
    assert {one.since for one in found} == {again}


@pytest.mark.parametrize(
    ("species", "job", "on_day", "text", "answer", "answered_on_day"),
    [
        (MAPLE, "repotting", 50, FEED_ROOTS, {"job": "feeding"}, 31),
        (PINE, "decandling", 75, BUDS_TO_TWO, {"job": "bud-thinning"}, 60),
        (PINE, "decandling", 130, "Pull the old needles", {"job": "needle-work"}, 125),
        (PINE, "decandling", 12, "Cut the candles that were missed", {"job": "decandling"}, 9),
        (MAPLE, "defoliation", 30, "See whether new leaves come", {"bbch": 10}, 22),
        (MAPLE, "repotting", 50, FEED_ROOTS, {"job": "feeding", "tree": None}, 31),
        (MAPLE, "repotting", 50, FEED_ROOTS, {"job": "feeding", "tree": None, "species": MAPLE}, 31),
    ],
)
def test_what_is_answered_is_dropped(species, job, on_day, text, answer, answered_on_day) -> None:
    begun, on = [note(job=job)], DONE + days(on_day)
    assert text in words(told(tree_of(species), begun, on))
    assert text not in words(
        told(tree_of(species), [*begun, note(DONE + days(answered_on_day), **answer)], on)
    )


@pytest.mark.parametrize(
    "other",
    [
        {"job": "feeding", "tree": "t2"},
        {"job": "feeding", "tree": None, "site": "far"},
        {"job": "feeding", "tree": None, "species": PINE},
        {"job": "trimming"},
        {"job": "feeding", "date": DONE + days(2)},  # too soon to be what was meant
    ],
)
def test_what_others_had_or_came_too_soon_answers_nothing(other) -> None:
    notes = [note(job="repotting"), note(**{"date": DONE + days(31), **other})]
    assert FEED_ROOTS in words(told(tree_of(), notes, DONE + days(40)))


def test_a_stage_looked_for_in_vain_answers_nothing() -> None:
    notes = [note(job="defoliation"), note(DONE + days(22), bbch=10, sighting="not-yet")]
    assert "See whether new leaves come" in words(told(tree_of(), notes, DONE + days(30)))


def test_the_second_half_of_a_decandling_asks_for_no_third() -> None:
    notes = [note(job="decandling"), note(DONE + days(10), "decandling")]
    found = told(tree_of(PINE), notes, DONE + days(18))
    assert not any("candles" in text for text in words(found))
    assert BUDS_TO_TWO in words(found)


def test_old_ties_cut_as_it_is_repotted_leave_the_new_ones_on() -> None:
    off = Details(off=frozenset({"ties"}))
    assert TIES_OFF in words(told(tree_of(), [note(job="repotting", details=off)], DONE + days(100)))


def test_what_is_past_for_a_fortnight_is_dropped_and_what_lasts_ends() -> None:
    notes = [note(job="repotting")]
    assert FEED_ROOTS in words(told(tree_of(), notes, DONE + days(45 + LATE_DAYS)))
    assert FEED_ROOTS not in words(told(tree_of(), notes, DONE + days(46 + LATE_DAYS)))
    assert WIND in words(told(tree_of(), notes, DONE + days(14)))
    assert WIND not in words(told(tree_of(), notes, DONE + days(15)))


def test_a_tree_without_a_journal_or_that_is_gone_has_none() -> None:
    repotted = tree_of(last_repotted=DONE)
    on = DONE + days(5)
    assert told(repotted, [], on) == ()
    assert WIND in words(told(repotted, [note(DONE - days(9), "trimming")], on))
    gone = [note(job="repotting"), note(DONE + days(1), details=Details(states=frozenset({"dead"})))]
    assert told(tree_of(), gone, on) == ()


def test_what_stands_in_trees_csv_alone_counts_for_two_years() -> None:
    tree, notes = tree_of(last_repotted=DONE), [note(DONE, "trimming")]
    assert words(told(tree, notes, DONE + days(730))) == {TIES_OFF}
    assert told(tree, notes, DONE + days(731)) == ()


def test_a_section_on_the_day_of_trees_csv_is_that_repotting() -> None:
    tree = tree_of(PINE, last_repotted=DONE)
    found = told(tree, [note(job="sectional-repotting")], DONE)
    assert {one.job for one in found} == {"sectional-repotting"}


def test_of_a_week_a_look_that_comes_again_is_told_once() -> None:
    found = told(tree_of(), [note(job="repotting")], DONE + days(9))
    (firm,) = (one for one in due_within(found, DONE + days(9), 7) if one.words.template == FIRM)
    assert firm.first == DONE + days(14)


def test_long_ones_are_told_as_they_begin_and_near_their_end() -> None:
    notes = [note(job="wiring", details=Details())]
    weeks = [
        week
        for week in range(0, 380, 7)
        if OFF in words(due_within(told(tree_of(PINE), notes, DONE + days(week)), DONE + days(week), 7))
    ]
    # from 120 to 365 days: in the week that has day 120, two weeks on, and from two weeks before day 365
    assert weeks == [119, 126, 133, 357, 364, 371, 378]


NOTES = st.lists(
    st.builds(
        note,
        st.dates(dt.date(2023, 1, 1), dt.date(2026, 12, 31)),
        st.sampled_from([None, *JOBS]),
        details=st.sampled_from(
            [
                Details(),
                HEAVY,
                Details(off=frozenset({"wire"})),
                Details(off=frozenset({"ties"})),
                Details(states=frozenset({"arrived"})),
                Details(states=frozenset({"collected"})),
            ]
        ),
        bbch=st.sampled_from([None, 1, 10, 61]),
        tree=st.sampled_from(["t1", "t1", "t1", None, "t2"]),
    ),
    max_size=12,
)
TREES = st.builds(
    tree_of,
    st.sampled_from([MAPLE, PINE, RADIATA, "Juniperus chinensis", "Ficus microcarpa", "Prunus mume"]),
    origin=st.sampled_from([None, "nursery", "collected"]),
    last_repotted=st.none() | st.dates(dt.date(2023, 1, 1), dt.date(2026, 12, 31)),
    arrived=st.none() | st.dates(dt.date(2023, 1, 1), dt.date(2026, 12, 31)),
)
ON = st.dates(dt.date(2023, 1, 1), dt.date(2026, 12, 31))


@settings(max_examples=60)
@given(TREES, NOTES, ON)
def test_none_begins_before_its_job_and_what_stays_alone_is_long_overdue(tree, notes, on) -> None:
    for one in told(tree, notes, on, in_flush_all_year):
        assert one.since <= one.first <= one.last
        assert one.since <= on
        assert one.overdue == (one.last < on)
        assert one.stays or one.last + days(LATE_DAYS) >= on


@settings(max_examples=60)
@given(TREES, NOTES, ON)
def test_nothing_dated_later_counts(tree, notes, on) -> None:
    later = {
        name: None for name in ("last_repotted", "arrived") if (date := getattr(tree, name)) and date > on
    }
    cut = [one for one in notes if one.date <= on]
    assert told(tree, notes, on) == told(replace(tree, **later), cut, on)


@settings(max_examples=30)
@given(TREES, NOTES, ON, st.integers(-400, 400))
def test_moved_in_time_all_moves_alike(tree, notes, on, by: int) -> None:
    """Without markers days alone count."""
    moved_tree = replace(
        tree,
        last_repotted=tree.last_repotted and tree.last_repotted + days(by),
        arrived=tree.arrived and tree.arrived + days(by),
    )
    moved = [replace(one, date=one.date + days(by)) for one in notes]
    here = [(one.words, one.first, one.last) for one in told(tree, notes, on)]
    there = [
        (one.words, one.first - days(by), one.last - days(by))
        for one in told(moved_tree, moved, on + days(by))
    ]
    assert here == there
