"""A root ball's renewal over the years, and one winter's work, in sentences."""

from __future__ import annotations

from collections.abc import Iterator

from season_engine.facts import Day, Text
from season_engine.trees.programme import PartYear, Programme
from season_engine.trees.recovery import Off, Recovery
from season_engine.windows.tree_notes import Course
from season_engine.words import prose
from season_engine.words.naming import job_name
from season_engine.words.speech import say


def years_line(programme: Programme) -> str:
    """A line of years: what is done, what comes next and when at the earliest, the core last."""
    done = [_part_done(part) for part in programme.done]
    ahead = [_part_ahead(part) for part in programme.ahead]
    told = Text("Its root ball in {n} parts: {years}.")
    if programme.stopped is not None:
        told = Text("Its root ball in {n} parts, stopped for now: {years}.")
    return say(told, n=prose.number(programme.parts), years=", ".join((*done, *ahead)))


def _part_done(part: PartYear) -> str:
    year = part.on.year if part.on else ""
    if part.side:
        return say("{year} done ({side})", year=year, side=part.side)
    return say("{year} done", year=year)


def _part_ahead(part: PartYear) -> str:
    if part.on is None:
        return say("the core last") if part.core else say("one more")
    if part.core:
        return say("from {year} what lies under the trunk", year=part.on.year)
    return say("from {year} the next", year=part.on.year)


def recovery_line(recovery: Recovery) -> str:
    """Since when and from what it recovers, and from when on each heavy job is on again."""
    offs = [_off(off) for off in recovery.off]
    since = Day(recovery.since, year=True)
    if recovery.job == "arrival":
        return say("It settles in since {date}: {jobs}.", date=since, jobs=prose.listing(offs))
    if recovery.job == "illness":
        return say(
            "It gets over its illness, well since {date}: {jobs}.", date=since, jobs=prose.listing(offs)
        )
    told = Text("It gets over {job} on {date}: {jobs}.")
    return say(told, job=job_name(recovery.job), date=since, jobs=prose.listing(offs))


def _off(off: Off) -> str:
    if off.until is None:
        return say("{job} once a flush of growth has hardened", job=job_name(off.job))
    return say("{job} from {date} on", job=job_name(off.job), date=Day(off.until, year=True))


def course_lines(course: Course) -> Iterator[str]:
    """One winter's work on a tree, day by day."""
    for part in course.before:
        told = Text("{job}, from {first} to {last}: under three tenths of its foliage, or repotting is off.")
        yield say(told, job=prose.capital(job_name(part.job)), first=Day(part.first), last=Day(part.last))
    yield say("Before it is lifted: its pot, mix and ties made ready.")
    told = Text("{job}, from {first} to {last}.")
    if course.large:
        told = Text("{job}, from {first} to {last}: on a day by itself, as each of these on a large tree.")
    roots = course.roots
    yield say(told, job=prose.capital(job_name(roots.job)), first=Day(roots.first), last=Day(roots.last))


def course_in_brief(course: Course) -> str:
    """The same in a sentence of the report."""
    jobs = prose.listing([job_name(part.job) for part in course.before])
    told = Text("This winter {jobs} first, lightly; its pot made ready; then {roots}, from {date} on.")
    if course.large:
        told = Text(
            "This winter {jobs} first, lightly; its pot made ready; then {roots}, from {date} on, each on a "
            "day by itself."
        )
    return say(told, jobs=jobs, roots=job_name(course.roots.job), date=Day(course.roots.first))
