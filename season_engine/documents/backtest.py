"""What `backtest --json` prints: of past seasons, or with --own of past reports; days throughout."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from itertools import groupby
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from season_engine.documents.model import Document, Facts
from season_engine.documents.values import (
    Chance,
    ChanceOrNone,
    Count,
    Date,
    Number,
    Size,
    SizeOrNone,
    Skill,
    Some,
    Stage,
)
from season_engine.verify.cases import Case, Row, forecast_gain, rows, set_by_calendar
from season_engine.verify.own_score import CameBy, OwnReports, OwnSummary, bands, own_summary
from season_engine.verify.station_files import Event


def lead_number(lead: float | None) -> float | int | None:
    """Whole weeks as a whole number."""
    return int(lead) if lead is not None and lead == int(lead) else lead


def _without_default(schema: dict[str, Any]) -> None:
    del schema["default"]


class EventSubject(Document):
    """A stage of a species."""

    species: str
    bbch: Stage
    rule: Literal["catalogue", "fitted"] = Field(
        description="The catalogue's rule, or one fitted for this on its dates up to train_until."
    )


class WindowSubject(Document):
    """The opening of a window."""

    species: str
    bbch: None
    job: str
    window: str


class Lead(Document):
    """How long before the usual date it was forecast."""

    lead_weeks: Annotated[
        Count | Annotated[float, Field(ge=0)] | None,
        BeforeValidator(lead_number),
        Field(description="Weeks before the usual date, null with the season's whole weather."),
    ]


class OwnLead(Document):
    """How long before the date it gave the report was made, and what that was held against."""

    own: Literal[True] = Field(description="Of the engine's own reports.")
    came_by: CameBy = Field(
        description="What they were held against: the grower's notes, or the season's whole weather."
    )
    lead_weeks: Count = Field(description="Weeks from the report to the date it gave, at least.")
    lead_weeks_to: Count = Field(description="Weeks from the report to the date it gave, at most.")


class Scores(Document):
    """Means over cases; null is what past reports, of which three dates are kept, can't tell."""

    n: Some
    mae: Size
    bias: Number = Field(description="Days; above 0 the forecast was late.")
    rmse: Size
    crps: SizeOrNone
    mae_calendar: SizeOrNone
    crps_calendar: SizeOrNone
    skill: Skill = Field(
        description="1 - mae / mae_calendar on the same cases; null where the calendar made no error."
    )
    coverage50: ChanceOrNone
    coverage80: Chance
    width50: SizeOrNone
    width80: SizeOrNone
    not_reached: Chance = Field(description="Mean chance given to the event not coming at all.")


class CaseScores(Scores):
    """Means over forecasts of past seasons."""

    crps: Size
    mae_calendar: Size
    crps_calendar: Size
    coverage50: Chance
    width50: Size
    width80: Size
    crps_skill: Skill = Field(description="1 - crps / crps_calendar.")
    crps_skill_from: Skill = Field(
        description="Lower end of 95 in 100 of that skill when whole years are drawn anew; null of one year."
    )
    crps_skill_to: Skill = Field(description="Upper end of the same.")


class OwnScores(Scores):
    """Means over what past reports foresaw."""

    crps: None
    crps_calendar: None
    coverage50: None
    width50: None


class EventRow(CaseScores, Lead, EventSubject):
    """One stage and lead."""


class WindowRow(CaseScores, Lead, WindowSubject):
    """One window and lead."""


class CalendarWindow(WindowSubject):
    """A window's forecasts that are one day without width, as a day of the year or its length sets it."""

    n: Some
    on_the_day: Count = Field(description="Of them, how many came on that very day.")


class OwnTogether(OwnScores, OwnLead):
    """All windows together."""


class OwnRow(OwnScores, OwnLead, WindowSubject):
    """One window, weeks ahead and what it was held against."""


class WithForecast(Document):
    """The cases for which a forecast of the days ahead had been kept, which were made with it."""

    n: Some
    crps: Size
    crps_without: Size = Field(description="Of the same cases made without it.")


class Backtest(Document):
    """How good forecasts would have been."""

    train_until: int | None = Field(
        description="Seasons that end after this year were forecast, by rules that have seen none of them; "
        "null for the windows of a workspace."
    )
    log_years: Count = Field(
        0,
        json_schema_extra=_without_default,
        description="How many of its site's own last dates a forecast learnt from; left out where all.",
    )
    rows: tuple[EventRow | WindowRow, ...]
    set_by_calendar: tuple[CalendarWindow, ...] = Field(
        description="Openings that the calendar sets: their forecasts are one day and in none of the rows."
    )
    with_forecast: WithForecast | None = Field(
        description="Of the windows of a workspace; null where no forecast of the days ahead was kept."
    )
    invented_weather: bool = Field(description="Whether the weather of any of the sites is invented.")


class OwnRead(Document):
    """The reports that were scored."""

    reports: Count = Field(description="Days whose report was written on that day.")
    first: Date | None
    last: Date | None
    written_later: Count = Field(description="Past days whose report was written later; not scored.")
    torn: Count = Field(description="Lines of the record that can't be read.")
    together: tuple[OwnTogether, ...]


class ForecastErrors(Document):
    """Of one of the day's extremes, against the site's own readings."""

    bias_c: Number = Field(description="Above 0 the forecast was too warm.")
    rmse_c: Size
    usual_rmse_c: SizeOrNone = Field(
        description="The same of the middle of past years about that date; null in a record too short."
    )


class ForecastAhead(Document):
    """Forecasts of so many days ahead."""

    lead_days: Some
    n: Some
    tmin: ForecastErrors
    tmax: ForecastErrors


class ForecastsKept(Document):
    """Forecasts of the days ahead that were kept for one site and whose days are past; degC throughout."""

    site: str
    issues: Some = Field(description="Days on which one was issued.")
    first: Date
    last: Date
    ahead: tuple[ForecastAhead, ...] = Field(json_schema_extra={"minItems": 1})


class OwnBacktest(Document):
    """How past reports fared, and the forecasts of the days ahead that they had."""

    train_until: None
    rows: tuple[OwnRow, ...]
    own: OwnRead
    forecasts: tuple[ForecastsKept, ...]


def backtest_document(
    cases: Iterable[Case],
    train_until: int | None,
    log_years: int | None = None,
    *,
    fitted: Collection[Event] = (),
    invented: bool = False,
) -> Backtest:
    """What ``backtest --json`` prints; `train_until` is None for windows, whose rules are the catalogue's.

    Events `fitted` have a rule that was fitted for this alone.
    """
    limited = {} if log_years is None else {"log_years": log_years}
    cases = tuple(cases)
    of_calendar = [Facts(one, one.subject, bbch=None) for one in set_by_calendar(cases)]
    told = {
        "rows": [_row(row, fitted) for row in rows(cases)],
        "set_by_calendar": of_calendar,
        "with_forecast": forecast_gain(cases),
        "invented_weather": invented,
    }
    return Backtest.model_validate({"train_until": train_until, **limited, **told})


def _row(row: Row, fitted: Collection[Event]) -> EventRow | WindowRow:
    low, high = row.crps_skill_between or (None, None)
    facts = Facts(row, row.subject, row.summary, crps_skill_from=low, crps_skill_to=high)
    if isinstance(row.subject, Event):
        rule = "fitted" if row.subject in fitted else "catalogue"
        return EventRow.model_validate(Facts(facts, rule=rule))
    return WindowRow.model_validate(Facts(facts, bbch=None))


def own_document(own: OwnReports) -> OwnBacktest:
    """What ``backtest --own --json`` prints: one row a window, weeks ahead and what it was held against."""
    by_window = sorted(own.outcomes, key=lambda one: one.subject)
    told = [
        Facts(_own_scores(kind, band, own_summary(some)), subject, bbch=None)
        for subject, group in groupby(by_window, key=lambda one: one.subject)
        for kind, band, some in bands(list(group))
    ]
    read = Facts(
        own,
        reports=len(own.days),
        first=own.days[0] if own.days else None,
        last=own.days[-1] if own.days else None,
        together=[_own_scores(kind, band, own_summary(some)) for kind, band, some in bands(own.outcomes)],
    )
    return OwnBacktest.model_validate(
        {"train_until": None, "rows": told, "own": read, "forecasts": own.forecasts}
    )


def _own_scores(kind: CameBy, band: tuple[int, int], s: OwnSummary) -> Facts:
    return Facts(
        s,
        own=True,
        came_by=kind,
        lead_weeks=band[0],
        lead_weeks_to=band[1],
        mae_calendar=s.mae_usual,
        **dict.fromkeys(("crps", "crps_calendar", "coverage50", "width50")),
    )
