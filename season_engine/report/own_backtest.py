"""What `backtest --own` prints: how past reports fared, as text, JSON and CSV."""

from __future__ import annotations

import csv
import datetime as dt
import io
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from season_engine.report import phrases
from season_engine.report.json_values import Document, finite
from season_engine.report.text import wrapped
from season_engine.verify.own_score import CameBy, Outcome, OwnSummary, bands, own_summary

NOTHING_YET = (
    "No report is old enough yet to be held against what came. What each week's report says is kept, and "
    "an opening it foresaw is scored once the range given for it is past. Only reports written on the day "
    "they are about count."
)
_HEADINGS: dict[CameBy, str] = {
    "notes": "Held against the stages you noted",
    "weather": "Held against the same rules with the season's whole weather",
}
_LEGEND = (
    "Weeks: from the report to the date it gave. Each opening is one case, as the first report within those "
    "weeks foresaw it. Days throughout but for the share: MAE: mean error of the middle date, either way. "
    "usual: the same for the middle date of past seasons, as that report had it. Bias: above 0, the report "
    "was late. In 80: how often the day lay in the range given 8 chances in 10, and how wide that was. "
    "Where no note tells, only the error of not knowing the weather to come can show, not the rules' own."
)
_COLUMNS = ("weeks", "cases", "MAE", "usual", "bias", "RMSE", "in 80", "wide")
_CASE_COLUMNS = (
    *("species", "job", "window", "site", "season", "as_of", "weeks_ahead", "p10", "p50", "p90", "usual"),
    *("came", "came_by"),
)


@dataclass(frozen=True, slots=True)
class OwnReports:
    """The reports that were read, and every opening of theirs that can be scored."""

    days: tuple[dt.date, ...]  # that the fair ones are about
    written_later: int  # about a past day, made after it: left out
    torn: int  # lines of the record that can't be read
    outcomes: tuple[Outcome, ...]


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


def own_text(own: OwnReports) -> str:
    """A table for each thing that reports were held against, 80 columns wide."""
    lines = []
    if own.outcomes:
        openings = len({(one.subject, one.site, one.season) for one in own.outcomes})
        first, last = phrases.full_day(own.days[0]), phrases.full_day(own.days[-1])
        reports = phrases.counted(len(own.days), "report").capitalize()
        foreseen = phrases.counted(openings, "opening")
        lines += wrapped(f"{reports} from {first} to {last}: {foreseen} foreseen and past.", "")
        for kind, group in groupby(bands(own.outcomes), key=lambda found: found[0]):
            lines += ["", *wrapped(_HEADINGS[kind], ""), _line(_COLUMNS)]
            lines += [_line(_cells(band, own_summary(some))) for _, band, some in group]
        lines += ["", *wrapped(_LEGEND, "")]
    else:
        lines += wrapped(NOTHING_YET, "")
    lines += [line for text in _left_out(own) for line in ("", *wrapped(text, ""))]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _left_out(own: OwnReports) -> Iterator[str]:
    if own.written_later:
        were = "was" if own.written_later == 1 else "were"
        reports = phrases.counted(own.written_later, "report").capitalize()
        yield f"{reports} about a past day {were} left out: written later, they foresaw nothing."
    if own.torn:
        lines = phrases.counted(own.torn, "line").capitalize()
        yield f"{lines} of the record can't be read and {'is' if own.torn == 1 else 'are'} left out."


def _line(cells: Iterable[str]) -> str:
    return "".join(f"{cell:>7}" for cell in cells)


def _cells(band: tuple[int, int], s: OwnSummary) -> Iterator[str]:
    yield f"{band[0]} to {band[1]}"
    yield str(s.n)
    yield f"{s.mae:.1f}"
    yield "" if s.mae_usual is None else f"{s.mae_usual:.1f}"
    yield f"{s.bias:+.1f}"
    yield f"{s.rmse:.1f}"
    yield f"{s.coverage80:.0%}"
    yield "" if s.width80 is None else f"{s.width80:.0f}"


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
