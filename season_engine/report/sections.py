"""The sentences of a report, section by section; text and page print the same ones."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from season_engine.report import phrases
from season_engine.report.contents import (
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

SMALL_CHANCE = 0.05  # below this a hazard isn't worth a line of its own
NAMES_IN_A_LINE = 6


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
    measured: str
    state: str
    met: bool
    source: str


@dataclass(frozen=True, slots=True)
class Card:
    """One window: what is said of it at a glance, and what stands behind that."""

    assessment: Assessment
    title: str
    window: str
    verdict: str
    advice: str
    sentence: str
    trees: str
    opens: tuple[Criterion, ...]
    closes: tuple[Criterion, ...]
    background: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TreeLine:
    """One tree: its name, its most pressing job, today's advice and why."""

    name: str
    job: str
    advice: str
    text: str
    also: str


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
    cautions: tuple[str, ...]
    sources: tuple[str, ...]


def site_sections(site: SiteReport, as_of: dt.date) -> SiteSections:
    """Everything a report says about one site."""
    pressing = tuple(a for heading in ("now", "soon") for a in under(heading, site.windows + site.trees))
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
        not_here=tuple(
            Line(_titled(a), phrases.verdict_sentence(a)) for a in under("not-here", site.windows)
        ),
        trees=tuple(_tree_line(row) for row in tree_rows(site)),
        resting_trees=_resting_trees(site),
        sums=tuple(_sum_line(s, as_of) for s in site.sums),
        hazards=hazards,
        mild=mild,
        health=_health(site, as_of),
        notes=_notes(site),
        cautions=gathered(phrases.sentence(text) for a in pressing for text in a.cautions),
        sources=_sources(site),
    )


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
        phrases.sentence(site.weather.source),
        f"Readings from {phrases.full_day(first)} to {phrases.full_day(through)} ({ago}).",
    )


def _titled(a: Assessment) -> str:
    """With the window's own name where it says more than the job does."""
    window = _window_words(a)
    return f"{phrases.title(a)} ({window})" if window else phrases.title(a)


def _window_words(a: Assessment) -> str:
    """The window's name, unless it only repeats the job's."""
    return "" if a.window in ("", a.job) else phrases.plain(a.window.replace("-", " "))


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
        lines = tuple(Line(_titled(a), phrases.verdict_sentence(a)) for a in week.look_at)
        groups.append(Group("Look at the buds", lines))
    return tuple(groups)


def _advice(site: SiteReport, part: Iterable[Assessment]) -> tuple[Line, ...]:
    """One line for each job and reason, naming the trees it holds for."""
    trees: dict[tuple[str, str], list[str]] = {}
    for a in part:
        names = trees.setdefault((_titled(a), phrases.sentence(a.today_why)), [])
        if a.tree is not None:
            names.append(phrases.plain(name_of_tree(site, a.tree)))
    return tuple(
        Line(title + (f": {phrases.some_of(names, NAMES_IN_A_LINE)}" if names else ""), why)
        for (title, why), names in trees.items()
    )


def _card(site: SiteReport, a: Assessment) -> Card:
    names = [phrases.plain(name_of_tree(site, tree)) for tree in trees_of(site, a)]
    why = phrases.sentence(a.today_why)
    return Card(
        assessment=a,
        title=phrases.title(a),
        window=_window_words(a),
        verdict=phrases.verdict_words(a),
        advice=f"{phrases.today_words(a)}. {why}" if a.verdict in ("open", "last-call") else "",
        sentence=phrases.verdict_sentence(a),
        trees=phrases.sentence(phrases.some_of(names, NAMES_IN_A_LINE)) if names else "",
        opens=tuple(_criterion(r, a.as_of) for r in a.reasons if r.role == "opens"),
        closes=tuple(_criterion(r, a.as_of) for r in a.reasons if r.role == "closes"),
        background=_background(a),
    )


def _criterion(reason: Reason, as_of: dt.date) -> Criterion:
    return Criterion(
        text=phrases.sentence(reason.text),
        measured=phrases.measured(reason),
        state=phrases.reason_state(reason, as_of),
        met=reason.met,
        source=phrases.plain(reason.provenance),
    )


def _background(a: Assessment) -> tuple[str, ...]:
    given = f"{phrases.odds(a.chance_given)} seasons here have this window." if a.chance_given < 0.95 else ""
    asked = f"This job is called open when the odds reach {phrases.odds(a.floor)}."
    units = " ".join(reason.unit for reason in a.reasons)
    chill = phrases.CHILL_PORTION if "chill portion" in units else ""
    texts = (phrases.usual_sentence(a), asked, given, chill, *map(phrases.hazard_sentence, a.hazards))
    return gathered((*texts, *(phrases.sentence(w) for w in a.warnings)))


def _resting(site: SiteReport, as_of: dt.date) -> str:
    resting = under("resting", site.windows)
    opening = ((_titled(a), next_opening(a)) for a in resting)
    waiting = [(title, date) for title, date in opening if date is not None]
    return phrases.resting_sentence(waiting, len(resting), as_of)


def _tree_line(row: TreeRow) -> TreeLine:
    a = row.assessment
    in_window = a.verdict in ("open", "last-call")
    also = [f"{_titled(other)} ({phrases.verdict_words(other).lower()})" for other in row.also]
    return TreeLine(
        name=phrases.plain(row.name),
        job=_titled(a),
        advice=phrases.today_words(a) if in_window else phrases.verdict_words(a),
        text=" ".join(
            filter(None, (phrases.sentence(a.today_why) if in_window else "", phrases.verdict_sentence(a)))
        ),
        also=f"Also: {phrases.listing(also)}." if also else "",
    )


def _resting_trees(site: SiteReport) -> str:
    resting = resting_trees(site)
    if not resting:
        return ""
    count = phrases.counted(len(resting), "tree" if not tree_rows(site) else "other tree").capitalize()
    return f"{count} {'needs' if len(resting) == 1 else 'need'} nothing now."


def _sum_line(season_sum: SeasonSum, as_of: dt.date) -> SumLine:
    s, unit = season_sum, phrases.plain(season_sum.unit)
    chill = s.name == "chill"
    explained = (phrases.CHILL_PORTION if "chill portion" in unit else "") if chill else phrases.HEAT_UNIT
    name = "Chill so far" if chill else "Heat so far"
    if not s.so_far:
        return SumLine(s, name, "No reading of this season yet.", explained)
    last = len(s.so_far) - 1
    text = (
        f"{phrases.amount(s.so_far[last])} {unit} by {phrases.day(s.days[last], as_of)}; past seasons had "
        f"{phrases.amount(s.p10[last])} to {phrases.amount(s.p90[last])} by that date (8 in 10 of them), "
        f"the middle one {phrases.amount(s.p50[last])}."
    )
    return SumLine(s, name, text, explained)


def _hazards(site: SiteReport) -> tuple[tuple[Line, ...], str]:
    """Hazards of the jobs in window, each once with the jobs it concerns, the likeliest first."""
    jobs: dict[Hazard, list[str]] = {}
    for a in under("now", site.windows or site.trees):
        for hazard in a.hazards:
            jobs.setdefault(hazard, []).append(_titled(a))
    likely = sorted((h for h in jobs if h.chance >= SMALL_CHANCE), key=lambda h: (-h.chance, h.name))
    lines = tuple(Line(phrases.listing(gathered(jobs[h])), phrases.hazard_sentence(h)) for h in likely)
    names = gathered(phrases.plain(h.name) for h in jobs if h.chance < SMALL_CHANCE)
    mild = f"Less likely than {phrases.odds(SMALL_CHANCE)}: {phrases.listing(names)}." if names else ""
    return lines, mild


def _health(site: SiteReport, as_of: dt.date) -> tuple[str, ...]:
    if site.weather is None:
        return ()
    faults = [
        f"{phrases.sentence(f.text)} ({_fault_days(f.first_day, f.last_day, as_of)})"
        for f in site.weather.faults
    ]
    share = float(site.weather.observed.mean()) if site.weather.observed.size else 0.0
    observed = f"{_percent(share)} % of the days have both readings; the others are filled."
    whole = "Every day has both readings." if share == 1 else observed
    return gathered((whole, *map(phrases.sentence, site.weather.warnings), *faults))


def _percent(share: float) -> str:
    """Never rounded up to a whole hundred."""
    return f"{min(99.9, round(share * 100, 1)):g}"


def _fault_days(first: dt.date, last: dt.date, as_of: dt.date) -> str:
    if first == last:
        return phrases.day(first, as_of)
    return f"{phrases.short_day(first, as_of)} to {phrases.short_day(last, as_of)}"


def _notes(site: SiteReport) -> tuple[str, ...]:
    species = [phrases.plain(name) for name in site.not_covered]
    missing = (
        f"Not in the catalogue, so nothing is said about: {phrases.listing(species)}." if species else ""
    )
    return gathered((missing, *map(phrases.sentence, site.notes)))


def _sources(site: SiteReport) -> tuple[str, ...]:
    assessed = site.windows + site.trees
    return gathered(phrases.sentence(source) for a in assessed for source in a.sources)
