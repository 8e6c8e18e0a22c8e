"""The sentences of a report, section by section; text, page and mail print the same ones."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, replace

from season_engine.report.contents import Report, SiteReport, told_of, under
from season_engine.report.days_ahead import DayAhead
from season_engine.windows.assessment import Assessment
from season_engine.words import notices, prose, timing
from season_engine.words.bench_sheet import Bench, bench_sheet
from season_engine.words.care import care_lines, spared_lines
from season_engine.words.criteria import sources_behind
from season_engine.words.days_ahead import Floor, floors_of
from season_engine.words.first_screen import FirstLines, first_lines, past_errors_sentence
from season_engine.words.follow_ups import follow_up_lines
from season_engine.words.hazards import frost_sentence, hazard_lines
from season_engine.words.headline import headline
from season_engine.words.line import Line, joined, sentences
from season_engine.words.looks import looks_worth
from season_engine.words.own_record import own_record_sentence
from season_engine.words.own_trees import roster
from season_engine.words.pairs import PairsOfDates, pairs_of_dates
from season_engine.words.prose import gathered
from season_engine.words.questions import question_lines
from season_engine.words.record_health import health, notes, place, weather_sentences
from season_engine.words.season import SumLine, sum_line
from season_engine.words.side_by_side import side_by_side
from season_engine.words.speech import said
from season_engine.words.water import water_sentence
from season_engine.words.weather_sources import source_text
from season_engine.words.window_card import Card, cards
from season_engine.words.window_lines import (
    closed_lines,
    not_here_sentence,
    not_well_sentence,
    resting_sentence,
    resting_trees_sentence,
    tree_lines,
    window_lines,
)
from season_engine.words.work_safely import caution_lines
from season_engine.words.year_ago import year_ago_sentences
from season_engine.words.year_ahead import YearRow, year_rows

IN_FULL = 8  # jobs told with all their reasons, those that come first
NEW_SEASON_DAYS = 7  # what this place never has is said with the first report of a season


@dataclass(frozen=True, slots=True)
class SiteSections:
    """All that is printed for one site."""

    name: str
    place: str
    weather: tuple[str, ...]
    invented: bool
    refusal: str
    first: FirstLines
    chosen: tuple[Card, ...]  # the jobs of the first screen, in full
    now: tuple[Line, ...]
    closing: tuple[Line, ...]
    soon: tuple[Line, ...]
    looks: tuple[Line, ...]  # what an answer is worth
    year: tuple[YearRow, ...]  # a row a tree, for drawing
    sheet: tuple[Bench, ...]  # the week's work by bench, for printing
    closed: tuple[Line, ...]
    resting: str
    not_here: str
    new_season: bool
    care: tuple[Line, ...]  # the week's small care
    follow_ups: tuple[Line, ...]  # what is due after jobs
    questions: tuple[Line, ...]  # about the trees
    trees: tuple[Line, ...]
    resting_trees: str
    roster: tuple[Line, ...]  # every tree by its kind
    days_ahead: tuple[DayAhead, ...]
    floors: tuple[Floor, ...]
    frost_text: str
    hazards: tuple[Line, ...]
    mild: str  # the hazards too unlikely for a line of their own
    water: str
    sums: tuple[SumLine, ...]
    health: tuple[str, ...]
    record: str  # how its own reports have fared
    year_ago: tuple[str, ...]  # what was noted in the same week
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ReportSections:
    """All that is printed, what holds for every site said once."""

    as_of: dt.date
    date: str
    headline: str
    notice: str  # that nothing in it is real; empty where something is
    sites: tuple[SiteSections, ...]
    side_by_side: tuple[Line, ...]
    pairs: PairsOfDates | None  # the same, for drawing
    cautions: tuple[Line, ...]
    sources: tuple[str, ...]

    @property
    def dateline(self) -> str:
        """The day, after the site where there is but one: a mail's reader may have others."""
        return ", ".join((*(site.name for site in self.sites[:1] if len(self.sites) == 1), self.date))

    @property
    def tells_chances(self) -> bool:
        """Whether a mail tells work with its chances, which then want a word."""
        return any(not line.no_hurry for site in self.sites for line in site.first.work)


def report_sections(report: Report) -> ReportSections:
    """Everything a report says."""
    assessed = [a for site in report.sites for a in site.windows + site.trees]
    chosen = [choice.first for site in report.sites for choice in site.first.work]
    return ReportSections(
        as_of=report.as_of,
        date=timing.full_day(report.as_of),
        headline=headline(report),
        notice=_notice(report),
        sites=tuple(site_sections(site, report.as_of) for site in report.sites),
        side_by_side=side_by_side(report),
        pairs=pairs_of_dates(report),
        cautions=caution_lines(report),
        sources=gathered(
            (*sentences(source_text(one) for a in assessed for one in a.sources), *sources_behind(chosen))
        ),
    )


def _notice(report: Report) -> str:
    if report.demo:
        return said(notices.DEMONSTRATION)
    return said(notices.INVENTED) if report.invented else ""


def site_sections(site: SiteReport, as_of: dt.date) -> SiteSections:
    """Everything a report says about one site."""
    hazards, mild = hazard_lines(site)
    told = told_of(site)
    left = _not_in_full(site, under("now", told))
    return SiteSections(
        name=prose.plain(site.site.name),
        place=place(site),
        weather=weather_sentences(site, as_of),
        invented=site.invented,
        refusal=prose.sentence(site.refusal or ""),
        first=first_lines(site, as_of),
        chosen=_chosen(site),
        now=window_lines(site, [a for a in left if a.verdict == "open"]),
        closing=window_lines(site, [a for a in left if a.verdict == "last-call"]),
        soon=window_lines(site, under("soon", told)),
        looks=looks_worth(site),
        sheet=bench_sheet(site, as_of),
        year=year_rows(site, as_of),
        closed=closed_lines(site, as_of),
        resting=joined(resting_sentence(site, as_of), not_well_sentence(site)),
        not_here=not_here_sentence(site),
        new_season=0 <= (as_of - site.site.season_on(as_of).start).days < NEW_SEASON_DAYS,
        care=(*(Line(*line) for line in care_lines(site.care, as_of)), *spared_lines(site, as_of)),
        follow_ups=follow_up_lines(site, as_of),
        questions=question_lines(site),
        trees=tree_lines(site),
        resting_trees=resting_trees_sentence(site),
        roster=roster(site),
        days_ahead=site.days_ahead,
        floors=floors_of(site),
        frost_text=frost_sentence(site, as_of),
        hazards=hazards,
        mild=mild,
        water=water_sentence(site.water),
        sums=tuple(sum_line(s, as_of) for s in site.sums),
        health=health(site, as_of),
        record=own_record_sentence(site.own_record) if site.own_record else "",
        year_ago=year_ago_sentences(site, as_of),
        notes=notes(site),
    )


def _not_in_full(site: SiteReport, windows: Iterable[Assessment]) -> list[Assessment]:
    full = {_key(one.first) for one in site.first.work[:IN_FULL]}
    return [a for a in windows if _key(a) not in full]


def _key(a: Assessment) -> tuple[str, str, str]:
    return a.species, a.job, a.window


def _chosen(site: SiteReport) -> tuple[Card, ...]:
    """The jobs of the first screen in full, with how far out their dates were in the last years."""
    errors = {_key(one.first): past_errors_sentence(one.past_errors) for one in site.first.work}
    told: set[str] = set()
    found = []
    for card in cards(site, [one.first for one in site.first.work[:IN_FULL]]):
        new = tuple(text for text in card.notes if text not in told)
        told.update(new)
        found.append(replace(card, notes=new, past_errors=errors.get(_key(card.assessment), "")))
    return tuple(found)
