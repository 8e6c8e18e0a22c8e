"""Assessments, weather and whole reports made up for the tests: invented yards, trees and numbers."""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import replace
from typing import Any

import numpy as np

from season_engine.advice.choice import Choice
from season_engine.advice.first_screen import FirstScreen
from season_engine.advice.harm import Harm
from season_engine.advice.hindsight import PastErrors
from season_engine.advice.moves import Move, WeatherSince
from season_engine.facts import CHILL_PORTIONS, HeatUnit, Text, Unit
from season_engine.markers.so_far import SumSoFar
from season_engine.report.contents import Report, SiteReport
from season_engine.report.days_ahead import DayAhead, Spread
from season_engine.report.season_sums import PastSum, SeasonSum
from season_engine.site import Site
from season_engine.trees.need import Need
from season_engine.trees.need_why import Weak
from season_engine.weather.faults import EXTREMES, Fault, Missing, OneStoodStill
from season_engine.weather.series import DailySeries, Weather
from season_engine.weather.sources.origins import GivenOrigin, LoggerOrigin
from season_engine.windows.assessment import (
    Assessment,
    DayChance,
    NextWindow,
    Quantiles,
    Reason,
    Standing,
    Usual,
    WeekAhead,
    WeekChance,
)
from season_engine.windows.cautions import Caution
from season_engine.windows.frost_weeks import FrostOdds, FrostWeek
from season_engine.windows.hazard import ColdNight, Hazard, HotDays
from season_engine.windows.looks import Look, Narrowed
from season_engine.windows.why_today import NotOpen, OpenNow, Unsure
from season_engine.windows.window_notes import Noted

AS_OF = dt.date(2026, 8, 11)
DEGREE_DAYS = HeatUnit(5.0)
RIDGE = Site("ridge", -45.0, 169.0, 120)


def days(number: int) -> dt.timedelta:
    return dt.timedelta(days=number)


def quantiles(middle: dt.date, half: int) -> Quantiles:
    return Quantiles(middle - days(half), middle, middle + days(half))


def a_year_on(q: Quantiles) -> Quantiles:
    return Quantiles(*(None if date is None else date + days(365) for date in (q.p10, q.p50, q.p90)))


def _risen(date: dt.date, middle: dt.date, half: int) -> float:
    return 1 / (1 + math.exp(-2.2 * (date - middle).days / max(half, 1)))


def week_chances(opens: dt.date, closes: dt.date, half: int, usual_shift: int) -> tuple[WeekChance, ...]:
    start = dt.date(opens.year, 4, 1)
    dates = [start + dt.timedelta(weeks=week) for week in range(52)]

    def chance(date: dt.date, shift: int, spread: int) -> float:
        moved = date - days(shift)
        return max(0.0, _risen(moved, opens, spread) - _risen(moved, closes, spread))

    return tuple(WeekChance(d, chance(d, 0, half), chance(d, usual_shift, half + 6)) for d in dates)


def day_chances(first: dt.date, reached_after: int) -> tuple[DayChance, ...]:
    """Six weeks of odds that rise by 4 in 100 a day to 8 in 10 on one of them; past seasons ten days on."""

    def chance(day: int, behind: int) -> float:
        return min(1.0, max(0.0, (80 + 4 * (day - reached_after - behind)) / 100))

    return tuple(DayChance(first + days(n), chance(n, 0), chance(n, 10)) for n in range(43))


def frost_at(level_c: float, chances: tuple[float, ...]) -> FrostOdds:
    """Weeks from Mon 10 Aug 2026 on."""
    monday = AS_OF - days(AS_OF.weekday())
    weeks = [FrostWeek(monday + days(7 * n), monday + days(7 * n + 6), c) for n, c in enumerate(chances)]
    return FrostOdds(level_c, tuple(weeks))


def an_assessment(
    opens: dt.date = dt.date(2026, 8, 3), closes: dt.date = dt.date(2026, 9, 6), half: int = 9, **changes: Any
) -> Assessment:
    """A maple's spring repotting, in window on 11 Aug 2026 unless told otherwise."""
    opening, closing = quantiles(opens, half), quantiles(closes, half + 2)
    assessment = Assessment(
        site="ridge",
        species="Acer palmatum",
        common_name="Japanese maple",
        job="repotting",
        window="spring",
        as_of=AS_OF,
        data_through=AS_OF - days(1),
        hemisphere="south",
        season="2026/27",
        verdict="open",
        today="do",
        today_why=OpenNow(),
        floor=0.5,
        chance_given=0.98,
        chance_open_now=0.78,
        opens=opening,
        closes=closing,
        next=NextWindow("2027/28", a_year_on(opening), a_year_on(closing)),
        usual=Usual(opens + days(9), closes + days(6), 30),
        reasons=(
            Reason("chill_met", Text("winter chill is met"), SumSoFar(52.3, 45.0, CHILL_PORTIONS), 52.3, 45.0,
                   CHILL_PORTIONS, True, dt.date(2026, 7, 9), "practice"),
            Reason("bud_swell", Text("buds swell"), SumSoFar(171.0, 180.0, DEGREE_DAYS), 171.0,
                   180.0, DEGREE_DAYS, False, dt.date(2026, 8, 14), "memory"),
            Reason("leaves_open", Text("the first leaves unfold"), None, 171.0, 330.0, DEGREE_DAYS, False,
                   closes, "memory", role="closes"),
        ),
        hazards=(
            Hazard("frost", 0.18, 42, ColdNight(-2.0)),
            Hazard("heat", 0.01, 42, HotDays(30.0)),
        ),
        weeks=week_chances(opens, closes, half, 9),
        standing=Standing(opens + days(4), closes - days(4), unsure=False),
        cautions=(Caution("lifting"),),
        notes=(Noted(Text("Leave a third of the old soil")),),
        sources=(GivenOrigin("Dates of bud swell: common practice, no source"),),
    )  # fmt: skip
    return replace(assessment, **changes)


def some_weather(**changes: Any) -> Weather:
    """Ten years of invented weather up to the day before `AS_OF`."""
    first = dt.date(2016, 1, 1)
    count = (AS_OF - first).days
    season = np.cos(2 * np.pi * (np.arange(count) - 15) / 365.25)
    observed = np.ones(count, dtype=bool)
    observed[100:112] = False
    weather = Weather(
        DailySeries(first, 5.0 + 6 * season, 15.0 + 8 * season),
        observed,
        LoggerOrigin("ridge.csv"),
        faults=(
            Fault(
                "gap",
                dt.date(2016, 4, 10),
                dt.date(2016, 4, 21),
                EXTREMES,
                Missing(12),
                "filled",
            ),
            Fault(
                "stuck",
                dt.date(2020, 2, 3),
                dt.date(2020, 2, 3),
                ("lowest",),
                OneStoodStill("lowest", -1.5, 5),
                "filled",
            ),
        ),
    )
    return replace(weather, **changes)


def a_sum(name: str = "heat", total: float = 2100, unit: Unit = DEGREE_DAYS) -> SeasonSum:
    """This season eight in a hundred above the middle one; nearest to it is the warmest of five past ones."""
    first = dt.date(2026, 4, 1)
    dates = tuple(first + days(i) for i in range(365))
    if name == "chill":
        share = [min(1.0, i / 170) ** 1.2 for i in range(365)]
    else:
        share = [(i / 364) ** 2.1 for i in range(365)]
    passed = (AS_OF - first).days
    shares = {"2019/20": 0.85, "2020/21": 0.92, "2021/22": 1.0, "2022/23": 1.06, "2023/24": 1.15}
    return SeasonSum(
        name="chill" if name == "chill" else "heat",
        unit=unit,
        days=dates,
        so_far=tuple(total * 1.08 * x * (1 + 0.05 * math.sin(i / 9)) for i, x in enumerate(share[:passed])),
        p10=tuple(total * 0.85 * x for x in share),
        p50=tuple(total * x for x in share),
        p90=tuple(total * 1.15 * x for x in share),
        past=tuple(
            PastSum(season, tuple(total * part * x for x in share)) for season, part in shares.items()
        ),
    )


def some_days_ahead(count: int = 10) -> tuple[DayAhead, ...]:
    """Nights about 1 degC and days about 11 degC, the first two as forecast, a cold night on the fourth."""
    return tuple(
        DayAhead(
            AS_OF + days(n + 1),
            Spread(-2.0 - n / 2, -1.5 if n == 3 else 1.0, 3.5),
            Spread(8.0, 11.0, 14.0 + n / 4),
            forecast=n < 2,
        )
        for n in range(count)
    )


def _ridge_windows() -> tuple[Assessment, ...]:
    pine = {"species": "Pinus thunbergii", "common_name": "Japanese black pine"}
    elm = {"species": "Ulmus parvifolia", "common_name": "Chinese elm"}
    larch = {"species": "Larix decidua", "common_name": "European larch"}
    olive = {"species": "Olea europaea", "common_name": "olive"}
    none = Quantiles(None, None, None)
    return (
        an_assessment(),
        an_assessment(AS_OF - days(30), AS_OF + days(7), verdict="last-call", today="hold", job="winter-tidy",
                      window="winter-tidy", chance_open_now=0.71,
                      today_why=Unsure(), **pine),
        an_assessment(AS_OF + days(11), AS_OF + days(50), verdict="soon", today="no",
                      chance_open_now=0.12, today_why=NotOpen("soon"), **pine),
        an_assessment(AS_OF + days(6), AS_OF + days(34), half=5, verdict="soon", today="no", floor=0.8,
                      days=day_chances(AS_OF, 12), chance_open_now=0.2, today_why=NotOpen("soon"), **elm),
        an_assessment(AS_OF - days(48), AS_OF - days(12), verdict="closed", today="no", chance_open_now=0.04,
                      today_why=NotOpen("closed"), **larch),
        an_assessment(AS_OF + days(120), AS_OF + days(150), verdict="wait", today="no", job="decandling",
                      window="decandling", chance_open_now=0.0, today_why=NotOpen("wait"), **pine),
        an_assessment(AS_OF + days(70), AS_OF + days(120), verdict="wait", today="no", chance_open_now=0.0,
                      today_why=NotOpen("wait"), **olive),
        replace(an_assessment(), verdict="not-here", today="no", chance_given=0.1, chance_open_now=0.0,
                species="Ficus microcarpa", common_name="evergreen fig", opens=none, closes=none, next=None,
                usual=Usual(None, None, 30), today_why=NotOpen("not-here"), weeks=()),
    )  # fmt: skip


def weeks_ahead(*good: float, closed: float = 0.0, hazards: tuple[float, ...] = ()) -> tuple[WeekAhead, ...]:
    """This week and the next ones, with the odds that all goes well and, in the third, of being too late."""
    return tuple(
        WeekAhead(AS_OF + days(7 * n), chance, closed if n == 2 else 0.0, hazards, chance)
        for n, chance in enumerate(good)
    )


def a_harm(**changes: Any) -> Harm:
    """Odds of frost on a pine just repotted."""
    harm = Harm(
        "cold after work",
        "begins",
        ("P2",),
        ColdNight(-2.0),
        0.22,
        AS_OF + days(1),
        job="repotting",
        worked_on=AS_OF - days(9),
    )
    return replace(harm, **changes)


def a_first_screen(**changes: Any) -> FirstScreen:
    """One maple to work, frost on another one just repotted, and a cold week that moved two windows."""
    maple, _, pine, elm, *_ = _ridge_windows()
    chosen = replace(
        maple,
        tree="M1",
        ahead=weeks_ahead(0.8, 0.7, 0.4, 0.2, 0.1, closed=0.35, hazards=(0.18, 0.01)),
        best=AS_OF,
    )
    since = AS_OF - days(7)
    first = FirstScreen(
        work=(Choice((chosen,), 0.4, past_errors=PastErrors("closes", (2025, 2024, 2023), (4, -5, 3))),),
        protect=(a_harm(),),
        moved=(
            Move(elm, "opens", since, AS_OF + days(1), AS_OF + days(6), 5, 0, (), False),
            Move(pine, "opens", since, AS_OF + days(8), AS_OF + days(11), 3, 0, (), False),
        ),
        weather_since=WeatherSince(7, -2.6, 6, 0),
    )
    return replace(first, **changes)


def a_site_report(**changes: Any) -> SiteReport:
    """The ridge: eight windows and five trees, something under every heading."""
    windows = _ridge_windows()
    maple, tidy, pine, elm, larch, decandle, *_ = windows
    site = SiteReport(
        site=RIDGE,
        weather=some_weather(),
        windows=windows,
        trees=(
            replace(maple, tree="M1"),
            replace(maple, tree="M2", today="no", today_why=Weak(), need=Need("leave", Weak(), "weak")),
            replace(tidy, tree="P1"),
            replace(pine, tree="P1"),
            replace(elm, tree="E1"),
            replace(decandle, tree="P2"),
            replace(larch, tree="L1"),
        ),
        first=a_first_screen(),
        look_at=(
            Look(
                "Ulmus parvifolia",
                "Chinese elm",
                ("E1",),
                "buds_swelling",
                Text("buds swell"),
                Text("buds swell"),
                1,
                0.42,
                (Narrowed("repotting", "spring", "opens", 8.6, 4.7),),
            ),
        ),
        tree_names={"M1": "Lantern", "M2": "Old split maple", "P1": "Harbour pine", "E1": "Gatepost"},
        stages={"M1": "swelling", "P1": "resting", "E1": "opening", "L1": "hardened"},
        days_ahead=some_days_ahead(),
        sums=(a_sum(), a_sum("chill", 62, "chill portions")),
        frost=(
            frost_at(0.0, (0.63, 0.4, 0.33, 0.2, 0.1, 0.03)),
            frost_at(-2.0, (0.2, 0.1, 0.1, 0.0, 0.03, 0.0)),
        ),
        not_covered=("Cedrus atlantica",),
    )
    return replace(site, **changes)


def a_report(**changes: Any) -> Report:
    return replace(Report(AS_OF, demo=False, sites=(a_site_report(),)), **changes)
