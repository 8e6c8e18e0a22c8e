"""Weather that could hurt, in a few lines: frost in the next two weeks, and what hurts trees worked now."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from season_engine.facts import Degrees
from season_engine.report.contents import SiteReport, advised, told_of, under
from season_engine.windows.assessment import Assessment
from season_engine.windows.frost_weeks import FrostOdds
from season_engine.windows.hazard import Hazard, worth_telling
from season_engine.words import naming, prose, timing
from season_engine.words.line import Line, joined
from season_engine.words.one_hazard import SMALL_CHANCE, hazard_name, hazard_text, is_mild, mild_sentence
from season_engine.words.speech import say

MOST_LINES = 4
SPECIES_NAMED = 3
WEEKS_TOLD = 2
LEVELS_TOLD = 2


def hazard_lines(site: SiteReport) -> tuple[tuple[Line, ...], str]:
    """Hazards of the jobs in window, each once with its jobs, the likeliest first; then the mild ones."""
    jobs: dict[Hazard, list[Assessment]] = {}
    for a in under("now", told_of(site) or site.trees):
        if not advised(site, a):
            continue  # for a weak tree, say
        for hazard in worth_telling(a.hazards):
            jobs.setdefault(hazard, []).append(a)
    likely = sorted(
        (h for h in jobs if not is_mild(h)), key=lambda h: (h.forecast_on is None, -h.chance, h.name)
    )
    lines = tuple(
        Line(
            prose.capital(prose.plain(hazard_name(h))),
            joined(prose.sentence(hazard_text(h)), say("For {jobs}.", jobs=_jobs(jobs[h]))),
        )
        for h in likely[:MOST_LINES]
    )
    known = {h.name for h in likely}
    return lines, mild_sentence(h for h in jobs if is_mild(h) and h.name not in known)


def _jobs(assessments: Iterable[Assessment]) -> str:
    """``repotting of Japanese maple and white spruce``."""
    jobs: dict[str, list[str]] = {}
    for a in assessments:
        jobs.setdefault(naming.job_name(a.job), []).append(naming.species_name(a))
    return "; ".join(
        naming.job_of(job, prose.some_of(list(dict.fromkeys(names)), SPECIES_NAMED))
        for job, names in jobs.items()
    )


def frost_sentence(site: SiteReport, as_of: dt.date) -> str:
    """The odds of frost this week and next; empty where frost is unlikely in both."""
    told = [text for odds in site.frost[:LEVELS_TOLD] if (text := _frost(odds, as_of))]
    if not told:
        return ""
    return say("Nights at the pots: {odds}.", odds="; ".join(told))


def _frost(odds: FrostOdds, as_of: dt.date) -> str:
    weeks = odds.weeks[:WEEKS_TOLD]
    if all(week.chance < SMALL_CHANCE for week in weeks):
        return ""
    first = {
        "level": say("{level} or colder", level=Degrees(odds.level_c)),
        "odds": prose.odds(weeks[0].chance, in_hundreds=True),
        "date": timing.day(weeks[0].last, as_of),
    }
    if len(weeks) == 1:
        return say("{level}, {odds} by {date}", **first)
    then = prose.odds(weeks[1].chance, in_hundreds=True)
    return say("{level}, {odds} by {date} and {then} in the week after", **first, then=then)
