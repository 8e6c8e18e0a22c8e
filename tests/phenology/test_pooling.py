"""What the notes of a yard's other kinds, and of other trees, say of one."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from season_engine.phenology.learning import RuleError, Taught
from season_engine.phenology.pooling import TREE_DAYS, YARD_SHARES, KindTaught, Prior, counting_for, prior

ERROR = RuleError(yard_days=7.0, year_days=5.0)
LATE = st.floats(-20, 20)


def others(*late: float) -> list[KindTaught]:
    return [KindTaught(one, 5.0, 7.0) for one in late]


def taught(late: list[float], trees: tuple[str, ...] = ()) -> Taught:
    return Taught(np.array(late), np.ones(len(late)), trees or ("",) * len(late), ERROR)


def test_without_other_kinds_the_rule_stands_with_its_own_error() -> None:
    assert prior([], 7.0) == Prior(0.0, 7.0)


def test_kinds_that_agree_move_the_yard_and_narrow_it_and_kinds_that_differ_do_not() -> None:
    agree, differ = prior(others(8, 7, 9, 8, 7), 7.0), prior(others(8, -9, 1, -6, 7), 7.0)
    assert 4 < agree.mean_days < 8 and agree.sd_days < 6.0
    assert abs(differ.mean_days) < 1 and differ.sd_days > 6.3


def test_one_share_alone_is_the_closed_form_of_two_normal_errors(monkeypatch: pytest.MonkeyPatch) -> None:
    """A yard's part and a kind's, both normal: the mean of the kinds, shrunk by what they differ by."""
    share = 0.35
    monkeypatch.setattr("season_engine.phenology.pooling.YARD_SHARES", np.array([share]))
    late, yard, apart = np.array([3.0, 6.0, 9.0]), share * 49, (1 - share) * 49 + 5.0
    covariance = yard * np.ones((3, 3)) + apart * np.eye(3)
    expected = yard * np.ones(3) @ np.linalg.solve(covariance, late)
    variance = 49 - yard * np.ones(3) @ np.linalg.solve(covariance, yard * np.ones(3))
    found = prior(others(*late), 7.0)
    assert found.mean_days == pytest.approx(expected)
    assert found.sd_days == pytest.approx(variance**0.5)


@given(st.lists(LATE, min_size=1, max_size=8))
def test_late_and_early_are_alike_whatever_the_order(late: list[float]) -> None:
    found, mirrored = prior(others(*late), 7.0), prior(others(*(-one for one in late[::-1])), 7.0)
    assert mirrored.mean_days == pytest.approx(-found.mean_days, abs=1e-9)
    assert mirrored.sd_days == pytest.approx(found.sd_days)
    assert abs(found.mean_days) <= max(map(abs, late)) + 1e-9
    assert 0 < found.sd_days < 7.0 + max(map(abs, late))


def test_the_likeliest_share_is_that_of_the_yard_the_notes_were_made_with() -> None:
    """Yards made with each share: the mean error of a new kind is less than with the least and the most."""
    random = np.random.default_rng(4)
    for share in YARD_SHARES[[0, -1]]:
        off, blind = [], []
        for _ in range(400):
            yard = random.normal(0, 7 * share**0.5)
            kinds = yard + random.normal(0, 7 * (1 - share) ** 0.5, 9)
            noted = kinds[:8] + random.normal(0, 5.0**0.5, 8)
            off.append(abs(kinds[8] - prior(others(*noted), 7.0).mean_days))
            blind.append(abs(kinds[8]))
        gain = np.mean(blind) - np.mean(off)
        assert gain > 0.8 if share else gain > -0.3


@pytest.mark.parametrize(("tree", "apart"), [("a", 2.0), ("", 1.0)])
def test_another_trees_notes_tell_no_more_than_what_trees_differ_by(tree: str, apart: float) -> None:
    """However many: together they weigh as one observation with the variance of two trees' difference."""
    many = counting_for(tree, ("b",) * 1000, np.ones(1000), 5.0)
    assert many.sum() == pytest.approx(25 / (apart * TREE_DAYS**2), rel=0.01)
    assert counting_for("b", ("b", ""), np.ones(2), 5.0).tolist() == [1, 1]


def test_a_tree_that_runs_early_of_its_kind_is_told_from_it() -> None:
    notes = taught([6, 6, 7, 5, -4, -3, -5], ("a", "a", "b", "b", "c", "c", "c"))
    kind, early, late = (float(notes.of_tree(tree).shift_days) for tree in ("", "c", "a"))
    assert early < kind < late


def test_ten_notes_outweigh_what_other_kinds_say() -> None:
    alone = float(taught([-6.0] * 10).of_tree().shift_days)
    beside = float(taught([-6.0] * 10).of_tree(others=others(8, 8, 8, 8)).shift_days)
    assert alone < -5 and beside == pytest.approx(alone, abs=1.0)


def test_a_kind_whose_notes_are_all_slips_tells_the_others_nothing() -> None:
    """Half a year off a rule that strays by half a day."""
    sharp = Taught(np.array([170.0]), np.ones(1), ("a",), RuleError(yard_days=2.0, year_days=0.5))
    assert sharp.of_kind is None
