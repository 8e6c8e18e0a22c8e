"""How a report is sorted: what is in window, what rests, and which trees come first."""

from __future__ import annotations

from dataclasses import replace

import pytest

from season_engine.report.contents import (
    TreeRow,
    also_due,
    due,
    heading_of,
    meant_trees,
    name_of_tree,
    next_opening,
    told_of,
    tree_rows,
    under,
)
from season_engine.report.season_sums import SeasonSum
from season_engine.trees.need import Need
from season_engine.trees.need_why import Weak
from season_engine.windows.assessment import Quantiles
from tests.factories import AS_OF, a_site_report, an_assessment, days


@pytest.mark.parametrize(
    ("verdict", "heading"),
    [("open", "now"), ("last-call", "now"), ("soon", "soon"), ("wait", "resting"), ("not-here", "not-here")],
)
def test_each_verdict_has_its_heading(verdict, heading):
    assert heading_of(an_assessment(verdict=verdict)) == heading


@pytest.mark.parametrize(("ago", "heading"), [(28, "closed"), (29, "resting")])
def test_a_window_is_closed_lately_for_four_weeks(ago, heading):
    closed = an_assessment(AS_OF - days(80), AS_OF - days(ago), verdict="closed", today="no")
    assert heading_of(closed) == heading


def test_last_calls_come_first_then_the_earliest_closing():
    late = an_assessment(closes=AS_OF + days(40), species="late")
    early = an_assessment(closes=AS_OF + days(20), species="early")
    last = an_assessment(closes=AS_OF + days(30), species="last", verdict="last-call")
    assert [a.species for a in under("now", (late, early, last))] == ["last", "early", "late"]


def test_a_window_without_a_closing_date_comes_after_those_with_one():
    unsure = an_assessment(species="unsure", closes=AS_OF + days(5))
    unsure = replace(unsure, closes=Quantiles(AS_OF, None, None))
    assert [a.species for a in under("now", (unsure, an_assessment()))] == ["Acer palmatum", "unsure"]


def test_the_next_opening_is_a_season_on_once_this_one_has_closed():
    closed = an_assessment(AS_OF - days(100), AS_OF - days(60), verdict="closed")
    assert next_opening(closed) == AS_OF - days(100) + days(365)
    waiting = an_assessment(AS_OF + days(50), AS_OF + days(90), verdict="wait")
    assert next_opening(waiting) == AS_OF + days(50)


def test_a_tree_to_work_comes_before_one_to_hold_whatever_closes_first():
    rows = tree_rows(a_site_report())
    assert [row.tree_id for row in rows] == ["M1", "P1", "M2", "E1"]
    assert rows[0].name == "Lantern"
    assert name_of_tree(a_site_report(), "L1") == "L1", "a tree without a name goes by its id"


def test_a_trees_other_jobs_stay_on_its_row():
    pine = next(row for row in tree_rows(a_site_report()) if row.tree_id == "P1")
    assert [(a.job, a.verdict) for a in pine.also] == [("repotting", "soon")]


def test_a_season_sum_needs_one_value_per_day():
    with pytest.raises(ValueError, match="one value per day"):
        SeasonSum("heat", "GDD", (AS_OF,), (), (1.0,), (1.0, 2.0), (1.0,))


def test_a_window_open_only_to_a_sheltered_tree_is_told_as_that_trees():
    closed = an_assessment(verdict="closed")
    site = a_site_report(windows=(closed,), trees=(replace(closed, tree="M1", verdict="last-call"),))
    assert [(a.tree, a.verdict) for a in told_of(site)] == [("M1", "last-call")]
    assert told_of(replace(site, trees=())) == (closed,)


def test_a_tree_that_is_to_be_left_is_in_no_row_of_what_is_due():
    barred = Need("leave", Weak(), "weak")
    site = a_site_report(trees=tuple(an_assessment(tree=name) for name in ("M1", "M2")))
    left = replace(site, trees=(site.trees[0], replace(site.trees[1], need=barred)))
    assert [row.tree_id for row in due(site)] == ["M1", "M2"]
    assert [row.tree_id for row in due(left)] == ["M1"]
    assert [one.tree for one in meant_trees(left, an_assessment())] == ["M1"]


def test_another_job_that_the_tree_is_left_without_is_not_told_beside_the_first():
    pruning = an_assessment(tree="M1", job="structural-pruning")
    leaves = an_assessment(tree="M1", job="defoliation")
    left = replace(leaves, need=Need("leave", Weak(), "weak"))
    for other, told in ((leaves, ["defoliation"]), (left, [])):
        assert [one.job for one in also_due(TreeRow("M1", "", pruning, (other,)))] == told
