"""One window in words, for the question whether it is too early or too late."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from season_engine.prints.explanation import ahead_table, explanation_text
from season_engine.prints.layout import bullets, wrapped
from season_engine.windows.assessment import Assessment, Quantiles
from season_engine.words import naming, notices, prose, timing, verdicts
from season_engine.words.cautions import caution_sentences
from season_engine.words.criteria import (
    closes_once,
    closing_criteria,
    opening_criteria,
    opens_once,
    sources_behind,
)
from season_engine.words.follow_ups import follow_ups_of_tree
from season_engine.words.learnt import learnt_sentence
from season_engine.words.need import need_text
from season_engine.words.one_hazard import hazard_sentences
from season_engine.words.programme import course_lines, recovery_line, years_line
from season_engine.words.speech import said
from season_engine.words.today import today_why
from season_engine.words.tree_notes import tree_note
from season_engine.words.warnings import warning_texts
from season_engine.words.weather_sources import source_text
from season_engine.words.window_notes import note_text


def answer_text(assessment: Assessment, *, about: str = "") -> str:
    """Verdict, today's advice, the reasons behind it and what to mind, at 80 columns.

    `about` says which tree or trees it is about, where that isn't plain from the species.
    """
    a = assessment
    opens, closes = opening_criteria(a), closing_criteria(a)
    sources = dict.fromkeys(one.source for one in opens + closes)
    lines = [
        f"{naming.title(a)}, at {prose.plain(a.site)}, {timing.full_day(a.as_of)}",
        *(wrapped(said(notices.INVENTED), "") if a.invented_weather else ()),
        *wrapped(prose.plain(about), ""),
        "",
        *wrapped(_stands_today(a), ""),
        *wrapped(f"Today: {verdicts.today_words(a).lower()}. {prose.sentence(today_why(a.today_why))}", ""),
        *wrapped(_need(a), ""),
        *wrapped(years_line(a.programme) if a.programme else "", ""),
        *wrapped(recovery_line(a.recovery) if a.recovery and a.explanation else "", ""),
        *(line for note in a.of_tree for line in wrapped(prose.sentence(tree_note(note)), "")),
        *wrapped(verdicts.usual_sentence(a), ""),
        *wrapped(_others(a), ""),
        "",
        *wrapped(opens_once(opens), ""),
        *wrapped(closes_once(closes), ""),
        *wrapped(f"Rests on: {'; '.join(sources)}.{_untried(a)}", ""),
        "",
        *bullets(hazard_sentences(a.hazards)),
        *wrapped(verdicts.weighing(a), ""),
        *ahead_table(a),
        *explanation_text(a),
        "",
        *bullets((*caution_sentences(a.cautions), *map(prose.sentence, _to_mind(a)))),
        *(["", "Afterwards", *bullets(prose.sentence(text) for text in a.aftercare)] if a.aftercare else []),
        *_this_winter(a),
        *_still_to_do(a),
        "",
        *bullets(prose.sentence(text) for text in (*map(source_text, a.sources), *sources_behind([a]))),
    ]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _need(a: Assessment) -> str:
    """What the tree needs of the job, but for what decides today's advice and is told with it."""
    return "" if a.need is None or a.need.why == a.today_why else need_text(a.need.why)


def _this_winter(a: Assessment) -> list[str]:
    return ["", "This winter", *bullets(course_lines(a.course))] if a.course else []


def _still_to_do(a: Assessment) -> list[str]:
    lines = follow_ups_of_tree(a.follow_ups, a.as_of)
    return ["", "Looking after what was done", *bullets(lines)] if lines else []


def _untried(a: Assessment) -> str:
    """That no date of the yard's own was held against it; nothing where the calendar sets both ends."""
    tried = a.learnt is not None and (a.learnt.notes or a.learnt.own_dates)
    return "" if tried or (a.opens.calendar and a.closes.calendar) else " Not yet tried in your yard."


def _stands_today(a: Assessment) -> str:
    return f"{verdicts.verdict_words(a)}. {verdicts.verdict_sentence(a)} {learnt_sentence(a.learnt)}"


def _to_mind(a: Assessment) -> Iterator[str]:
    """The notes of the window and its species, and the warnings."""
    yield from map(note_text, a.notes)
    yield from warning_texts(a.warnings)


def _others(a: Assessment) -> str:
    """The job's other windows, each with its next date; empty where it has none."""
    if not a.others:
        return ""
    lead = "The other window" if len(a.others) == 1 else "The other windows"
    return (
        f"{lead}: {'; '.join(f'{naming.window_name(one) or one.job} ({_stands(one)})' for one in a.others)}."
    )


def _stands(a: Assessment) -> str:
    opens, closes = a.standing.opens, a.standing.closes
    if opens is None or closes is None:
        return "most seasons here don't have it"
    late = ", with too little warmth left to recover" if a.opens_too_late else ""
    if a.seldom_well is not None and not late:
        late = ", but seldom goes well here"
    if a.verdict == "closed":
        closed = a.closes.p50 if a.closes.p50 and a.closes.p50 <= a.as_of else closes
        again = a.next.opens if a.next else None
        then = f", opens again {_about(again, again.p50, a)}" if again and again.p50 else ""
        return f"closed {_about(a.closes, closed, a)}{then}{late if a.seldom_well is not None else ''}"
    if a.in_window:
        held = ", but on hold" if a.today == "hold" and not late else ""
        if a.closes.calendar and a.closes.p50:
            return f"open by the calendar, until {timing.part_of_month(a.closes.p50, a.as_of)}{held}{late}"
        return f"open until about {timing.short_day(a.closes.p50 or closes, a.as_of)}{held}{late}"
    ahead = a.opens.p50 if a.opens.p50 and a.opens.p50 > a.as_of else opens
    return f"opens {_about(a.opens, ahead, a)}{late}"


def _about(dates: Quantiles, date: dt.date, a: Assessment) -> str:
    return timing.by_calendar(dates, a.as_of) or f"about {timing.short_day(date, a.as_of)}"
