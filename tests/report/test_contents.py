"""How a report is sorted: what is in window, what rests, and which trees come first."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from season_engine.report.contents import (
    heading_of,
    name_of_tree,
    next_opening,
    not_after,
    one_is_enough,
    told_of,
    tree_rows,
    under,
)
from season_engine.report.season_sums import SeasonSum
from season_engine.windows.assessment import Quantiles, Standing
from season_engine.windows.why_today import Weak
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


def row_of(*jobs, **changes):
    """A yard with one tree, and its row."""
    site = a_site_report(windows=(), trees=tuple(replace(one, tree="M1") for one in jobs), **changes)
    (row,) = tree_rows(site)
    return site, row


@pytest.mark.parametrize("today", ["do", "only-with-shelter", "hold"])
def test_one_heavy_job_is_enough_however_the_others_may_be_worked_today(today):
    """A banyan may be pruned, defoliated and, under cover, repotted: one of the three."""
    pruning, leaves = an_assessment(job="structural-pruning"), an_assessment(job="defoliation", today=today)
    assert one_is_enough(*row_of(pruning, leaves, an_assessment(today=today)))
    assert one_is_enough(*row_of(pruning, replace(leaves, verdict="soon", today="no")))
    assert not one_is_enough(*row_of(pruning, an_assessment(job="winter-tidy")))


def test_a_strong_tree_may_be_thinned_and_repotted():
    both = an_assessment(job="structural-pruning"), an_assessment()
    assert one_is_enough(*row_of(*both))
    assert not one_is_enough(*row_of(*both, strong=("M1",)))
    assert one_is_enough(*row_of(*both, an_assessment(job="defoliation"), strong=("M1",)))


def test_what_opens_only_in_the_next_season_is_no_second_job_of_this_one():
    late = dt.date(2027, 3, 25)
    pruning = an_assessment(closes=late + days(30), job="structural-pruning", as_of=late)
    soon = an_assessment(late + days(10), late + days(40), as_of=late, verdict="soon", today="no")
    assert not one_is_enough(
        *row_of(pruning, replace(soon, standing=Standing(dt.date(2027, 4, 4), None, unsure=False)))
    )
    assert one_is_enough(
        *row_of(pruning, replace(soon, standing=Standing(dt.date(2027, 3, 30), None, unsure=False)))
    )


def closed_ago(ago: int, job: str = "defoliation", **changes):
    changes = {"verdict": "closed", "today": "no", **changes}
    return an_assessment(AS_OF - days(80), AS_OF - days(ago), job=job, **changes)


def test_a_heavy_job_offered_a_week_ago_is_remembered_though_nobody_noted_it():
    pruning = an_assessment(job="structural-pruning")
    assert not_after(*row_of(pruning, closed_ago(7))) == ("defoliation",)
    for other in (
        closed_ago(40),
        closed_ago(7, "winter-tidy"),
        closed_ago(7, seldom_well=0.1),
        closed_ago(7, refused=Weak()),
        closed_ago(7, "structural-pruning", window="winter"),
    ):
        assert not_after(*row_of(pruning, other)) == ()
    assert not_after(*row_of(replace(pruning, verdict="soon"), closed_ago(7))) == ()


def test_a_strong_tree_that_may_have_been_thinned_is_repotted_all_the_same():
    thinned = closed_ago(7, "structural-pruning")
    assert not_after(*row_of(an_assessment(), thinned)) == ("structural-pruning",)
    assert not_after(*row_of(an_assessment(), thinned, strong=("M1",))) == ()
    defoliated = row_of(an_assessment(job="structural-pruning"), closed_ago(7), strong=("M1",))
    assert not_after(*defoliated) == ("defoliation",)
