"""The week's work in words: which tree, what, until when, how well it goes now and in the next weeks."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from season_engine.advice.choice import Choice
from season_engine.facts import Text
from season_engine.report.contents import SiteReport
from season_engine.species.jobs import JOBS
from season_engine.windows.assessment import Assessment
from season_engine.words import naming, prose, timing
from season_engine.words.line import Line, joined
from season_engine.words.own_trees import tree_names
from season_engine.words.speech import decimal, say
from season_engine.words.today import today_why_brief
from season_engine.words.tree_notes import notes_in_brief

TREES_NAMED = 1
KINDS_NAMED = 3
IN_A_MAIL = 5  # lines of harm and of work
WORK_AT_LEAST, WORK_AT_MOST, WAITS_IN_A_MAIL = 2, 4, 2
NO_HURRY = 95  # of 100, now and in each of the next four weeks


@dataclass(frozen=True, slots=True)
class WorkLine(Line):
    """One job on trees of one species."""

    cells: tuple[int, ...]  # of 100: that it goes well, done today and one to four weeks on
    starts: tuple[str, ...]  # the days these weeks begin on
    hours: str  # empty where nobody said
    few: str  # the trees, a few by name, and their species
    held: str  # what it asks for before it may be done today; often nothing
    waits: bool  # due, and not to be done today
    job: str
    until: str  # by when, or when best; may be empty
    whose: str  # a few trees by name
    plain: bool  # nothing is to be said besides

    @property
    def odds(self) -> str:
        """How well it goes, for a reader without the cells."""
        if min(self.cells, default=0) >= NO_HURRY:
            return prose.sentence(say("any of the next five weeks will do"))
        later = ", ".join(map(str, self.cells[1:]))
        odds = say("goes well {now} in 100, then {later}", now=self.cells[0], later=later)
        return prose.sentence(odds)

    @property
    def told(self) -> str:
        """All of it in a line."""
        return joined(self.text, self.odds, self.hours)

    @property
    def task(self) -> str:
        """What by when, as part of a sentence."""
        return joined(self.job, self.until)

    @property
    def no_hurry(self) -> bool:
        """Whether any of the next weeks is as good."""
        return self.plain and not self.waits and min(self.cells, default=0) >= NO_HURRY


def in_brief(lines: Sequence[WorkLine], harms: int = 0) -> list[str]:
    """What a mail has room for beside lines of harm: the first jobs that press, and how many more."""
    groups = _alike([line for line in lines if not line.no_hurry])
    room = min(max(IN_A_MAIL - harms, WORK_AT_LEAST), WORK_AT_MOST)
    most = WAITS_IN_A_MAIL if lines and lines[0].waits else room
    told = [_of_several(group) for group in groups[:most]]
    more = sum(len(group) for group in groups[most:])
    rest = prose.sentence(prose.counts("and {n} more job", "and {n} more jobs", more))
    return [*told, rest] if more else told


def _alike(lines: Sequence[WorkLine]) -> list[list[WorkLine]]:
    """With the same odds: one job on trees of several kinds, then several jobs on the same trees."""
    jobs: dict[tuple[str, str, str], list[WorkLine]] = {}
    for line in lines:
        jobs.setdefault((line.task, line.held, _chances(line)), []).append(line)
    trees: dict[tuple[str, str, frozenset[str]], list[WorkLine]] = {}
    for (_, held, chances), group in jobs.items():
        trees.setdefault((held, chances, frozenset(line.few for line in group)), []).extend(group)
    return [*trees.values()]


def _chances(line: WorkLine) -> str:
    """How well it goes in each week; what waits has its day instead."""
    return "" if line.waits else f"{', '.join(map(str, line.cells))}."


def _of_several(alike: Sequence[WorkLine]) -> str:
    """Jobs and trees that share dates and odds, in one line."""
    first, jobs = alike[0], dict[str, list[str]]()
    for line in alike:
        if line.job not in jobs.setdefault(line.until, []):
            jobs[line.until].append(line.job)
    tasks = prose.listing([joined(prose.listing(names), until) for until, names in jobs.items()])
    whose = dict.fromkeys(line.whose for line in alike)
    trees = first.few if len(whose) == 1 else "; ".join(_some_kinds([*whose]))
    return joined(f"{trees}.", prose.sentence(tasks), first.held, _chances(first))


def without_hurry(lines: Sequence[WorkLine]) -> list[str]:
    """The jobs that any of the next weeks will do for, a sentence each for all their trees."""
    tasks: dict[str, list[str]] = {}
    for line in lines:
        if line.no_hurry:
            tasks.setdefault(line.task, []).append(line.whose)
    return [prose.sentence(f"{task}: {'; '.join(_some_kinds(whose))}") for task, whose in tasks.items()]


def _some_kinds(whose: Sequence[str]) -> list[str]:
    more = len(whose) - KINDS_NAMED
    if more <= 0:
        return list(whose)
    return [*whose[:KINDS_NAMED], prose.counts("{n} more kind", "{n} more kinds", more)]


def work_lines(site: SiteReport) -> tuple[WorkLine, ...]:
    """All that is due and near: what may be done today, then what waits; what costs most first."""
    lines = [_line(site, choice) for choice in site.first.work]
    return tuple(sorted(lines, key=lambda line: line.waits))


def _line(site: SiteReport, choice: Choice) -> WorkLine:
    a = choice.first
    species = naming.species_name(a)
    trees = [one.tree for one in choice.assessments if one.tree is not None]
    lead = f"{tree_names(site, trees, len(trees))} ({species})" if trees else prose.capital(species)
    job, until = _named(site, a), _until(choice)
    text = prose.sentence(joined(job, until))
    whose = tree_names(site, trees, TREES_NAMED) if trees else species
    few = f"{whose} ({species})" if trees else lead
    notes = notes_in_brief(choice.assessments)
    held = "" if _nothing_holds(choice) else prose.sentence(today_why_brief(a.today_why))
    hours = "" if choice.hours is None else say("About {hours} h.", hours=decimal(f"{choice.hours:.1f}"))
    return WorkLine(
        lead,
        joined(text, held, *notes),
        tuple(round(100 * week.chance_good) for week in a.ahead),
        tuple(timing.short_day(week.date, a.as_of) for week in a.ahead),
        hours,
        few,
        held,
        not _may(choice),
        job,
        until,
        whose,
        not (held or notes),
    )


def _named(site: SiteReport, a: Assessment) -> str:
    """The job, with its window where the species has several of it at hand."""
    several = {b.window for b in site.windows if (b.species, b.job) == (a.species, a.job) and b.at_hand}
    return naming.job_and_window(a) if len(several) > 1 else naming.job_name(a.job)


def _until(choice: Choice) -> str:
    a = choice.first
    if not a.in_window or choice.better_later:
        return _from(choice)
    if a.closes.calendar and a.closes.p50:
        part = timing.part_of_month(a.closes.p50, a.as_of)
        return say("until {part}, by the calendar", part=part)
    last = choice.last_good_day
    return "" if last is None else say("by {date}", date=timing.day(last, a.as_of))


def _from(choice: Choice) -> str:
    """From the day on by which it goes well with the odds that the job wants; or when it goes best."""
    a, opens = choice.first, choice.first_good_day or choice.first.standing.opens
    if a.opens.calendar:
        return timing.roughly(a.opens, a.as_of)
    if a.best is not None and (choice.first_good_day is None or choice.better_later):
        return say("best about {date}", date=timing.day(a.best, a.as_of))
    if opens is None or opens <= a.as_of:
        return say("from {about}", about=timing.roughly(a.opens, a.as_of))
    return say("from about {date}", date=timing.day(opens, a.as_of))


# What is to be done, in the imperative; German takes the infinitive.
_DO = {
    "repotting": Text("repot {trees}"),
    "sectional-repotting": Text("renew a section of {trees}"),
    "decandling": Text("decandle {trees}"),
    "candle-shortening": Text("shorten candles of {trees}"),
    "bud-thinning": Text("thin buds of {trees}"),
    "pinching": Text("pinch {trees}"),
    "needle-work": Text("needle work on {trees}"),
    "structural-pruning": Text("prune {trees}"),
    "cut-back": Text("cut back {trees}"),
    "trimming": Text("trim {trees}"),
    "after-bloom-pruning": Text("prune {trees} after bloom"),
    "defoliation": Text("defoliate {trees}"),
    "wiring": Text("wire {trees}"),
    "wire-check": Text("look at the wire on {trees}"),
    "winter-tidy": Text("tidy {trees}"),
}


def work_in_brief(site: SiteReport, as_of: dt.date) -> str:
    """``repot Kettle by Thu 20 Mar``, of what comes first and may be done; empty where nothing may."""
    choice = next(iter(may_be_done(site.first.work)), None)
    if choice is None:
        return ""
    trees = [one.tree for one in choice.assessments if one.tree is not None]
    whose = tree_names(site, trees, 1) if trees else naming.species_name(choice.first)
    return task(choice, whose, as_of)


def last_call_in_brief(site: SiteReport, as_of: dt.date) -> str:
    """``decandle Kettle by Thu 11 Dec``, of what closes first though no tree is due for it; empty without."""
    calls = [
        a
        for a in site.trees
        if (a.verdict, a.left_alone, JOBS[a.job].told_in_full) == ("last-call", False, True)
        if a.may_be_done and a.closes.p50
    ]
    if not calls:
        return ""
    first = min(calls, key=lambda a: (a.closes.p50, a.job))
    alike = [a for a in calls if (a.species, a.job, a.window) == (first.species, first.job, first.window)]
    return task(Choice(tuple(alike), 0.0), tree_names(site, [a.tree for a in alike if a.tree], 1), as_of)


def task(choice: Choice, whose: str, as_of: dt.date) -> str:
    """``repot Kettle by Thu 20 Mar``."""
    a, last = choice.first, choice.last_good_day
    do = say(_DO[a.job], trees=whose) if a.job in _DO else naming.job_of(naming.job_name(a.job), whose)
    if last is None or a.closes.calendar:
        return do
    return say("{do} by {date}", do=do, date=timing.day(last, as_of))


def held_in_brief(site: SiteReport, as_of: dt.date) -> str:
    """That the work which is due waits, and when it is best."""
    a = site.first.work[0].first
    whose = naming.job_of(naming.job_name(a.job), naming.species_name(a))
    if not a.in_window:
        return say("nothing yet; {job} {about}", job=whose, about=timing.roughly(a.opens, as_of))
    if a.best is None or a.best <= as_of:
        return say("hold for now: {job}", job=whose)
    return say("hold until about {date}: {job}", date=timing.day(a.best, as_of), job=whose)


def may_be_done(choices: Iterable[Choice]) -> list[Choice]:
    """Those that may be done today."""
    return [one for one in choices if _may(one)]


def _nothing_holds(choice: Choice) -> bool:
    """Nor does what today would ask of work that is better done later: it is said on its day."""
    a = choice.first
    return a.today == "do" or a.verdict == "soon" or (choice.better_later and a.may_be_done)


def _may(choice: Choice) -> bool:
    a = choice.first
    return a.in_window and a.may_be_done and not choice.better_later
