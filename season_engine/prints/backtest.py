"""How good past forecasts were, as a table 80 columns wide."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from itertools import groupby

from season_engine.prints.layout import wrapped
from season_engine.verify.cases import (
    Case,
    ForecastGain,
    Row,
    SetByCalendar,
    Subject,
    forecast_gain,
    rows,
    set_by_calendar,
)
from season_engine.verify.station_files import Event
from season_engine.words import naming, prose

_WIDTH = 6
_HEADER = (
    *("weeks", "cases", "CRPS", "cal.", "skill", "from", "to", "MAE", "cal."),
    *("in 50", "wide", "in 80", "wide"),
)
_LEGEND = (
    "Days throughout, but for the shares. Weeks: before the usual date, nothing having come by then; "
    "known: with the season's whole weather, so that only the rule's own error is left. CRPS: mean error "
    "of the whole forecast, odds included; cal.: that of the calendar's own odds, by the site's last 15 "
    "observed years; cases already past on the day of the forecast are left out of both. Skill: the share "
    "of the calendar's CRPS that the forecast takes away; from, to: 95 in 100 of what years drawn anew "
    "give, since sites share a year's weather. MAE: mean error of the middle date, either way, and the "
    "calendar's. In 50, in 80: how often the day lay in the range given 50 or 80 chances in 100, and how "
    "wide that was. --json has the bias and the root of the mean squared error as well."
)
_WINDOWS = (
    "Nobody noted when the windows opened. So what came is drawn: the season's whole weather by the same "
    "rules, and one chance of the rules' own error, the same for all of a species' windows in a season. "
    "The ranges are those of a report or a check. This shows how far the weather to come can be known, "
    "and not whether the rules are right: only your notes can, see --own."
)
_CALENDAR = (
    "Set by the calendar: a day of the year, its length, or what is usual at the site opens these, so that "
    "they are one day without width and nothing is foreseen. They are in none of the tables. Hit: how many "
    "came on that very day."
)


def backtest_text(
    cases: Sequence[Case],
    train_until: int | None,
    log_years: int | None = None,
    *,
    fitted: Collection[Event] = (),
    invented: bool = False,
) -> str:
    """All rows by subject, and what the columns mean; events `fitted` have a rule fitted for this alone."""
    labels = sorted({case.season.label for case in cases})
    seasons = f"{labels[0]} to {labels[-1]}" if labels else "no season"
    sites = prose.counted(len({case.site for case in cases}), "site")
    moved = "" if train_until is None else f", moved by {_dates(log_years)}"
    lines = [*wrapped(f"Forecasts of {seasons} at {sites}{moved}.", "")]
    if invented:
        lines += wrapped(
            "The weather is invented, at some of the sites at least, so this proves nothing.", ""
        )
    for subject, group in groupby(rows(cases), key=lambda row: row.subject):
        told = subject_words(subject) + _by_rule(subject, fitted, train_until)
        lines += ["", *wrapped(told, ""), *_table(list(group))]
    lines += _of_calendar(set_by_calendar(cases))
    lines += ["", *wrapped(_LEGEND, "")]
    if gain := forecast_gain(cases):
        lines += ["", *wrapped(_with_forecast(gain, len(cases)), "")]
    if train_until is None:
        lines += ["", *wrapped(_WINDOWS, "")]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _of_calendar(windows: Sequence[SetByCalendar]) -> Iterator[str]:
    """What the calendar sets, with how many forecasts, and how many of them came on their day."""
    if not windows:
        return
    yield from ("", *wrapped(_CALENDAR, ""))
    yield _line(("cases", "hit"))
    for one in windows:
        yield _line((str(one.n), str(one.on_the_day))) + f"  {subject_words(one.subject)}"


def _with_forecast(gain: ForecastGain, cases: int) -> str:
    return (
        f"{gain.n} of the {cases} cases had a kept forecast of the days ahead and were made with it: their "
        f"CRPS is {gain.crps:.2f}, without it {gain.crps_without:.2f}."
    )


def _dates(log_years: int | None) -> str:
    """Which of a site's own dates each forecast learnt from."""
    if log_years is None:
        return "all of the site's own dates before each season"
    if log_years == 0:
        return "none of the site's own dates"
    last = "last date" if log_years == 1 else f"last {prose.counted(log_years, 'date')}"
    return f"the site's own {last} before each season"


def _by_rule(subject: Subject, fitted: Collection[Event], train_until: int | None) -> str:
    if not isinstance(subject, Event):
        return ""
    return (
        f", by a rule fitted here on dates to {train_until}"
        if subject in fitted
        else ", by the catalogue's rule"
    )


def subject_words(subject: Subject) -> str:
    """What is forecast: a stage by its code, or the opening of a window."""
    if isinstance(subject, Event):
        return f"{prose.plain(subject.species)}, BBCH {subject.bbch:02d}"
    return f"{naming.title(subject)}: opens"


def _table(group: Sequence[Row]) -> Iterator[str]:
    yield _line(_HEADER)
    for row in group:
        yield _line(_cells(row))
    if missed := max(row.summary.not_reached for row in group):
        yield f"  not reached: up to {missed:.1%} of the odds"


def _line(cells: Iterable[str]) -> str:
    return "".join(f"{cell:>{_WIDTH}}" for cell in cells)


def _cells(row: Row) -> Iterator[str]:
    s = row.summary
    yield "known" if row.lead_weeks is None else f"{row.lead_weeks:g}"
    yield str(s.n)
    for days in (s.crps, row.crps_calendar):
        yield f"{days:.2f}"
    yield f"{row.crps_skill:.2f}"
    yield from (f"{end:.2f}" for end in row.crps_skill_between) if row.crps_skill_between else ("", "")
    for days in (s.mae, row.mae_calendar):
        yield f"{days:.2f}"
    for share, width in ((s.coverage50, s.width50), (s.coverage80, s.width80)):
        yield f"{share:.0%}"
        yield f"{width:.1f}"
