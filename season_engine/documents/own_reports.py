"""What `backtest --own` prints: how past reports fared, as text, JSON and CSV."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from itertools import groupby

from season_engine.documents.json_values import Document, finite
from season_engine.verify.own_score import CameBy, Outcome, OwnReports, OwnSummary, bands, own_summary

_CASE_COLUMNS = (
    *("species", "job", "window", "site", "season", "as_of", "weeks_ahead", "p10", "p50", "p90", "usual"),
    *("came", "came_by"),
)


def own_document(own: OwnReports) -> Document:
    """What ``backtest --own --json`` prints: one row a window, weeks ahead and what it was held against."""
    by_window = sorted(own.outcomes, key=lambda one: one.subject)
    rows = [
        {**_subject(some[0]), **_scores(kind, band, own_summary(some))}
        for _, group in groupby(by_window, key=lambda one: one.subject)
        for kind, band, some in bands(list(group))
    ]
    return {
        "train_until": None,
        "rows": rows,
        "own": {
            "reports": len(own.days),
            "first": own.days[0].isoformat() if own.days else None,
            "last": own.days[-1].isoformat() if own.days else None,
            "written_later": own.written_later,
            "torn": own.torn,
            "together": [_scores(kind, band, own_summary(some)) for kind, band, some in bands(own.outcomes)],
        },
    }


def _subject(one: Outcome) -> Document:
    s = one.subject
    return {"species": s.species, "bbch": None, "job": s.job, "window": s.window}


def _scores(kind: CameBy, band: tuple[int, int], s: OwnSummary) -> Document:
    skill = 1.0 - s.mae / s.mae_usual if s.mae_usual else None
    return {
        "own": True,
        "came_by": kind,
        "lead_weeks": band[0],
        "lead_weeks_to": band[1],
        "n": s.n,
        "mae": finite(s.mae),
        "bias": finite(s.bias),
        "rmse": finite(s.rmse),
        "crps": None,  # a report keeps three dates of its odds, too few for these
        "mae_calendar": finite(s.mae_usual),
        "crps_calendar": None,
        "skill": finite(skill),
        "coverage50": None,
        "coverage80": finite(s.coverage80),
        "width50": None,
        "width80": finite(s.width80),
        "not_reached": finite(s.not_reached),
    }


def own_cases_csv(found: Sequence[Outcome]) -> str:
    """One line an opening and report, dates ISO 8601."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(_CASE_COLUMNS)
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
