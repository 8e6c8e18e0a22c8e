"""How past reports, and the rules behind them, did at a yard: what `backtest` asks of the whole engine."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import replace

from season_engine.errors import TooLittleWeatherError
from season_engine.facts import Progress
from season_engine.pipeline import forecasts_kept, own_record, read_weather, season_view, trees_at
from season_engine.report.site_report import own_outcomes
from season_engine.verify.cases import Case
from season_engine.verify.forecast_score import ForecastScore, forecast_score
from season_engine.verify.hindcast import Question, answers, questions_by_day
from season_engine.verify.own_score import Outcome, OwnReports
from season_engine.weather.forecast.days import STALE_DAYS
from season_engine.windows.yard import Yard
from season_engine.workspace.catalogue import catalogue_of
from season_engine.workspace.workspace import SiteEntry, Workspace


def own_reports(workspace: Workspace, entries: Iterable[SiteEntry], on: dt.date) -> OwnReports:
    """What past reports on these sites foresaw, held against what came by `on`."""
    record, catalogue = own_record(workspace, on), catalogue_of(workspace)
    days: set[dt.date] = set()
    found: list[Outcome] = []
    names = set()
    forecasts: list[ForecastScore] = []
    for entry in entries:
        if (score := _forecasts_scored(workspace, entry, on)) is not None:
            forecasts.append(score)
        names.add(entry.site.name)
        if foreseen := record.foreseen(entry.site.name):
            days.update(one.as_of for one in foreseen)
            view = season_view(workspace, replace(entry, forecast=None), on)
            found += own_outcomes(Yard(view, catalogue, notes=workspace.notes), record)
    later = {one.as_of for one in record.statements if one.site in names and not one.foresight}
    return OwnReports(tuple(sorted(days)), len(later - days), record.torn, tuple(found), tuple(forecasts))


def _forecasts_scored(workspace: Workspace, entry: SiteEntry, on: dt.date) -> ForecastScore | None:
    """How far off a site's kept forecasts were; None where none is kept, or no day of theirs is past."""
    issues = forecasts_kept(workspace, entry, on)
    if not issues:
        return None
    return forecast_score(entry.site.name, issues, read_weather(workspace, entry, on), on)


def hindcast_windows(
    workspace: Workspace,
    entries: Sequence[SiteEntry],
    on: dt.date,
    lead_weeks: Sequence[float],
    *,
    jobs: int = 1,
    progress: Progress | None = None,
) -> list[Case]:
    """Past openings of each site's windows as they were foreseen; `progress` is told done and all.

    A forecast of the days ahead that was kept by then is used, as `report` would have used it, and the case
    scored without it as well: most seasons have none.
    """
    from joblib import Parallel, delayed

    catalogue = catalogue_of(workspace)
    work = []
    for entry in entries:
        bare, kept = replace(entry, forecast=None), _days_with_forecast(workspace, entry, on)
        view, trees = season_view(workspace, bare, on), trees_at(workspace, [entry], on)
        asked = questions_by_day(view, catalogue, trees, lead_weeks)
        work += [(entry if issued in kept else bare, issued, some) for issued, some in asked.items()]
    parallel = Parallel(n_jobs=jobs, return_as="generator")
    cases: list[Case] = []
    for done, found in enumerate(parallel(delayed(_answers)(workspace, *one) for one in work), start=1):
        cases += found
        if progress:
            progress(done, len(work))
    return cases


def _days_with_forecast(workspace: Workspace, entry: SiteEntry, on: dt.date) -> set[dt.date]:
    """Days on which a kept forecast of the days ahead is not yet too old to be used."""
    issued = {issue.day for issue in forecasts_kept(workspace, entry, on)}
    return {day + dt.timedelta(days=age) for day in issued for age in range(STALE_DAYS)}


def _answers(workspace: Workspace, entry: SiteEntry, issued: dt.date, asked: list[Question]) -> list[Case]:
    """Forecasts from one day, from what could be read then; none where that was too little."""
    try:
        return list(answers(season_view(workspace, entry, issued), asked))
    except TooLittleWeatherError:
        return []
