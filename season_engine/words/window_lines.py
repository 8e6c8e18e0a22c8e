"""Windows and trees in a line each; what says the same shares a line."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator

from season_engine.facts import Month, Text
from season_engine.report.contents import (
    SiteReport,
    TreeRow,
    advised,
    also_due,
    due,
    meant_trees,
    name_of_tree,
    next_opens,
    told_of,
    under,
)
from season_engine.species.jobs import JOBS
from season_engine.trees.need_why import Barred, ByYears
from season_engine.trees.spacing import Bar
from season_engine.windows.assessment import Assessment, Quantiles
from season_engine.words import naming, prose, timing, verdicts
from season_engine.words.line import Line, joined
from season_engine.words.need import how_often
from season_engine.words.own_trees import NAMES_IN_A_LINE, tree_names
from season_engine.words.programme import course_in_brief, years_line
from season_engine.words.speech import say
from season_engine.words.today import today_why_brief
from season_engine.words.tree_notes import notes_in_brief

LINES_IN_A_PART = 10
TREES_NAMED = 3
CLOSED_LINES = 5
CLOSED_DAYS = 10  # what closed longer ago is no news


def window_lines(site: SiteReport, assessments: Iterable[Assessment]) -> tuple[Line, ...]:
    """One line for the species and jobs that share their dates, with the trees it is for."""
    told = ((a, _window_text(site, a)) for a in assessments)
    return _shortened(
        Line(lead, joined(text, _own(site, group)))
        for lead, text, group in _gathered((a, text) for a, text in told if text is not None)
    )


def _shortened(lines: Iterable[Line], most: int = LINES_IN_A_PART) -> tuple[Line, ...]:
    """The most pressing lines, and how many more there are."""
    told = tuple(lines)
    rest = len(told) - most
    if rest < 2:
        return told
    return (
        *told[:most],
        Line(say("And {n} more", n=prose.number(rest)), say("windows.csv lists them all.")),
    )


def _gathered(
    told: Iterable[tuple[Assessment, str]],
) -> Iterator[tuple[str, str, list[Assessment]]]:
    """Species and jobs, what is said of them, and the windows meant: first by job, then by species."""
    by_job: dict[tuple[str, str], list[Assessment]] = {}
    for a, text in told:
        by_job.setdefault((naming.job_and_window(a), text), []).append(a)
    by_species: dict[tuple[str, str], dict[str, list[Assessment]]] = {}
    for (job, text), group in by_job.items():
        names = dict.fromkeys(naming.species_name(a) for a in group)
        by_species.setdefault((prose.some_of(list(names), NAMES_IN_A_LINE), text), {})[job] = group
    for (species, text), jobs in by_species.items():
        group = [a for one in jobs.values() for a in one]
        yield f"{prose.capital(species)}, {prose.listing(list(jobs))}", text, group


def _species(group: Iterable[Assessment]) -> list[str]:
    return list(dict.fromkeys(naming.species_name(a) for a in group))


def _window_text(site: SiteReport, a: Assessment) -> str | None:
    """Dates and odds, and why to hold; None where none of the grower's trees may have it."""
    advice = advised(site, a)
    if not advice:
        return None
    if a.verdict == "soon":
        compared = timing.against_usual(a.opens, a.usual.opens_p50)
        maybe = verdicts.maybe_open(a)
        told = say(
            "Opens {about}{compared}.",
            about=timing.about(a.opens, a.as_of),
            compared=compared and f", {compared}",
        )
        return maybe or told
    chance, closes = prose.odds(a.chance_open_now), timing.about(a.closes, a.as_of)
    with_odds = Text("Closes {about}; {odds} that it is open today.")
    text = (
        say("Closes {about}.", about=closes)
        if a.by == "calendar"
        else say(with_odds, about=closes, odds=chance)
    )
    held = next((one for one in advice if one.today in ("hold", "only-with-shelter")), None)
    if held is not None and all(one.today != "do" for one in advice):
        # the odds stand with the weather that could hurt
        return f"{text} {prose.sentence(today_why_brief(held.today_why))}"
    return text


def _own(site: SiteReport, group: Iterable[Assessment]) -> str:
    trees = dict.fromkeys(tree.tree or "" for a in group for tree in meant_trees(site, a))
    return say("For {trees}.", trees=tree_names(site, trees, TREES_NAMED)) if trees else ""


def closed_lines(site: SiteReport, as_of: dt.date) -> tuple[Line, ...]:
    """What closed within the last days, and when it opens again."""
    closed = [
        a
        for a in under("closed", told_of(site))
        if a.closes.p50 is not None and abs((as_of - a.closes.p50).days) <= CLOSED_DAYS
    ]
    told = _gathered((a, verdicts.verdict_sentence(a)) for a in closed)
    return _shortened((Line(lead, text) for lead, text, _ in told), CLOSED_LINES)


def not_here_sentence(site: SiteReport) -> str:
    """The windows this place hardly ever has, by job."""
    told = _by_job(under("not-here", told_of(site)))
    return say("Fewer than half the seasons here have: {windows}.", windows=told) if told else ""


def _by_job(assessments: Iterable[Assessment]) -> str:
    jobs: dict[str, list[Assessment]] = {}
    for a in assessments:
        jobs.setdefault(naming.job_and_window(a), []).append(a)
    return "; ".join(naming.job_of(job, prose.listing(_species(group))) for job, group in jobs.items())


def resting_sentence(site: SiteReport, as_of: dt.date) -> str:
    """How many windows rest, and the next to open."""
    resting = under("resting", told_of(site))
    return verdicts.resting_sentence(waiting_to_open(resting, as_of), len(resting), as_of)


def waiting_to_open(assessments: Iterable[Assessment], as_of: dt.date) -> list[tuple[str, Quantiles]]:
    """The windows whose next opening is still ahead, by their titles."""
    opening = ((naming.title(a), next_opens(a)) for a in assessments if a.seldom_well is None)
    return [(title, opens) for title, opens in opening if opens and opens.p50 and opens.p50 > as_of]


def not_well_sentence(site: SiteReport) -> str:
    """The windows that are open or soon will be, and seldom go well at this place, by job."""
    near = (a for a in under("not-well", told_of(site)) if a.at_hand)
    told = _by_job(near)
    return say("Seldom goes well here, and is left out: {windows}.", windows=told) if told else ""


def tree_lines(site: SiteReport) -> tuple[Line, ...]:
    """What is due on each tree; those with the same job and date share a line."""
    alike: dict[tuple[str, str], list[str]] = {}
    for row in due(site):
        species = naming.species_name(row.assessment)
        alike.setdefault((species, _due_text(row)), []).append(row.tree_id)
    return tuple(
        Line(f"{tree_names(site, trees)} ({species})", text) for (species, text), trees in alike.items()
    )


def _due_text(row: TreeRow) -> str:
    a = row.assessment
    job = naming.job_and_window(a)
    told = a.course.jobs if a.course else frozenset()
    also = (b for b in also_due(row) if b.job not in told)
    others = "; ".join(f"{naming.job_and_window(b)}, {verdicts.verdict_within(b)}" for b in also)
    if a.verdict == "soon":
        opens = say("opens {about}", about=timing.about(a.opens, a.as_of))
        maybe = verdicts.maybe_open(a)
        first = f"{job} {maybe[:1].lower()}{maybe[1:] or opens}"
    elif a.today == "do":
        first = f"{job}{verdicts.until(a)}"
    else:
        first = f"{job}: {verdicts.today_within(a)}{verdicts.ending(a)}"
    return joined(
        prose.sentence(_as_needed(a, first)),
        course_in_brief(a.course) if a.course else "",
        *notes_in_brief([a]),
        years_line(a.programme) if a.programme and a.programme.done else "",
        say("Also: {jobs}.", jobs=others) if others else "",
    )


def _as_needed(a: Assessment, job: str) -> str:
    """A job, and whether the tree is due for it or may have it."""
    if a.need is None:
        return job
    return say("Due: {job}", job=job) if a.due else say("If wanted: {job}", job=job)


def resting_trees_sentence(site: SiteReport) -> str:
    """How many trees need nothing, and which are left alone since they are weak or not due."""
    shown = {row.tree_id for row in due(site)}
    well = (a.tree for a in site.trees if a.tree is not None and a.tree not in site.weak)
    count = len({tree for tree in well if tree not in shown})
    left = (weak_sentence(site), not_due_sentence(site), barred_sentence(site))
    return joined(_need_nothing(count, others=bool(shown)), *left)


def _need_nothing(count: int, *, others: bool) -> str:
    if not count:
        return ""
    if others:
        told = prose.counts("{n} other tree needs nothing now.", "{n} other trees need nothing now.", count)
    else:
        told = prose.counts("{n} tree needs nothing now.", "{n} trees need nothing now.", count)
    return prose.capital(told)


def weak_sentence(site: SiteReport) -> str:
    """The trees that are left alone until they are stronger, by name."""
    return say("Left alone, since weak: {trees}.", trees=tree_names(site, site.weak)) if site.weak else ""


def not_due_sentence(site: SiteReport) -> str:
    """The trees that aren't due for the repotting that their kind is in window for."""
    found = {a.tree: a for a in site.trees if a.at_hand and _roots_too_soon(a)}
    told = prose.some_of([*_not_due(site, found.values())], NAMES_IN_A_LINE)
    return say("Not due for repotting yet: {trees}.", trees=told) if told else ""


def _roots_too_soon(a: Assessment) -> bool:
    """Whether a tree is left without root work for work on its roots."""
    if not (a.need and a.left_alone and JOBS[a.job].roots):
        return False
    why = a.need.why
    return isinstance(why, ByYears) or (isinstance(why, Barred) and why.bar.of_roots)


def _not_due(site: SiteReport, found: Iterable[Assessment]) -> Iterator[str]:
    for a in found:
        why = a.need.why if a.need else None
        name = prose.plain(name_of_tree(site, a.tree or ""))
        if isinstance(why, ByYears):
            told = Text("{tree} (last in {month}; {often})")
            yield say(told, tree=name, month=Month(why.last, year=True), often=how_often(why.years))
        elif isinstance(why, Barred):
            last = Month(why.bar.since, year=True)
            if why.bar.until is None:
                yield say("{tree} (last in {month})", tree=name, month=last)
            else:
                dug = Text("{tree} (dug in {month}; again from {date})")
                worked = Text("{tree} (last in {month}; again from {date})")
                told = dug if why.bar.job == "collecting" else worked
                yield say(told, tree=name, month=last, date=Month(why.bar.until, year=True))


def barred_sentence(site: SiteReport) -> str:
    """The trees left without a heavy job whose window is open, for what was done to them."""
    found: dict[tuple[str, str], list[str]] = {}
    for a in site.trees:
        why = a.need.why if a.need else None
        if a.tree and isinstance(why, Barred) and _open_and_heavy(a) and not _roots_too_soon(a):
            found.setdefault((a.job, _since(why.bar)), []).append(a.tree)
    told = Text("no {job} for {trees} ({why})")
    lines = [
        say(told, job=naming.job_name(job), trees=tree_names(site, dict.fromkeys(trees)), why=why)
        for (job, why), trees in found.items()
    ]
    return prose.sentence(prose.capital("; ".join(lines))) if lines else ""


def _open_and_heavy(a: Assessment) -> bool:
    return a.in_window and JOBS[a.job].heavy and a.seldom_well is None


def _since(bar: Bar) -> str:
    if bar.job == "arrival":
        return say("it came in {month}", month=Month(bar.since, year=True))
    if bar.job == "illness":
        return say("it was ill until {month}", month=Month(bar.since, year=True))
    return say("{job} in {month}", job=naming.job_name(bar.job), month=Month(bar.since, year=True))
