"""The first screen in words: what to work, look at and protect, what moved and why, and how to answer."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from season_engine.advice.choice import Choice
from season_engine.advice.hindsight import YEARS, PastErrors
from season_engine.advice.moves import LEAST_WARMER_C, Move, WeatherSince
from season_engine.advice.protect import Threat
from season_engine.report import phrases
from season_engine.report.contents import SiteReport, next_opening, told_of, under
from season_engine.report.lines import Line, capital, tree_names
from season_engine.report.looks_text import look_answer, look_lead, look_text
from season_engine.report.season_text import season_sentence

TREES_NAMED = 3
THREATS_TOLD = 2
MOVES_IN_A_LINE = 2

Cause = Literal["weather", "notes", "neither"]


@dataclass(frozen=True, slots=True)
class FirstLines:
    """One yard on one screen."""

    season: str
    work: tuple[Line, ...]
    idle: str  # where there is nothing to work
    look: tuple[Line, ...]
    answer: str
    protect: tuple[str, ...]
    moved: tuple[str, ...]


def first_lines(site: SiteReport, as_of: dt.date) -> FirstLines:
    """The first screen of one site."""
    first = site.first
    return FirstLines(
        season=season_sentence(site, as_of),
        work=tuple(_work(site, choice) for choice in first.work),
        idle="" if first.work else _idle(site, as_of),
        look=tuple(Line(look_lead(site, look), look_text(look)) for look in site.look_at),
        answer=look_answer(site),
        protect=tuple(_protect(site, threat, as_of) for threat in first.protect[:THREATS_TOLD]),
        moved=moved_sentences(first.moved, first.weather_since, as_of, _forecast_used(site)),
    )


def _work(site: SiteReport, choice: Choice) -> Line:
    a = choice.first
    species = phrases.species_name(a)
    trees = [one.tree for one in choice.assessments if one.tree is not None]
    lead = f"{tree_names(site, trees, TREES_NAMED)} ({species})" if trees else capital(species)
    return Line(lead, phrases.sentence(f"{phrases.job_name(a.job)}{phrases.until(a)}"))


def _idle(site: SiteReport, as_of: dt.date) -> str:
    """That there is nothing to work, and what comes next."""
    told = told_of(site)
    held = [a for a in under("now", site.trees or told) if a.today in ("hold", "only-with-shelter")]
    if held:
        return "What is in window is better left this week; the reasons stand below."
    dated = [(date, phrases.title(a)) for a in told if (date := next_opening(a)) is not None and date > as_of]
    if not dated:
        return "Nothing for the bench this week."
    date, title = min(dated)
    return f"Nothing for the bench this week. Next to open: {title}, about {phrases.day(date, as_of)}."


def past_errors_sentence(errors: PastErrors | None) -> str:
    """How far out the date was that would have been given on this day in the last years."""
    if errors is None:
        return ""
    count, out = len(errors.days), round(sum(abs(days) for days in errors.days) / len(errors.days))
    years = "the last three years" if count == YEARS else f"{phrases.number(count)} of the last three years"
    said = f"{phrases.counted(out, 'day')} out" if out else "right to the day"
    event = "closing" if errors.end == "closes" else "opening"
    return f"In {years} the {event} date given on this day was {said}."


def _protect(site: SiteReport, threat: Threat, as_of: dt.date) -> str:
    names = tree_names(site, threat.trees, TREES_NAMED)
    if threat.why:
        since = f" on {phrases.short_day(threat.worked_on, as_of)}" if threat.worked_on else ""
        names += f" ({phrases.job_name(threat.why)}{since})"
    else:
        names += " (in soft leaf)"
    cover = "cover" if threat.cold else "shade"
    _, _, forecast = threat.hazard.text.partition("; ")
    if threat.hazard.forecast_on is not None and forecast:
        return phrases.sentence(f"{forecast}: {cover} {names}")
    within = phrases.counted(threat.hazard.days, "day")
    chance = phrases.odds(threat.hazard.chance, in_hundreds=True)
    return phrases.sentence(f"{chance} for {threat.event} within {within}: be ready to {cover} {names}")


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
            told.append(f"{lead or 'With what else changed since'}: {_moves_words(caused, as_of)}.")
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
    ahead = ", the forecast counted in" if forecast_used else ""
    if weather is None or abs(weather.warmer_c) < LEAST_WARMER_C:
        return f"With the weather since {phrases.day(since, as_of)}{ahead}"
    colder = weather.warmer_c < 0
    count = weather.colder_days if colder else weather.warmer_days
    of = f"of the {phrases.number(weather.days)} days" if weather.days > 1 else "of one day"
    were = "was" if count == 1 else "were"
    than = "colder" if colder else "warmer"
    told = f"{phrases.number(count)} {of} since {phrases.day(since, as_of)} {were} {than} than usual{ahead}"
    return capital(told)


def _note_words(moves: Iterable[Move], as_of: dt.date) -> str:
    dates = sorted({note.date for move in moves for note in move.notes})
    days = phrases.listing([phrases.short_day(date, as_of) for date in dates])
    return f"By your {'note' if len(dates) == 1 else 'notes'} of {days}"


def _moves_words(moves: Sequence[Move], as_of: dt.date) -> str:
    """``repotting of maple closes three days later than it looked then (about Fri 1 May)``."""
    alike: dict[tuple[object, ...], list[Move]] = {}
    for move in moves:
        alike.setdefault((move.assessment.job, move.end, move.before, move.after), []).append(move)
    groups = list(alike.values())
    told: list[str] = []
    for group in groups[:MOVES_IN_A_LINE]:
        move = group[0]
        names = dict.fromkeys(phrases.species_name(one.assessment) for one in group)
        happens = _tense(move, as_of)
        way = "later" if move.days > 0 else "earlier"
        than = "" if told else f" than {'said' if move.recorded else 'it looked'} then"
        told.append(
            f"{phrases.job_name(move.assessment.job)} of {phrases.some_of(list(names), 3)} {happens} "
            f"{phrases.counted(abs(move.days), 'day')} {way}{than} (about {phrases.day(move.after, as_of)})"
        )
    rest = sum(len(group) for group in groups[MOVES_IN_A_LINE:])
    others = f"{phrases.counted(rest, 'other date')} moved too" if rest else ""
    return "; ".join(text for text in (*told, others) if text)


def _tense(move: Move, as_of: dt.date) -> str:
    if move.after > as_of:
        return move.end
    return "opened" if move.end == "opens" else "closed"
