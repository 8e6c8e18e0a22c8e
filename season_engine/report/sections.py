"""The sentences of a report, section by section; text and page print the same ones."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from season_engine.report import phrases
from season_engine.report.contents import (
    Report,
    SeasonSum,
    SiteReport,
    TreeRow,
    gathered,
    name_of_tree,
    next_opening,
    resting_trees,
    this_week,
    tree_rows,
    trees_of,
    under,
)
from season_engine.windows.assessment import Assessment, Hazard, Reason
from season_engine.windows.jobs import JOBS

SMALL_CHANCE = 0.05  # below this a hazard isn't worth a line of its own
NAMES_IN_A_LINE = 6
FAULTS_SHOWN = 5
# What holds for a job on any tree is said once for all; a window's own cautions stand with the window.
GENERAL_CAUTIONS = frozenset(caution for job in JOBS.values() for caution in job.cautions)


@dataclass(frozen=True, slots=True)
class Line:
    """A few words that stand out, and what is said about them."""

    lead: str
    text: str


@dataclass(frozen=True, slots=True)
class Group:
    """Lines under one heading."""

    heading: str
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class Criterion:
    """One reason of a window, in words."""

    text: str
    state: str
    met: bool
    source: str


@dataclass(frozen=True, slots=True)
class Card:
    """One window: what is said of it at a glance, and what stands behind that."""

    assessment: Assessment
    species: str
    job: str
    title: str  # species and job
    verdict: str  # where it is open
    sentence: str
    advice: str  # today's, where it is open
    trees: str
    opens: tuple[Criterion, ...]
    closes: tuple[Criterion, ...]
    explained: str  # the units, where they need it
    cautions: tuple[str, ...]  # this window's own
    hazards: tuple[str, ...]
    background: tuple[str, ...]
    warnings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TreeLine:
    """One tree: its name, its most pressing job, today's advice and why."""

    name: str
    job: str
    advice: str
    text: str


@dataclass(frozen=True, slots=True)
class SumLine:
    """A season sum in words, beside its chart."""

    season_sum: SeasonSum
    name: str
    text: str
    explained: str


@dataclass(frozen=True, slots=True)
class SiteSections:
    """All that is printed for one site."""

    name: str
    place: str
    weather: tuple[str, ...]
    invented: bool
    refusal: str
    week: tuple[Group, ...]
    now: tuple[Card, ...]
    soon: tuple[Card, ...]
    closed: tuple[Card, ...]
    resting: str
    not_here: tuple[Line, ...]
    trees: tuple[TreeLine, ...]
    resting_trees: str
    sums: tuple[SumLine, ...]
    hazards: tuple[Line, ...]
    mild: str  # the hazards too unlikely for a line of their own
    health: tuple[str, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ReportSections:
    """All that is printed, what holds for every site said once."""

    as_of: dt.date
    date: str
    week: str
    demo: bool
    sites: tuple[SiteSections, ...]
    cautions: tuple[str, ...]
    sources: tuple[str, ...]


def report_sections(report: Report) -> ReportSections:
    """Everything a report says."""
    assessed = [a for site in report.sites for a in site.windows + site.trees]
    pressing = [a for heading in ("now", "soon") for a in under(heading, assessed)]
    return ReportSections(
        as_of=report.as_of,
        date=phrases.full_day(report.as_of),
        week=phrases.iso_week(report.as_of),
        demo=report.demo,
        sites=tuple(site_sections(site, report.as_of) for site in report.sites),
        cautions=gathered(
            (*_sentences(c for a in pressing for c in a.cautions if c in GENERAL_CAUTIONS), *phrases.SAFETY)
        ),
        sources=gathered(_sentences(source for a in assessed for source in a.sources)),
    )


def site_sections(site: SiteReport, as_of: dt.date) -> SiteSections:
    """Everything a report says about one site."""
    hazards, mild = _hazards(site)
    return SiteSections(
        name=phrases.plain(site.site.name),
        place=_place(site),
        weather=_weather(site, as_of),
        invented=site.weather is not None and site.weather.invented,
        refusal=phrases.sentence(site.refusal or ""),
        week=_week(site),
        now=tuple(_card(site, a) for a in under("now", site.windows)),
        soon=tuple(_card(site, a) for a in under("soon", site.windows)),
        closed=tuple(_card(site, a) for a in under("closed", site.windows)),
        resting=_resting(site, as_of),
        not_here=tuple(_not_here(a) for a in under("not-here", site.windows)),
        trees=tuple(_tree_line(row) for row in tree_rows(site)),
        resting_trees=_resting_trees(site),
        sums=tuple(_sum_line(s, as_of) for s in site.sums),
        hazards=hazards,
        mild=mild,
        health=_health(site),
        notes=_notes(site),
    )


def _sentences(texts: Iterable[str]) -> tuple[str, ...]:
    return tuple(phrases.sentence(text) for text in texts)


def _joined(*texts: str) -> str:
    return " ".join(text for text in texts if text)


def _titled(a: Assessment) -> str:
    title = phrases.title(a)
    return title[:1].upper() + title[1:]


def _place(site: SiteReport) -> str:
    s = site.site
    latitude = f"{abs(s.latitude):.2f}° {'south' if s.latitude < 0 else 'north'}"
    longitude = f"{abs(s.longitude):.2f}° {'west' if s.longitude < 0 else 'east'}"
    height = "" if s.elevation_m is None else f", {s.elevation_m:.0f} m above the sea"
    return f"{latitude}, {longitude}{height}"


def _weather(site: SiteReport, as_of: dt.date) -> tuple[str, ...]:
    if site.weather is None:
        return ()
    through, first = site.weather.data_through, site.weather.series.first_day
    age = (as_of - through).days
    ago = {0: "today", 1: "yesterday"}.get(age, f"{phrases.number(age)} days ago")
    return (
        phrases.sentence(f"Temperatures: {site.weather.source}"),
        f"Readings from {phrases.full_day(first)} to {phrases.full_day(through)} ({ago}).",
    )


def _week(site: SiteReport) -> tuple[Group, ...]:
    week = this_week(site)
    parts = (
        ("Do", week.work),
        ("Only with shelter", week.with_shelter),
        ("Hold", week.hold),
        ("Leave alone", week.leave),
    )
    groups = [Group(heading, _advice(site, part)) for heading, part in parts if part]
    if week.look_at:
        lines = tuple(Line(_titled(a), phrases.brief_sentence(a)) for a in week.look_at)
        groups.append(Group("Look at the buds", lines))
    return tuple(groups)


def _advice(site: SiteReport, part: Iterable[Assessment]) -> tuple[Line, ...]:
    """One line for each job and reason, naming the trees it holds for."""
    trees: dict[tuple[str, str, str], list[str]] = {}
    for a in part:
        closes = "" if a.today == "no" else phrases.brief_sentence(a)
        key = (_titled(a), phrases.sentence(a.today_why), closes)
        names = trees.setdefault(key, [])
        if a.tree is not None:
            names.append(phrases.plain(name_of_tree(site, a.tree)))
    lines, said = [], ""
    for (title, why, closes), names in trees.items():
        named = title + (f": {phrases.some_of(names, NAMES_IN_A_LINE)}" if names else "")
        lines.append(Line(named, closes if closes and why == said else _joined(why, closes)))
        said = why
    return tuple(lines)


def _card(site: SiteReport, a: Assessment) -> Card:
    mine = trees_of(site, a)
    in_window = a.verdict in ("open", "last-call")
    # What holds for a sound tree isn't said where none of the grower's own trees may be worked so.
    advised = in_window and (not mine or any(tree.today == a.today for tree in mine))
    units = " ".join(reason.unit for reason in a.reasons)
    return Card(
        assessment=a,
        species=phrases.species_name(a),
        job=phrases.job_and_window(a),
        title=_titled(a),
        verdict=phrases.verdict_words(a) if in_window else "",
        sentence=phrases.verdict_sentence(a),
        advice=_joined(f"{phrases.today_words(a)}.", phrases.sentence(a.today_why)) if advised else "",
        trees=_trees_in_card(site, a, mine),
        opens=tuple(criterion(r, a.as_of) for r in a.reasons if r.role == "opens"),
        closes=tuple(criterion(r, a.as_of) for r in a.reasons if r.role == "closes"),
        explained=phrases.CHILL_PORTION if "chill portion" in units else "",
        cautions=gathered(_sentences(text for text in a.cautions if text not in GENERAL_CAUTIONS)),
        hazards=gathered(phrases.hazard_sentence(hazard) for hazard in a.hazards),
        background=gathered(
            (phrases.usual_sentence(a), phrases.floor_sentence(a), phrases.given_sentence(a))
        ),
        warnings=gathered(_sentences(a.warnings)),
    )


def _trees_in_card(site: SiteReport, a: Assessment, mine: Iterable[Assessment]) -> str:
    """The grower's trees the window is about, with today's advice where it isn't the window's own."""
    names = []
    for tree in mine:
        name = phrases.plain(name_of_tree(site, tree.tree or ""))
        differs = a.verdict in ("open", "last-call") and tree.today != a.today
        names.append(f"{name} ({phrases.today_words(tree).lower()})" if differs else name)
    return f"Your trees: {phrases.some_of(names, NAMES_IN_A_LINE)}." if names else ""


def criterion(reason: Reason, as_of: dt.date) -> Criterion:
    """One reason in words."""
    return Criterion(
        text=phrases.sentence(reason.text),
        state=phrases.reason_state(reason, as_of),
        met=reason.met,
        source=phrases.plain(reason.provenance),
    )


def _resting(site: SiteReport, as_of: dt.date) -> str:
    resting = under("resting", site.windows)
    opening = ((phrases.title(a), next_opening(a)) for a in resting)
    waiting = [(title, date) for title, date in opening if date is not None]
    return phrases.resting_sentence(waiting, len(resting), as_of)


def _not_here(a: Assessment) -> Line:
    return Line(_titled(a), _joined(phrases.verdict_sentence(a), phrases.sentence(a.today_why)))


def _tree_line(row: TreeRow) -> TreeLine:
    a = row.assessment
    in_window = a.verdict in ("open", "last-call")
    also = "; ".join(f"{phrases.job_and_window(b)}, {phrases.verdict_words(b).lower()}" for b in row.also)
    return TreeLine(
        name=phrases.plain(row.name),
        job=_titled(a),
        advice=phrases.today_words(a) if in_window else {"soon": "Soon"}.get(a.verdict, "Past"),
        text=_joined(
            phrases.sentence(a.today_why) if in_window and a.today != "do" else "",
            "" if in_window and a.today == "no" else phrases.brief_sentence(a),
            f"Also: {also}." if also else "",
        ),
    )


def _resting_trees(site: SiteReport) -> str:
    resting = resting_trees(site)
    if not resting:
        return ""
    count = phrases.counted(len(resting), "other tree" if tree_rows(site) else "tree").capitalize()
    return f"{count} {'needs' if len(resting) == 1 else 'need'} nothing now."


def _sum_line(season_sum: SeasonSum, as_of: dt.date) -> SumLine:
    s, unit = season_sum, phrases.plain(season_sum.unit)
    chill = s.name == "chill"
    explained = (phrases.CHILL_PORTION if "chill portion" in unit else "") if chill else phrases.HEAT_UNIT
    name = "Chill" if chill else "Heat"
    if not s.so_far:
        return SumLine(s, name, "No reading of this season yet.", explained)
    last = len(s.so_far) - 1
    text = (
        f"{phrases.amount(s.so_far[last])} {unit} by {phrases.day(s.days[last], as_of)}. By that date 8 in "
        f"10 past seasons had {phrases.amount(s.p10[last])} to {phrases.amount(s.p90[last])}, "
        f"the middle one {phrases.amount(s.p50[last])}."
    )
    return SumLine(s, name, text, explained)


def _hazards(site: SiteReport) -> tuple[tuple[Line, ...], str]:
    """Hazards of the jobs in window, each once with the jobs it concerns, the likeliest first."""
    jobs: dict[Hazard, list[str]] = {}
    for a in under("now", site.windows or site.trees):
        for hazard in a.hazards:
            jobs.setdefault(hazard, []).append(phrases.title(a))
    likely = sorted((h for h in jobs if h.chance >= SMALL_CHANCE), key=lambda h: (-h.chance, h.name))
    lines = tuple(
        Line(
            phrases.sentence(h.name).rstrip("."),
            _joined(phrases.sentence(h.text), f"For: {'; '.join(gathered(jobs[h]))}."),
        )
        for h in likely
    )
    names = gathered(phrases.plain(h.name) for h in jobs if h.chance < SMALL_CHANCE)
    mild = f"Less likely than {phrases.odds(SMALL_CHANCE)}: {phrases.listing(names)}." if names else ""
    return lines, mild


def _health(site: SiteReport) -> tuple[str, ...]:
    weather = site.weather
    if weather is None:
        return ()
    share = float(weather.observed.mean()) if weather.observed.size else 0.0
    filled = f"{min(99.9, share * 100):.1f} % of the days have both readings; the others are filled."
    latest = sorted(weather.faults, key=lambda f: f.last_day, reverse=True)
    left_out = len(latest) - FAULTS_SHOWN
    more = "" if left_out <= 0 else f"{phrases.counted(left_out, 'earlier fault')}, not listed here"
    return gathered(
        (
            "Every day has both readings." if share == 1 else filled,
            *_sentences(weather.warnings),
            *_sentences(fault.text for fault in latest[:FAULTS_SHOWN]),
            phrases.sentence(more),
        )
    )


def _notes(site: SiteReport) -> tuple[str, ...]:
    species = [phrases.plain(name) for name in site.not_covered]
    missing = (
        f"Not in the catalogue, so nothing is said about: {phrases.listing(species)}." if species else ""
    )
    return gathered((missing, *_sentences(site.notes)))
