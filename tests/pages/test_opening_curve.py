"""The odds of an opening day by day: the curve, its date, its words."""

from __future__ import annotations

import re
from dataclasses import replace

from season_engine.pages.pictures.charts import MARGIN, WIDTH
from season_engine.pages.pictures.opening_curve import FOOT, LEFT, TOP, opening_curve
from season_engine.report.contents import floor_day, next_to_open
from season_engine.windows.assessment import DayChance, Quantiles
from season_engine.words.opening import opening_words
from season_engine.words.report import NEXT_UP, site_sections
from tests.factories import AS_OF, a_site_report, an_assessment, day_chances, days


def soon(reached_after: int, **changes):
    """A window whose odds rise by 4 in 100 a day, so that they are 8 in 10 on the day asked for."""
    changes.setdefault("days", day_chances(AS_OF, reached_after))
    return replace(an_assessment(verdict="soon", today="no", floor=0.8), **changes)


def test_the_point_stands_where_the_odds_are_first_what_the_job_wants():
    drawing = opening_curve(soon(21))
    assert drawing is not None
    assert floor_day(soon(21)) == AS_OF + days(21)
    assert drawing.reached == round(LEFT + (WIDTH - MARGIN - LEFT) * 21 / 42, 1)
    assert drawing.floor == FOOT - 0.8 * (FOOT - TOP)
    assert drawing.words == "8 in 10 by Tue 1 Sep"
    ys = [float(y) for y in re.findall(r",(-?[\d.]+)", drawing.chance)]
    assert min(ys) == TOP and max(ys) == FOOT


def test_the_words_stay_inside_the_drawing():
    for reached_after in (1, 41):
        drawing = opening_curve(soon(reached_after))
        assert drawing is not None
        assert LEFT + 60 < drawing.words_at < WIDTH - 60


def test_what_it_shows_is_said():
    assert opening_words(soon(21)) == (
        "Chance that it has opened: fewer than 1 in 100 today, 1 in 10 by Sat 15 Aug, 5 in 10 by Tue 25 Aug, "
        "8 in 10 by Tue 1 Sep and 9 in 10 by Fri 4 Sep. This job wants 8 in 10. In past seasons it was "
        "8 in 10 by Fri 11 Sep."
    )


def test_nothing_is_drawn_or_said_without_a_day_to_name():
    never = tuple(DayChance(AS_OF + days(n), 0.3, 0.3) for n in range(43))
    for told in ((), never):
        assert opening_curve(an_assessment(days=told)) is None
        assert opening_words(an_assessment(days=told)) == ""


def test_the_soonest_come_first_and_species_with_the_same_odds_share_one():
    late, early = soon(30, common_name="larch"), soon(9, common_name="maple", species="a")
    twin = soon(9, common_name="elm", species="b")
    site = a_site_report(
        windows=(late, early, twin, soon(35, common_name="olive"), an_assessment()), trees=()
    )
    assert [a.common_name for a in next_to_open(site)] == ["elm", "maple", "larch", "olive"]
    shown = site_sections(site, AS_OF).next_up
    assert [one.title for one in shown] == ["Elm and maple, repotting (spring)", "Larch, repotting (spring)"]
    assert len(shown) == NEXT_UP


def test_a_day_that_is_known_has_no_odds_to_draw():
    on_the_day = soon(9, opens=Quantiles(AS_OF + days(9), AS_OF + days(9), AS_OF + days(9)))
    assert next_to_open(a_site_report(windows=(on_the_day,), trees=())) == ()


def test_of_odds_reached_on_one_day_the_best_are_said():
    at_once = tuple(DayChance(AS_OF + days(n), float(n >= 9), 0.0) for n in range(43))
    assert opening_words(soon(9, days=at_once)) == (
        "Chance that it has opened: fewer than 1 in 100 today, 9 in 10 by Thu 20 Aug. This job wants 8 in 10."
    )
