"""Why a job on a tree is due, may be done, or is left, in sentences."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import assert_never

from season_engine.facts import Day, Month, Text
from season_engine.note import Sign
from season_engine.species.jobs import JOBS
from season_engine.species.needs import NeedState
from season_engine.species.schema import Years
from season_engine.tree import Stage
from season_engine.trees.need_why import (
    Barred,
    BySigns,
    ByStage,
    ByYears,
    InParts,
    NeedWhy,
    NoDateKnown,
    OldAndUnknown,
    Part,
    Sick,
    ToRescue,
    Weak,
    WouldBar,
)
from season_engine.trees.programme import Programme
from season_engine.trees.spacing import Bar
from season_engine.words import prose
from season_engine.words.naming import job_name
from season_engine.words.speech import said, say

SIGNS: Mapping[Sign, Text] = {
    "drains slowly": Text("water drains slowly"),
    "water runs off": Text("water runs off its surface"),
    "roots lift": Text("roots lift it out of its pot"),
    "roots ring": Text("roots circle the pot"),
    "pale shoots": Text("its shoots are pale and short"),
    "dries fast": Text("its pot dries fast"),
    "sour smell": Text("its roots smell sour"),
    "roots rotten": Text("its roots are black and soft"),
    "water stands": Text("water still stands after two days"),
}
STAGES: Mapping[Stage, Text] = {
    "young": Text("a young tree"),
    "training": Text("a tree in training"),
    "refined": Text("a refined tree"),
    "old": Text("an old tree"),
}
_BY_YEARS: Mapping[NeedState, Text] = {
    "leave": Text(
        "Its roots were last worked in {month}, and such a tree is repotted {often}: not due yet, unless "
        "water hardly drains."
    ),
    "may": Text(
        "Its roots were last worked in {month}, and such a tree is repotted {often}: it may be, and is due "
        "where water drains slowly or roots lift it."
    ),
    "due": Text("Its roots were last worked in {month}, and such a tree is repotted {often}: it is due."),
}
_BY_STAGE: Mapping[NeedState, Text] = {
    "leave": Text("It isn't done on {stage}."),
    "may": Text("It may be done on {stage}; nothing presses."),
    "due": Text("It is due each year on {stage}."),
}


def need_text(why: NeedWhy) -> str:
    """The whole sentence."""
    match why:
        case Barred(bar):
            return _barred(bar)
        case ByYears(last, years, state):
            return say(_BY_YEARS[state], month=Month(last, year=True), often=how_often(years))
        case BySigns(signs) | ToRescue(signs):
            dying = Text("Its roots are dying ({signs}): that can't wait for another year.")
            due = Text("It is due whatever the years say: {signs}.")
            return say(dying if isinstance(why, ToRescue) else due, signs=sign_words(signs))
        case Part(programme):
            return _part(programme)
        case InParts(parts):
            told = Text("Its root ball is renewed in {n} parts, over years, never the whole at once.")
            return say(told, n=prose.number(parts))
        case WouldBar(job, opens):
            told = Text("It would keep {job} from the tree, which it is due for about {date}.")
            return say(told, job=job_name(job), date=Day(opens, year=True))
        case _:
            return _of_the_tree(why)


def _of_the_tree(why: Sick | Weak | NoDateKnown | OldAndUnknown | ByStage) -> str:
    match why:
        case Sick(since):
            told = Text("It has been ill since {date}: nothing but what helps it until it is well.")
            return say(told, date=Day(since, year=True))
        case Weak():
            return say("This tree is marked weak; let it gain strength first.")
        case NoDateKnown():
            return say("When it was repotted last isn't noted: it may be, if roots fill its pot.")
        case OldAndUnknown():
            told = Text(
                "An old conifer, and when it was repotted last isn't noted: lift it and look at its roots "
                "first."
            )
            return said(told)
        case ByStage(stage, state):
            return say(_BY_STAGE[state], stage=said(STAGES[stage]))
        case _:
            assert_never(why)


def _barred(bar: Bar) -> str:
    """Which work keeps it away, since when, and until when or until which sign."""
    if bar.job == "arrival":
        lead = say("It came on {date}.", date=Day(bar.since, year=True))
    elif bar.job == "illness":
        lead = say("It was well again on {date}.", date=Day(bar.since, year=True))
    else:
        told = Text("It had {job} on {date}.")
        lead = say(told, job=_work(bar.job), date=Day(bar.since, year=True))
    if bar.school:
        disagree = Text("{lead} {then} Growers disagree; this is the school of: {school}.")
        return say(disagree, lead=lead, then=_until(bar), school=said(Text(bar.school, context="school")))
    return say("{lead} {then}", lead=lead, then=_until(bar))


def _until(bar: Bar) -> str:
    if bar.until is None:
        if bar.good_seasons:
            return say("Not before two good years of it: the last one noted was bad.")
        return say("Not before a flush of growth has hardened since.")
    date = Day(bar.until, year=True)
    if bar.rule == "heavy-work-a-cycle":
        return say("That is all the heavy work it bears before {date}.", date=date)
    if bar.rule == "once-a-year":
        return say("Once a year is enough: again from {date} on.", date=date)
    if bar.growth in ("hard flush", "next spring's shoots hard"):
        return say("Not before {date}, when a flush of growth has hardened since.", date=date)
    return say("Not before {date}.", date=date)


def _work(job: str) -> str:
    return job_name(job) if job in JOBS else job


def _part(programme: Programme) -> str:
    if programme.stopped is not None:
        told = Text(
            "The last part went badly, as noted on {date}: no further one until you note a good season of it."
        )
        return say(told, date=Day(programme.stopped, year=True))
    part = programme.next
    if part is None:
        return say("All of its root ball is renewed.")
    if part.core:
        return say("The last part is next: what lies under the trunk.")
    told = Text("Part {n} of {parts} of its root ball is next; what lies under the trunk comes last.")
    return say(told, n=part.number, parts=programme.parts)


def sign_words(signs: Iterable[Sign]) -> str:
    """Signs at the roots, in the order of their table."""
    given = set(signs)
    return prose.listing([said(words) for sign, words in SIGNS.items() if sign in given])


def how_often(years: Years) -> str:
    """``every three to five years``."""
    if years.most == 1:
        return say("every year")
    least, most = prose.number(years.least), prose.number(years.most)
    if least == most:
        return say("every {n} years", n=most)
    return say("every {least} to {most} years", least=least, most=most)
