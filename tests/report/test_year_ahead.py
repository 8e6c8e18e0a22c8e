"""The year ahead as facts: whose jobs have a span, and which."""

from __future__ import annotations

from dataclasses import replace

from season_engine.report.year_ahead import year_ahead
from season_engine.trees.need import Need
from season_engine.trees.need_why import Weak
from season_engine.windows.assessment import NextWindow, Quantiles
from season_engine.words.year_ahead import year_rows
from tests.factories import AS_OF, a_site_report, an_assessment, days, quantiles

NONE = Quantiles(None, None, None)


def spans(*trees):
    named = tuple(replace(a, tree="M1") for a in trees)
    (year,) = year_ahead(a_site_report(trees=named), AS_OF)
    return year.spans


def test_a_tree_that_is_to_be_left_has_no_span_of_the_job():
    left = an_assessment(need=Need("leave", Weak(), "weak"))
    due = an_assessment(need=Need("due", Weak(), "years"))
    assert spans(left) == ()
    (span,) = spans(due)
    assert span.due and (span.opens, span.closes) == (due.opens, due.closes)
    assert not spans(an_assessment(need=Need("may", Weak(), "years")))[0].due


def test_what_has_closed_comes_again_a_season_on_unless_it_is_left_then():
    again = NextWindow("2027/28", quantiles(AS_OF + days(300), 9), quantiles(AS_OF + days(330), 9))
    closed = an_assessment(AS_OF - days(60), AS_OF - days(20), verdict="closed", next=again)
    (span,) = spans(closed)
    assert (span.opens, span.closes) == (again.opens, again.closes)
    assert spans(replace(closed, next=replace(again, left=True))) == ()
    assert spans(replace(closed, next=None)) == ()


def test_what_does_not_come_or_goes_badly_or_lies_beyond_the_year_is_left_out():
    assert spans(replace(an_assessment(verdict="not-here"), opens=NONE, closes=NONE)) == ()
    assert spans(an_assessment(seldom_well=0.1)) == ()
    assert spans(an_assessment(AS_OF + days(400), AS_OF + days(430), verdict="wait")) == ()
    backwards = an_assessment(AS_OF + days(90), AS_OF + days(60), verdict="wait")
    assert spans(backwards) == (), "more often than not it closes before it opens"


def test_spans_come_by_their_opening_and_trees_in_the_growers_order():
    late = an_assessment(AS_OF + days(90), AS_OF + days(120), verdict="wait", tree="Z", job="decandling")
    soon = an_assessment(AS_OF + days(9), AS_OF + days(40), verdict="soon", tree="Z")
    years = year_ahead(a_site_report(trees=(late, soon, replace(soon, tree="A"))), AS_OF)
    assert [year.of.tree for year in years] == ["Z", "A"]
    assert [span.job for span in years[0].spans] == ["repotting", "decandling"]


def test_without_trees_there_is_a_row_a_kind():
    site = a_site_report(trees=())
    years = year_ahead(site, AS_OF)
    assert len(years) == len({a.species for a in site.windows})
    assert all(year.stage is None and not any(span.due for span in year.spans) for year in years)
    assert [row.kind for row in year_rows(site, AS_OF)] == [""] * len(years)


def test_a_row_says_what_it_draws():
    due = replace(an_assessment(need=Need("due", Weak(), "years")), tree="M1")
    free = an_assessment(
        AS_OF + days(60), AS_OF + days(90), verdict="wait", tree="M1", job="decandling", window="decandling"
    )
    free = replace(free, closes=NONE)
    bare = replace(an_assessment(verdict="closed", next=None), tree="E1")
    rows = year_rows(a_site_report(trees=(due, free, bare)), AS_OF)
    assert [row.sentence for row in rows] == [
        "Lantern: buds swelling; repotting (spring) due from about 3 Aug to 6 Sep; "
        "decandling possible from about 10 Oct on.",
        "Gatepost: new growth opening; none of these jobs in the next twelve months.",
    ]
    assert (rows[0].name, rows[0].kind, rows[0].stage) == ("Lantern", "Japanese maple", "swelling")
