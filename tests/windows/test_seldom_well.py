"""A window that seldom goes well at a place is no invitation."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from season_engine.advice.moves import in_play
from season_engine.documents.calendar_feed import season_calendar, season_windows
from season_engine.documents.check import assessment_document
from season_engine.prints.answer import answer_text
from season_engine.prints.report import report_text
from season_engine.report.contents import heading_of, told_of
from season_engine.species.catalogue import load_catalogue
from season_engine.species.schema import ColdHazard, HeatHazard, Window
from season_engine.windows.assess import Prospect, assess
from season_engine.windows.assessment import Assessment, Verdict
from season_engine.windows.choice import nearest_first
from season_engine.windows.hazards import HARDLY_EVER
from season_engine.windows.why_today import HardlyEverWell, NotOpen
from tests.factories import AS_OF, a_report, a_site_report, an_assessment, days
from tests.yards import NORTH, view

DAYS: dict[Verdict, dt.date] = {
    "wait": dt.date(2025, 1, 20),
    "soon": dt.date(2025, 3, 20),
    "last-call": dt.date(2025, 4, 1),
    "closed": dt.date(2025, 6, 20),
}
OUT, UNDER_COVER = False, True  # whether a tree can go under cover


def larch(on: dt.date) -> Prospect:
    return Prospect(view(NORTH, on), load_catalogue().find("Larix decidua"))


def repotting(*rules: ColdHazard | HeatHazard) -> Window:
    found = load_catalogue().find("Larix decidua").windows
    spring = next(one for one in found if (one.job, one.name) == ("repotting", "spring"))
    return spring.model_copy(update={"hazard": rules})


def nights(level_c: float) -> ColdHazard:
    """A night as cold as this within six weeks, of which a tree under cover is spared."""
    rule = {"name": "frost", "level_c": level_c, "days": 42, "limit": 0.3, "from": "memory"}
    return ColdHazard.model_validate(rule)


def days_of(level_c: float) -> HeatHazard:
    rule = {"name": "heat", "level_c": level_c, "days": 80, "limit": 0.3, "from": "memory"}
    return HeatHazard.model_validate(rule)


@pytest.mark.parametrize("verdict", DAYS)
def test_one_that_always_brings_harm_is_left_whatever_the_verdict(verdict: Verdict) -> None:
    prospect = larch(DAYS[verdict])
    a = assess(prospect, repotting(days_of(20)))
    assert (a.verdict, a.today) == (verdict, "no")
    assert a.seldom_well is not None
    assert a.seldom_well < HARDLY_EVER
    assert a.today_why == (NotOpen("closed") if verdict == "closed" else HardlyEverWell(a.seldom_well))
    assert a.best is None
    usual = assess(prospect, repotting())
    assert (usual.verdict, usual.seldom_well) == (verdict, None)
    assert (usual.opens, usual.closes) == (a.opens, a.closes)


def test_shelter_is_reckoned_in_first() -> None:
    prospect, window = larch(DAYS["last-call"]), repotting(nights(5))
    exposed, covered = (assess(prospect, window, shelter) for shelter in (OUT, UNDER_COVER))
    assert isinstance(exposed.today_why, HardlyEverWell)
    assert (exposed.today, covered.today) == ("no", "only-with-shelter")
    anyone = assess(prospect, window)
    assert (anyone.today, anyone.seldom_well) == ("only-with-shelter", None), "nobody said it has no cover"


def test_one_good_part_of_the_window_is_enough() -> None:
    """Frost follows nearly always at its beginning, and not quite so often later."""
    a = assess(larch(DAYS["soon"]), repotting(nights(-1)), OUT)
    assert a.ahead[0].chance_good < HARDLY_EVER < max(week.chance_good for week in a.ahead)
    assert a.seldom_well is None


def test_of_two_windows_the_one_that_may_go_well_is_meant() -> None:
    seldom = an_assessment(seldom_well=0.1, today="no", today_why=HardlyEverWell(0.1))
    later = an_assessment(AS_OF + days(90), AS_OF + days(120), verdict="wait", window="autumn")
    assert nearest_first([seldom, later])[0] is later


def seldom(verdict: Verdict, **changes: object) -> Assessment:
    opens = AS_OF + days({"wait": 30, "soon": 8}.get(verdict, -8))
    return an_assessment(
        opens,
        opens + days(40),
        **{
            "verdict": verdict,
            "today": "no",
            "today_why": HardlyEverWell(0.12),
            "seldom_well": 0.12,
            "job": "defoliation",
            "window": "whole",
            **changes,
        },
    )


@pytest.mark.parametrize("verdict", ["wait", "soon", "open", "last-call"])
def test_a_report_never_invites_to_it(verdict: Verdict) -> None:
    a = seldom(verdict)
    site = a_site_report(windows=(a, an_assessment()), trees=())
    assert heading_of(a) == "not-well"
    assert not in_play(a)
    told = " ".join(report_text(a_report(sites=(site,))).split())
    sentence = "Seldom goes well here, and is left out: defoliation (whole) of Japanese maple."
    assert (sentence in told) == (verdict != "wait")
    assert "efoliation" not in told.replace(sentence, "")
    report = a_report(sites=(a_site_report(trees=(a,)),))
    assert b"efoliation" not in season_calendar(report) + season_windows(report)


def test_the_answer_to_a_question_says_why() -> None:
    a = seldom("soon")
    told = " ".join(answer_text(a).split())
    assert "Opening soon." in told, "the verdict is of the dates"
    assert "Today: leave. Here it seldom goes well: at best 12 in 100 that nothing hurts the tree." in told
    assert "get ready" not in told
    assert assessment_document(a).seldom_well == 0.12


def test_a_window_is_told_by_the_tree_on_which_it_may_go_well() -> None:
    window = replace(seldom("soon"), seldom_well=None, today_why=NotOpen("soon"))
    bad, good = replace(seldom("soon"), tree="M1"), replace(window, tree="M2")
    assert told_of(a_site_report(windows=(window,), trees=(bad,))) == (bad,)
    assert told_of(a_site_report(windows=(seldom("soon"),), trees=(bad, good))) == (good,)
    assert told_of(a_site_report(windows=(window,), trees=(bad, good))) == (window,)
