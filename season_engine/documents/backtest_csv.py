"""The cases of `backtest` as CSV: of past seasons, and with --own of past reports."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

from season_engine.documents.backtest import lead_number
from season_engine.documents.values import finite
from season_engine.verify.cases import Case
from season_engine.verify.own_score import Outcome
from season_engine.verify.station_files import Event

CASE_COLUMNS = (
    *("species", "bbch", "job", "window", "site", "season", "lead_weeks", "issued", "observed"),
    *("p10", "p25", "p50", "p75", "p90", "not_reached", "crps", "pit", "calendar", "crps_calendar", "by"),
)
_OWN_COLUMNS = (
    *("species", "job", "window", "site", "season", "as_of", "weeks_ahead", "p10", "p50", "p90", "usual"),
    *("came", "came_by"),
)


def cases_csv(cases: Iterable[Case]) -> str:
    """One line a case; days are days of the season (0 is its first, 29 February left out), dates ISO 8601."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(CASE_COLUMNS)
    for case in cases:
        subject, s = case.subject, case.scored
        of = (subject.bbch, "", "") if isinstance(subject, Event) else ("", subject.job, subject.window)
        issued = None if case.issued_day is None else case.season.date_of(case.issued_day).isoformat()
        days = (s.p10, s.p25, s.p50, s.p75, s.p90, s.not_reached, s.crps, s.pit)
        numbers = map(finite, (case.day, *days, case.calendar_day, case.calendar_crps))
        lead, by = lead_number(case.lead_weeks), "calendar" if case.by_calendar else "weather"
        writer.writerow((subject.species, *of, case.site, case.season.label, lead, issued, *numbers, by))
    return text.getvalue()


def own_cases_csv(found: Iterable[Outcome]) -> str:
    """One line an opening and report, dates ISO 8601."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(_OWN_COLUMNS)
    for one in found:
        s, opens = one.subject, one.said.opens
        dates = (opens.p10, opens.p50, opens.p90, one.said.usual, one.came)
        writer.writerow(
            [
                *(s.species, s.job, s.window, one.site, one.season, one.as_of.isoformat(), one.weeks_ahead),
                *("" if date is None else date.isoformat() for date in dates),
                one.came_by,
            ]
        )
    return text.getvalue()
