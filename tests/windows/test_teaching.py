"""What an answer teaches: cases small enough to reckon by hand, laws, and seasons made from real weather."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from season_engine.windows.teaching import Subject, choose, lessons, middle, worth_a_walk
from tests.benchmarks.teaching import table
from tests.windows.made_seasons import answered

NOTHING_KNOWN = np.zeros(4, np.int64)


def four_chances(dates, **questions) -> Subject:
    """Four chances alike, one date."""
    asked = {name: np.array(answer, bool) for name, answer in questions.items()}
    return Subject(np.full(4, 0.25), np.array([dates], float), np.array([1.0]), asked)


def test_a_question_that_halves_the_chances_by_hand() -> None:
    """Days 0, 2, 10, 12: middle 2, mean distance 5; in halves, distance 1."""
    lesson = lessons(four_chances([0, 2, 10, 12], swelling=[1, 1, 0, 0]), NOTHING_KNOWN)[0]
    assert (lesson.chance, lesson.before_days[0], lesson.after_days[0], lesson.worth) == (0.5, 5, 1, 4)


def test_a_question_that_has_nothing_to_do_with_the_date_teaches_nothing() -> None:
    assert lessons(four_chances([0, 0, 10, 10], other=[1, 0, 1, 0]), NOTHING_KNOWN)[0].worth == 0


def test_the_trees_decide_between_two_alike() -> None:
    one = four_chances([0, 2, 10, 12], swelling=[1, 1, 0, 0])
    many = Subject(one.weights, one.dates, 3 * one.matters, one.questions)
    chosen = choose({"elm": one, "maple": many, "oak": one}, 2)
    assert [(name, lesson.worth) for name, lesson in chosen] == [("maple", 12), ("elm", 4)]


def test_the_second_question_is_judged_as_if_the_first_were_answered() -> None:
    """Its copy is worth as much on its own, and nothing after it."""
    twice = four_chances([0, 4, 20, 24], swelling=[1, 1, 0, 0], copy=[1, 1, 0, 0], half=[1, 0, 1, 0])
    assert [lesson.worth for lesson in lessons(twice, NOTHING_KNOWN)][:2] == [8, 8]
    assert [lesson.question for _, lesson in choose({"elm": twice}, 3)] == ["swelling", "half"]


@pytest.mark.parametrize(
    ("before", "after", "worth"),
    [
        (20.0, 19.0, False),
        (15.0, 13.9, False),
        (5.0, 3.0, True),
        (5.0, 3.1, False),
        (30.0, 27.9, False),
        (30.0, 27.0, True),
    ],
)
def test_an_answer_that_leaves_the_date_as_it_was_is_worth_no_walk(before, after, worth) -> None:
    assert worth_a_walk(np.array([before]), np.array([after])).tolist() == [worth]


def test_what_brings_almost_nothing_is_not_asked() -> None:
    """Days 0, 2, 10, 12 in halves that are mixed but for one day: the error falls from 5 to 4.5."""
    assert choose({"elm": four_chances([0, 2, 10, 12], other=[1, 0, 0, 0])}, 3)[0][1].after_days[0] == 2.5
    assert choose({"elm": four_chances([0, 1, 2, 3], half=[1, 1, 0, 0])}, 3) == []


def test_an_answer_rules_chances_out_and_never_all_of_them() -> None:
    subject = four_chances([0, 2, 10, 12], swelling=[1, 1, 0, 0], never=[0, 0, 0, 0])
    assert answered(subject, ["swelling"], [True]).tolist() == [0.5, 0.5, 0, 0]
    assert answered(subject, ["never"], [True]).tolist() == subject.weights.tolist()


DAYS = st.floats(-84, 84, allow_nan=False)
CHANCES = 12


@given(
    arrays(float, (2, CHANCES), elements=DAYS),
    arrays(float, CHANCES, elements=st.floats(0.01, 1)),
    arrays(bool, (3, CHANCES)),
    arrays(np.int64, CHANCES, elements=st.integers(0, 2)),
)
def test_an_answer_never_widens_and_a_sure_one_teaches_nothing(dates, weights, answers, known) -> None:
    questions = {**{f"q{n}": answer for n, answer in enumerate(answers)}, "sure": np.ones(CHANCES, bool)}
    subject = Subject(weights / weights.sum(), dates, np.array([4.0, 1.0]), questions)
    for lesson in lessons(subject, known):
        assert (lesson.after_days <= lesson.before_days + 1e-9).all()
        assert lesson.worth >= 0
    assert lesson.question == "sure" and lesson.worth == 0 and lesson.chance == pytest.approx(1)


@given(arrays(float, CHANCES, elements=DAYS), arrays(float, CHANCES, elements=st.floats(0.01, 1)), DAYS)
def test_no_date_is_nearer_to_all_chances_than_the_middle_one(dates, weights, other) -> None:
    order = np.argsort(dates)
    dates, weights = dates[order], weights[order]
    best = weights @ np.abs(dates - middle(dates, weights))
    assert best <= weights @ np.abs(dates - other) + 1e-9


def test_the_engines_three_beat_three_at_random_on_seasons_made_from_real_weather() -> None:
    none, at_random, engine = table(5, 0.0).mean(axis=0)
    assert engine < at_random - 0.1 < none - 0.5
