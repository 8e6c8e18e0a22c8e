"""What `backtest` writes as data: the JSON document, and its cases as CSV."""

from __future__ import annotations

import csv
import io
from collections.abc import Collection, Iterable

from season_engine.documents.json_values import Document, finite
from season_engine.verify.cases import Case, Row, WindowOpening, rows
from season_engine.verify.station_files import Event

CASE_COLUMNS = (
    *("species", "bbch", "job", "window", "site", "season", "lead_weeks", "issued", "observed"),
    *("p10", "p25", "p50", "p75", "p90", "not_reached", "crps", "pit", "calendar", "crps_calendar"),
)


def backtest_document(
    cases: Iterable[Case],
    train_until: int | None,
    log_years: int | None = None,
    *,
    fitted: Collection[Event] = (),
    invented: bool = False,
) -> Document:
    """What ``backtest --json`` prints; `train_until` is None for windows, whose rules are the catalogue's.

    Events `fitted` have a rule that was fitted for this alone.
    """
    limited = {} if log_years is None else {"log_years": log_years}
    told = [_row(row, fitted) for row in rows(cases)]
    return {"train_until": train_until, **limited, "rows": told, "invented_weather": invented}


def _row(row: Row, fitted: Collection[Event]) -> Document:
    s = row.summary
    by = (
        {"rule": "fitted" if row.subject in fitted else "catalogue"} if isinstance(row.subject, Event) else {}
    )
    return {
        **_subject(row.subject),
        **by,
        "lead_weeks": lead_number(row.lead_weeks),
        "n": s.n,
        "mae": finite(s.mae),
        "bias": finite(s.bias),
        "rmse": finite(s.rmse),
        "crps": finite(s.crps),
        "mae_calendar": finite(row.mae_calendar),
        "crps_calendar": finite(row.crps_calendar),
        "skill": finite(row.skill),
        "coverage50": finite(s.coverage50),
        "coverage80": finite(s.coverage80),
        "width50": finite(s.width50),
        "width80": finite(s.width80),
        "not_reached": finite(s.not_reached),
    }


def _subject(subject: Event | WindowOpening) -> Document:
    if isinstance(subject, Event):
        return {"species": subject.species, "bbch": subject.bbch}
    return {"species": subject.species, "bbch": None, "job": subject.job, "window": subject.window}


def lead_number(lead: float | None) -> float | int | None:
    """Whole weeks as a whole number."""
    return int(lead) if lead is not None and lead == int(lead) else lead


def cases_csv(cases: Iterable[Case]) -> str:
    """One line a case; days are days of the season (0 is its first, 29 February left out), dates ISO 8601."""
    text = io.StringIO()
    writer = csv.DictWriter(text, CASE_COLUMNS, lineterminator="\n")
    writer.writeheader()
    for case in cases:
        s = case.scored
        days = {"p10": s.p10, "p25": s.p25, "p50": s.p50, "p75": s.p75, "p90": s.p90}
        scores = {"not_reached": s.not_reached, "crps": s.crps, "pit": s.pit}
        calendar = {"calendar": case.calendar_day, "crps_calendar": case.calendar_crps}
        numbers = {name: finite(value) for name, value in {**days, **scores, **calendar}.items()}
        issued = None if case.issued_day is None else case.season.date_of(case.issued_day).isoformat()
        writer.writerow(
            {
                **_subject(case.subject),
                "site": case.site,
                "season": case.season.label,
                "lead_weeks": lead_number(case.lead_weeks),
                "issued": issued,
                "observed": finite(case.day),
                **numbers,
            }
        )
    return text.getvalue()
