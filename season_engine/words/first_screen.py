"""The first screen in words: what to work, look at and protect, what moved and why, and how to answer."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from season_engine.advice.hindsight import YEARS, PastErrors
from season_engine.advice.moves import LEAST_WARMER_C, Move, WeatherSince
from season_engine.facts import Text
from season_engine.report.contents import SiteReport, advised, told_of, trees_of, under
from season_engine.windows.assessment import Assessment, End
from season_engine.words import naming, prose, timing
from season_engine.words.harm import harm_in_a_mail, harm_sentences
from season_engine.words.line import Line
from season_engine.words.looks import look_answer, look_lines
from season_engine.words.season import season_sentence
from season_engine.words.speech import say
from season_engine.words.window_lines import waiting_to_open, weak_sentence
from season_engine.words.work_list import WorkLine, work_lines

TREES_NAMED = 3
MOVES_IN_A_LINE = 2

FREE = Text("Nothing presses this week; what may be worked stands on the page.")

Cause = Literal["weather", "notes", "neither"]
Tense = Literal["opens", "opened", "closes", "closed"]

_HAPPENS: Mapping[Tense, Text] = {
    "opens": Text("{job} opens {change} (about {date})"),
    "opened": Text("{job} opened {change} (about {date})"),
    "closes": Text("{job} closes {change} (about {date})"),
    "closed": Text("{job} closed {change} (about {date})"),
}


@dataclass(frozen=True, slots=True)
class FirstLines:
    """One yard on one screen."""

    harm: tuple[str, ...]  # weather that harms, and what to do about it: before all work
    harm_in_a_mail: tuple[str, ...]
    season: str
    work: tuple[WorkLine, ...]  # that may be done today
    waits: tuple[WorkLine, ...]  # that is due and must wait
    weak: str  # the trees to leave alone
    idle: str  # where there is nothing to work
    idle_in_a_mail: str  # the same where it says more than a mail's headline does
    look: tuple[Line, ...]
    answer: str
    moved: tuple[str, ...]


def first_lines(site: SiteReport, as_of: dt.date) -> FirstLines:
    """The first screen of one site."""
    first, lines = site.first, work_lines(site)
    idle = "" if first.work else _idle(site, as_of)
    return FirstLines(
        harm=harm_sentences(site, first.protect, as_of),
        harm_in_a_mail=harm_in_a_mail(site, first.protect, as_of),
        season=season_sentence(site, as_of),
        work=tuple(line for line in lines if not line.waits),
        waits=tuple(line for line in lines if line.waits),
        weak=weak_sentence(site),
        idle=idle,
        idle_in_a_mail="" if idle == say(FREE) else idle,
        look=look_lines(site),
        answer=look_answer(site),
        moved=moved_sentences(first.moved, first.weather_since, as_of, _forecast_used(site)),
    )


def _idle(site: SiteReport, as_of: dt.date) -> str:
    """Why there is nothing to work first, and what comes next where there is nothing to work at all."""
    told = told_of(site)
    advice = {one.today for window in under("now", told) for one in advised(site, window)}
    if "do" in advice:  # what a tree is due for stands under "Work first"
        return say(FREE)
    if advice:
        return say("What is in window is better left this week; the page says why.")
    waiting = waiting_to_open((one for one in told if _for_some_tree(site, one)), as_of)
    if not waiting:
        return say("Nothing for the bench this week.")
    title, opens = min(waiting, key=lambda one: (one[1].p50 or as_of, one[0]))
    nothing = Text("Nothing for the bench this week. Next to open: {window}, {about}.")
    return say(nothing, window=title, about=timing.roughly(opens, as_of))


def _for_some_tree(site: SiteReport, window: Assessment) -> bool:
    """Whether a tree is kept that what was done to it doesn't keep from the job; or none is kept at all."""
    trees = trees_of(site, window)
    return not trees or any(not one.left_alone for one in trees)


def past_errors_sentence(errors: PastErrors | None) -> str:
    """How far out the date was that would have been given on this day in the last years."""
    if errors is None:
        return ""
    count, out = len(errors.days), round(sum(abs(days) for days in errors.days) / len(errors.days))
    years = say("the last three years")
    if count != YEARS:
        years = prose.counts("{n} of the last three years", "{n} of the last three years", count)
    error = prose.counts("{n} day out", "{n} days out", out) if out else say("right to the day")
    closing = Text("In {years} the closing date given on this day was {error}.")
    opening = Text("In {years} the opening date given on this day was {error}.")
    return say(closing if errors.end == "closes" else opening, years=years, error=error)


def _forecast_used(site: SiteReport) -> bool:
    return site.weather is not None and site.weather.forecast.status == "used"


def moved_sentences(
    moves: Sequence[Move], weather: WeatherSince | None, as_of: dt.date, forecast_used: bool = False
) -> tuple[str, ...]:
    """What moved, one sentence a cause, the notes first."""
    told = []
    for cause in ("notes", "weather", "neither"):
        caused = [move for move in moves if _cause(move) == cause]
        if caused:
            lead = _note_words(caused, as_of) if cause == "notes" else ""
            if cause == "weather":
                lead = _weather_words(caused[0].since, weather, as_of, forecast_used)
            told.append(
                f"{lead or say('With what else changed since')}: {_moves_words(caused, moves, as_of)}."
            )
    return tuple(told[:2])


def _cause(move: Move) -> Cause:
    """What did most of it, in the direction it moved."""
    sign = 1 if move.days > 0 else -1
    rest = move.days - move.weather_days - move.notes_days
    shares: dict[Cause, int] = {
        "weather": sign * move.weather_days,
        "notes": sign * move.notes_days,
        "neither": sign * rest if move.recorded else 0,
    }
    return max(shares, key=lambda cause: shares[cause])


def _weather_words(since: dt.date, weather: WeatherSince | None, as_of: dt.date, forecast_used: bool) -> str:
    """``Six of the seven days since Mon 6 Apr were colder than usual``."""
    ahead = say(", the forecast counted in") if forecast_used else ""
    date = timing.day(since, as_of)
    if weather is None or abs(weather.warmer_c) < LEAST_WARMER_C:
        return say("With the weather since {date}{ahead}", date=date, ahead=ahead)
    colder = weather.warmer_c < 0
    count = weather.colder_days if colder else weather.warmer_days
    told = prose.counts(
        "{n} {of} since {date} was {than} than usual{ahead}",
        "{n} {of} since {date} were {than} than usual{ahead}",
        count,
        of=prose.counts("of one day", "of the {n} days", weather.days),
        date=date,
        than=say("colder") if colder else say("warmer"),
        ahead=ahead,
    )
    return prose.capital(told)


def _note_words(moves: Iterable[Move], as_of: dt.date) -> str:
    dates = sorted({note.date for move in moves for note in move.notes})
    if not dates:
        return say("By a note that you took back")
    days = prose.listing([timing.short_day(date, as_of) for date in dates])
    return prose.counts("By your note of {dates}", "By your notes of {dates}", len(dates), dates=days)


def _moves_words(caused: Iterable[Move], moves: Sequence[Move], as_of: dt.date) -> str:
    """``repotting of maple closes three days later than it looked then (about Fri 1 May)``."""
    alike: dict[tuple[str, End, dt.date, dt.date], list[Move]] = {}
    for move in caused:
        name = _moved_name(move, moves)
        alike.setdefault((name, move.end, move.before, move.after), []).append(move)
    told = [
        _move_words(group, name, as_of, first=place == 0)
        for place, ((name, *_), group) in enumerate(list(alike.items())[:MOVES_IN_A_LINE])
    ]
    rest = sum(len(group) for group in list(alike.values())[MOVES_IN_A_LINE:])
    others = prose.counts("{n} other date moved too", "{n} other dates moved too", rest) if rest else ""
    return "; ".join(text for text in (*told, others) if text)


def _moved_name(move: Move, moves: Iterable[Move]) -> str:
    """The job, and which of its windows where another of the species moved otherwise."""
    a, dates = move.assessment, (move.end, move.before, move.after)
    otherwise = (one.assessment for one in moves if (one.end, one.before, one.after) != dates)
    if any((b.species, b.job) == (a.species, a.job) and b.window != a.window for b in otherwise):
        return naming.job_and_window(a)
    return naming.job_name(a.job)


def _move_words(group: Sequence[Move], job: str, as_of: dt.date, *, first: bool) -> str:
    move = group[0]
    names = dict.fromkeys(naming.species_name(one.assessment) for one in group)
    than = ""
    if first:
        than = say(" than said then") if move.recorded else say(" than it looked then")
    later = prose.counts("{n} day later", "{n} days later", abs(move.days))
    earlier = prose.counts("{n} day earlier", "{n} days earlier", abs(move.days))
    return say(
        _HAPPENS[_tense(move, as_of)],
        job=naming.job_of(job, prose.some_of(list(names), 3)),
        change=(later if move.days > 0 else earlier) + than,
        date=timing.day(move.after, as_of),
    )


def _tense(move: Move, as_of: dt.date) -> Tense:
    if move.after > as_of:
        return move.end
    return "opened" if move.end == "opens" else "closed"
