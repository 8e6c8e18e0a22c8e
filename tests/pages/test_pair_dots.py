"""Two yards' dates as pairs of dots: places are dates, the greatest difference stands at the top."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from season_engine.delivery import pictures
from season_engine.pages.pictures.charts import LETTER, MARGIN, WIDTH
from season_engine.pages.pictures.pair_dots import pair_dots
from season_engine.report.contents import Report, SiteReport
from season_engine.site import Site
from season_engine.windows.assessment import Quantiles
from season_engine.words.pairs import PairOfDates, PairsOfDates, pair_words, pairs_of_dates
from tests.factories import AS_OF, a_report, a_site_report, an_assessment, days, quantiles


def waiting(opens: dt.date, **changes):
    return an_assessment(opens, opens + days(40), verdict="wait", **changes)


def two_yards(here: dict[str, int], there: dict[str, int], site: Site | None = None) -> Report:
    """Windows of these species that open so many days from today."""
    windows = [
        tuple(waiting(AS_OF + days(n), species=name, common_name=name) for name, n in opens.items())
        for opens in (here, there)
    ]
    first, other = (a_site_report(windows=told, trees=()) for told in windows)
    moved = replace(other, site=site or replace(other.site, name="hollow"))
    return a_report(sites=(first, moved))


def test_pairs_stand_in_order_of_their_difference():
    found = pairs_of_dates(two_yards({"elm": 40, "fir": 50, "oak": 60}, {"elm": 45, "fir": 40, "oak": 80}))
    assert found is not None
    assert [pair.told for pair in found.pairs] == ["20 days later", "five days later", "ten days earlier"]
    drawing = pair_dots(found, AS_OF)
    assert [pair.y for pair in drawing.pairs] == sorted(pair.y for pair in drawing.pairs)
    assert [pair.title[:3] for pair in drawing.pairs] == ["Oak", "Elm", "Fir"]
    assert [pair.first < pair.other for pair in drawing.pairs] == [True, True, False]
    assert (drawing.first, drawing.other) == ("ridge", "hollow")
    apart = [pair.other - pair.first for pair in drawing.pairs]
    assert abs(apart[0] / apart[1] - 4) < 0.1 and abs(apart[2] / apart[1] + 2) < 0.1


def test_only_what_both_have_and_the_weather_decides_is_drawn():
    assert pairs_of_dates(two_yards({"elm": 40}, {"fir": 40})) is None
    assert pairs_of_dates(a_report()) is None, "one yard alone"
    day = AS_OF + days(50)
    fixed = replace(waiting(day), opens=Quantiles(day, day, day, "opens"))
    both = tuple(a_site_report(windows=(fixed,), trees=()) for _ in range(2))
    assert pairs_of_dates(a_report(sites=both)) is None
    refused = SiteReport(both[0].site, None, refusal="no readings")
    assert pairs_of_dates(a_report(sites=(both[0], refused))) is None


def test_yards_in_two_hemispheres_share_no_dates():
    north = Site("dune", 52.0, 5.0, 2)
    assert pairs_of_dates(two_yards({"elm": 40}, {"elm": 45}, north)) is None


def test_what_it_shows_is_said():
    found = pairs_of_dates(two_yards({"elm": 40}, {"elm": 40}))
    assert found is not None and found.pairs[0].told == "the same day"
    assert pair_words(found, AS_OF) == "Elm, repotting (spring): 20 Sep at ridge, 20 Sep at hollow."


@given(
    st.lists(st.tuples(st.integers(1, 360), st.integers(1, 360)), min_size=1, max_size=12),
    st.text("Wm lö", min_size=1, max_size=60),
)
def test_nothing_is_drawn_outside(dates, name):
    pairs = tuple(
        PairOfDates(name, AS_OF + days(a), AS_OF + days(b), f"{abs(a - b)} days apart") for a, b in dates
    )
    drawing = pair_dots(PairsOfDates(name, name, pairs), AS_OF)
    *_, height = (float(n) for n in re.findall(r"[\d.]+", drawing.view_box))
    for pair in drawing.pairs:
        assert MARGIN <= min(pair.first, pair.other) and max(pair.first, pair.other) <= WIDTH - MARGIN
        assert drawing.top < pair.title_y < pair.y < drawing.foot < height
    assert drawing.other_x + LETTER * len(drawing.other) < WIDTH


def test_the_same_pairs_give_the_same_bytes():
    found = PairsOfDates("a", "b", (PairOfDates("Elm", AS_OF, quantiles(AS_OF, 3).p90, "three days later"),))
    made = pictures._drawings()
    one, other = (str(made.yards(found, AS_OF)) for _ in range(2))
    assert one == other and "<desc>Elm: 11 Aug at a, 14 Aug at b.</desc>" in one
