"""Sites judged side by side get what each gets by itself: the same dates, and the same odds to 1e-6."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

import numpy as np
import pytest

from season_engine.batch.asked import Asked, catalogue_here
from season_engine.batch.judging import SiteResult, fit_weather, judge_block
from season_engine.batch.sources.source import Readings
from season_engine.species.schema import Window
from season_engine.traces import SeasonView
from season_engine.traces.running_sums import running_sum
from season_engine.weather.sources.origins import GivenOrigin
from season_engine.windows.assess import Prospect, assess
from season_engine.windows.assessment import Assessment
from season_engine.windows.block import Judged
from tests.batch.made import MadeSite, made_sites

SITES = 36  # nine a day; `tests.benchmarks.batch_beside_check` holds hundreds, and more species
DAYS = (dt.date(2026, 3, 20), dt.date(2026, 8, 10), dt.date(2025, 11, 3), dt.date(2024, 2, 29))
SPECIES, JOBS = ("Pinus thunbergii",), ("repotting", "decandling")
YEARS = (6, 7)


def readings(made: MadeSite) -> Readings:
    return Readings(GivenOrigin("made weather"), made.raw)


def judged_alone(made: MadeSite, asked: Asked) -> list[tuple[Window, Assessment]]:
    view = SeasonView(made.site, fit_weather(made.site, readings(made), asked.on), asked.on)
    found = []
    for kind, windows in asked.windows(catalogue_here()):
        prospect = Prospect(view, kind, any_size=True)
        found += [(window, assess(prospect, window)) for window in windows]
    return found


def dates_and_words(a: Assessment) -> tuple[object, ...]:
    return (
        *(a.season, a.verdict, a.today, a.floor),
        *(a.opens.p10, a.opens.p50, a.opens.p90, a.closes.p10, a.closes.p50, a.closes.p90),
        *(a.usual.opens_p50, a.usual.closes_p50),
    )


def of_block(j: Judged) -> tuple[object, ...]:
    return (
        *(j.season, j.verdict, j.today, j.floor),
        *(j.opens.p10, j.opens.p50, j.opens.p90, j.closes.p10, j.closes.p50, j.closes.p90),
        *(j.usual_opens, j.usual_closes),
    )


def odds_apart(a: Assessment, j: Judged) -> float:
    assert len(a.ahead) == len(j.good)
    alone = [a.chance_given, a.chance_open_now, *(week.chance_good for week in a.ahead)]
    return float(np.abs(np.array(alone) - [j.chance_given, j.chance_open, *j.good]).max())


def hold_to_the_single_pass(
    made: Sequence[MadeSite], results: Sequence[SiteResult], asked: Asked
) -> set[str]:
    """Compares all of it, and gives the verdicts met."""
    verdicts = set()
    for one, result in zip(made, results, strict=True):
        assert result.refused is None
        alone = judged_alone(one, asked)
        for (window, assessment), found in zip(alone, result.windows, strict=True):
            assert found.window == window
            assert of_block(found.judged) == dates_and_words(assessment), (one.site, window.name)
            assert odds_apart(assessment, found.judged) <= 1e-6
            verdicts.add(assessment.verdict)
    return verdicts


@pytest.mark.parametrize("day", DAYS, ids=str)
def test_a_block_says_what_the_single_pass_says(day: dt.date) -> None:
    place = DAYS.index(day)
    made = made_sites(SITES, day, years=YEARS)[place :: len(DAYS)]
    asked = Asked(SPECIES, JOBS, day)
    results = judge_block([one.site for one in made], map(readings, made), asked)
    verdicts = hold_to_the_single_pass(made, results, asked)
    assert len(verdicts) >= 3  # else little was compared


def test_sums_of_the_season_so_far_are_those_that_a_report_draws() -> None:
    for day in DAYS:
        made = made_sites(3, day, years=YEARS)
        asked = Asked(("Acer palmatum",), ("repotting",), day)
        for one, result in zip(
            made, judge_block([one.site for one in made], map(readings, made), asked), strict=True
        ):
            assert result.sums is not None
            view = SeasonView(one.site, fit_weather(one.site, readings(one), day), day)
            chill, heat = (running_sum(view, name).so_far for name in ("chill_portions", "gdh_c"))
            for total, so_far in ((result.sums.chill_portions, chill), (result.sums.heat_gdh, heat)):
                assert total == pytest.approx(so_far[-1] if so_far.size else 0.0, rel=1e-9, abs=1e-9)


def test_the_earliest_safe_monday_is_the_first_with_the_odds_that_the_job_wants() -> None:
    """Each Monday before it is looked at from itself alone, by the week's chances of the single pass."""
    day = dt.date(2026, 3, 2)  # a Monday
    made = made_sites(12, day, years=YEARS)
    asked = Asked(("Acer palmatum",), ("repotting",), day)
    results = judge_block([one.site for one in made], map(readings, made), asked)
    named = 0
    for one, result in zip(made, results, strict=True):
        alone = judged_alone(one, asked)
        for (_, assessment), found in zip(alone, result.windows, strict=True):
            monday = found.judged.earliest_safe_monday
            well = [week.date for week in assessment.ahead if week.chance_good >= assessment.floor]
            if well:
                assert monday == well[0]
                named += 1
            elif assessment.ahead and monday is not None:
                assert monday > assessment.ahead[-1].date
            assert monday is None or monday.weekday() == 0
    assert named
