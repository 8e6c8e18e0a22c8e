"""The sentences of a report, section by section; text and page print the same ones."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from season_engine.report import phrases
from season_engine.report.cards import GENERAL_CAUTIONS, NAMES_IN_A_LINE, Card, cards, sources_behind
from season_engine.report.care_text import care_lines
from season_engine.report.contents import (
    Report,
    SeasonSum,
    SiteReport,
    TreeRow,
    gathered,
    name_of_tree,
    next_opening,
    next_to_open,
    resting_trees,
    this_week,
    told_of,
    tree_rows,
    under,
)
from season_engine.report.forecast_text import forecast_sentence
from season_engine.report.looks_text import look_lead, look_text
from season_engine.report.opening_curve import opening_words
from season_engine.report.own_record_text import own_record_sentence
from season_engine.report.shares_text import shares_sentence
from season_engine.report.station_text import station_sentences
from season_engine.report.summary import summary
from season_engine.report.units import in_units, sum_in
from season_engine.report.water import water_sentence
from season_engine.windows.assessment import Assessment, Hazard
from season_engine.windows.frost_weeks import FrostOdds
from season_engine.windows.jobs import JOBS
from season_engine.workspace.settings import Units

SMALL_CHANCE = 0.05  # below this a hazard isn't worth a line of its own
NEXT_UP = 2
FRESH_DAYS = 60  # a fault this recent bears on this season's sums


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
class NextUp:
    """The next window to open; of species with the same odds, one stands for all."""

    assessment: Assessment
    species: str
    job: str
    title: str
    text: str


@dataclass(frozen=True, slots=True)
class SiteSections:
    """All that is printed for one site."""

    name: str
    place: str
    weather: tuple[str, ...]
    invented: bool
    refusal: str
    week: tuple[Group, ...]
    care: tuple[Line, ...]  # the week's small care
    now: tuple[Card, ...]
    soon: tuple[Card, ...]
    next_up: tuple[NextUp, ...]
    closed: tuple[Card, ...]
    resting: str
    not_here: tuple[Line, ...]
    trees: tuple[TreeLine, ...]
    resting_trees: str
    sums: tuple[SumLine, ...]
    frost: tuple[FrostOdds, ...]
    units: Units
    hazards: tuple[Line, ...]
    mild: str  # the hazards too unlikely for a line of their own
    water: str
    health: tuple[str, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ReportSections:
    """All that is printed, what holds for every site said once."""

    as_of: dt.date
    date: str
    week: str
    demo: bool
    summary: str
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
        summary=summary(report),
        sites=tuple(site_sections(site, report.as_of) for site in report.sites),
        cautions=gathered(
            (*_sentences(c for a in pressing for c in a.cautions if c in GENERAL_CAUTIONS), *phrases.SAFETY)
        ),
        sources=gathered(
            (*_sentences(source for a in assessed for source in a.sources), *sources_behind(pressing))
        ),
    )


def site_sections(site: SiteReport, as_of: dt.date) -> SiteSections:
    """Everything a report says about one site."""
    hazards, mild = _hazards(site)
    told = told_of(site)
    return SiteSections(
        name=phrases.plain(site.site.name),
        place=_place(site),
        weather=_weather(site, as_of),
        invented=site.weather is not None and site.weather.invented,
        refusal=phrases.sentence(site.refusal or ""),
        week=_week(site),
        care=tuple(Line(*line) for line in care_lines(site.care, as_of)),
        now=cards(site, under("now", told)),
        soon=cards(site, under("soon", told)),
        next_up=_next_up(site),
        closed=cards(site, under("closed", told)),
        resting=_resting(site, as_of),
        not_here=tuple(Line(card.title, card.sentence) for card in cards(site, under("not-here", told))),
        trees=tuple(_tree_line(row) for row in tree_rows(site)),
        resting_trees=_resting_trees(site),
        sums=tuple(_sum_line(s, site.units, as_of) for s in site.sums),
        frost=site.frost,
        units=site.units,
        hazards=hazards,
        mild=mild,
        water=water_sentence(site.water),
        health=_health(site, as_of),
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
    forecast = site.weather.forecast
    age = (as_of - through).days
    ago = {0: "today", 1: "yesterday"}.get(age, f"{phrases.number(age)} days ago")
    return (
        phrases.sentence(f"Temperatures: {site.weather.source}"),
        f"Readings from {phrases.full_day(first)} to {phrases.full_day(through)} ({ago}).",
        *(station_sentences(site.weather.station, site.units) if site.weather.station else ()),
        *((forecast_sentence(forecast, as_of),) if forecast.status == "used" else ()),
    )


def _week(site: SiteReport) -> tuple[Group, ...]:
    week = this_week(site)
    closing = [a for a in week.work if a.verdict == "last-call"]
    parts = (
        ("Do, before it closes", closing),
        ("Do", [a for a in week.work if a not in closing]),
        ("Only with shelter", week.with_shelter),
        ("Hold", week.hold),
        ("Leave alone", week.leave),
    )
    groups = [Group(heading, _advice(site, part)) for heading, part in parts if part]
    if site.look_at:
        lines = tuple(Line(look_lead(site, look), look_text(site, look)) for look in site.look_at)
        groups.append(Group("Look at the buds", lines))
    return tuple(groups)


def _advice(site: SiteReport, part: Iterable[Assessment]) -> tuple[Line, ...]:
    """One line a job and reason: which trees, and by when."""
    lines: dict[tuple[str, str], dict[tuple[str, str], list[str]]] = {}
    for a in part:
        job = phrases.job_and_window(a)
        why = "" if a.today == "do" else phrases.sentence(a.today_why)
        until = "" if a.today == "no" else phrases.until(a)
        named = lines.setdefault((job[:1].upper() + job[1:], why), {})
        trees = named.setdefault((phrases.species_name(a), until), [])
        if a.tree is not None:
            trees.append(phrases.plain(name_of_tree(site, a.tree)))
    return tuple(
        Line(f"{job}: {_named(species)}", why) if why else Line(job, phrases.sentence(_named(species)))
        for (job, why), species in lines.items()
    )


def _named(species: dict[tuple[str, str], list[str]]) -> str:
    """Species with the grower's trees and the date, `Chinese elm (Broom) by about Tue 21 Apr`."""
    parts = []
    for (name, until), trees in species.items():
        own = f" ({phrases.some_of(trees, NAMES_IN_A_LINE)})" if trees else ""
        parts.append(f"{name}{own}{until}")
    return "; ".join(parts)


def _resting(site: SiteReport, as_of: dt.date) -> str:
    resting = under("resting", told_of(site))
    opening = ((phrases.title(a), next_opening(a)) for a in resting)
    waiting = [(title, date) for title, date in opening if date is not None]
    return phrases.resting_sentence(waiting, len(resting), as_of)


def _tree_line(row: TreeRow) -> TreeLine:
    a = row.assessment
    in_window = a.verdict in ("open", "last-call")
    also = "; ".join(f"{phrases.job_and_window(b)}, {phrases.verdict_words(b).lower()}" for b in row.also)
    if any(JOBS[b.job].heavy for b in row.also if b.today == "do") and JOBS[a.job].heavy:
        also += "; one heavy job a season is enough"
    when = phrases.until(a).strip() if in_window else phrases.brief_sentence(a)
    return TreeLine(
        name=phrases.plain(row.name),
        job=_titled(a),
        advice=phrases.today_words(a) if in_window else "Soon",
        text=_joined(
            phrases.sentence(a.today_why) if in_window and a.today != "do" else "",
            "" if in_window and a.today == "no" else phrases.sentence(when),
            f"Also: {also}." if also else "",
        ),
    )


def _next_up(site: SiteReport) -> tuple[NextUp, ...]:
    alike: dict[object, list[Assessment]] = {}
    for a in next_to_open(site):
        alike.setdefault((a.job, a.window, a.floor, a.days), []).append(a)
    found = []
    for group in list(alike.values())[:NEXT_UP]:
        species = phrases.listing([phrases.species_name(one) for one in group])
        species, job = species[:1].upper() + species[1:], phrases.job_and_window(group[0])
        found.append(NextUp(group[0], species, job, f"{species}, {job}", opening_words(group[0])))
    return tuple(found)


def _resting_trees(site: SiteReport) -> str:
    resting = resting_trees(site)
    if not resting:
        return ""
    count = phrases.counted(len(resting), "other tree" if tree_rows(site) else "tree").capitalize()
    return f"{count} {'needs' if len(resting) == 1 else 'need'} nothing now."


def _sum_line(season_sum: SeasonSum, units: Units, as_of: dt.date) -> SumLine:
    s = sum_in(season_sum, units)
    unit = phrases.plain(s.unit)
    chill = s.name == "chill"
    explained = (
        (in_units(phrases.CHILL_PORTION, units) if "chill portion" in unit else "")
        if chill
        else phrases.HEAT_UNIT
    )
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


def _health(site: SiteReport, as_of: dt.date) -> tuple[str, ...]:
    weather = site.weather
    if weather is None:
        return ()
    latest = sorted(weather.faults, key=lambda f: f.last_day, reverse=True)
    fresh = [fault for fault in latest if (as_of - fault.last_day).days <= FRESH_DAYS]
    older = len(latest) - len(fresh)
    mended = f"{phrases.counted(older, 'older fault')} mended; season-engine weather lists them".capitalize()
    return gathered(
        (
            shares_sentence(weather),
            *_sentences(weather.notes),
            *_sentences(weather.warnings),
            *_sentences(fault.text for fault in fresh),
            phrases.sentence(mended) if older else "",
            own_record_sentence(site.own_record) if site.own_record else "",
        )
    )


def _notes(site: SiteReport) -> tuple[str, ...]:
    species = [phrases.plain(name) for name in site.not_covered]
    missing = (
        f"Not in the catalogue, so nothing is said about: {phrases.listing(species)}." if species else ""
    )
    return gathered((missing, *_sentences(site.notes)))
