"""What goes into a weekly report, and how it is sorted before anything is printed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Literal

from season_engine.advice.first_screen import FirstScreen
from season_engine.facts import Units
from season_engine.locale import ENGLISH
from season_engine.report.days_ahead import DayAhead
from season_engine.report.season_sums import SeasonSum
from season_engine.report.year_ago import YearAgo
from season_engine.site import Site
from season_engine.species.jobs import JOBS
from season_engine.trees.follow_ups import FollowUp
from season_engine.trees.questions import Question
from season_engine.verify.own_score import OwnScore
from season_engine.weather.series import Weather
from season_engine.weather.water_demand import WaterDemand
from season_engine.windows.assessment import Assessment, OwnNumber, Quantiles, Verdict
from season_engine.windows.bud_stage import BudStage
from season_engine.windows.care import Care
from season_engine.windows.frost_weeks import FrostOdds
from season_engine.windows.looks import Look

LATELY_DAYS = 28  # a window that closed longer ago than this is resting, not news

Heading = Literal["now", "soon", "closed", "resting", "not-well", "not-here"]
_WORTH_A_ROW: tuple[Heading, ...] = ("now", "soon")


@dataclass(frozen=True)
class SiteReport:
    """One site's part of the report; with a `refusal` the rest may be empty."""

    site: Site
    weather: Weather | None
    refusal: str | None = None
    timezone: str | None = None  # its name, where the grower gave one
    windows: tuple[Assessment, ...] = ()  # one per species, job and window; `tree` is None
    trees: tuple[Assessment, ...] = ()  # one per tree, job and window; `tree` is the tree's id
    first: FirstScreen = field(default_factory=FirstScreen)
    weak: tuple[str, ...] = ()  # ids of the trees that are marked weak
    look_at: tuple[Look, ...] = ()  # buds worth a look, the one that teaches most first
    care: tuple[Care, ...] = ()  # one per species, window and job of the round of small care
    questions: tuple[Question, ...] = ()  # about the trees, each in one week
    follow_ups: tuple[FollowUp, ...] = ()  # after jobs on the trees, now and in the weeks ahead
    tree_names: Mapping[str, str] = field(default_factory=dict)  # id -> name
    benches: Mapping[str, str] = field(default_factory=dict)  # id -> bench, of those that have one
    sums: tuple[SeasonSum, ...] = ()
    water: WaterDemand | None = None
    frost: tuple[FrostOdds, ...] = ()
    days_ahead: tuple[DayAhead, ...] = ()
    stages: Mapping[str, BudStage] = field(default_factory=dict)  # of the trees' buds, by their ids
    not_covered: tuple[str, ...] = ()  # the grower's species that the catalogue doesn't hold
    own_numbers: tuple[OwnNumber, ...] = ()  # the grower's, that move a usual date far
    own_record: OwnScore | None = None  # how its own reports of earlier weeks have fared
    year_ago: YearAgo | None = None  # what was noted in the same week a year ago, where something was

    @cached_property
    def trees_by_window(self) -> Mapping[tuple[str, str, str], tuple[Assessment, ...]]:
        """The trees' assessments by species, job and window."""
        found: dict[tuple[str, str, str], list[Assessment]] = {}
        for a in self.trees:
            found.setdefault((a.species, a.job, a.window), []).append(a)
        return {key: tuple(alike) for key, alike in found.items()}

    @property
    def invented(self) -> bool:
        """Whether its weather is invented, so that no tree may be worked by what is said."""
        return self.weather is not None and self.weather.invented


@dataclass(frozen=True, slots=True)
class Report:
    """Everything that is printed on one day."""

    as_of: dt.date
    demo: bool  # there is no workspace; whether the weather is invented is another question
    sites: tuple[SiteReport, ...]
    language: str = ENGLISH  # of the page, the text, the mail and the calendar; JSON is English
    units: Units = "degC"  # in which it is told

    @property
    def invented(self) -> bool:
        """Whether all of its weather is invented."""
        told = [site for site in self.sites if site.weather is not None]
        return bool(told) and all(site.invented for site in told)


@dataclass(frozen=True, slots=True)
class TreeRow:
    """One tree, its most pressing job, and its other jobs that are in window or soon will be."""

    tree_id: str
    name: str
    assessment: Assessment
    also: tuple[Assessment, ...] = ()


def heading_of(assessment: Assessment) -> Heading:
    """The part of the report a window belongs in."""
    verdict: Verdict = assessment.verdict
    if verdict != "not-here" and assessment.seldom_well is not None:
        return "not-well"
    if assessment.in_window:
        return "now"
    if verdict == "soon":
        return "soon"
    if verdict == "not-here":
        return "not-here"
    closed = assessment.closes.p50
    if verdict == "closed" and closed is not None and (assessment.as_of - closed).days <= LATELY_DAYS:
        return "closed"
    return "resting"


def under(heading: Heading, assessments: Iterable[Assessment]) -> tuple[Assessment, ...]:
    """Those of the assessments that belong under `heading`, the most pressing first."""
    return tuple(sorted((a for a in assessments if heading_of(a) == heading), key=_pressing))


def _pressing(assessment: Assessment) -> tuple[int, dt.date, str, str, str]:
    """Last calls first, then by the date that matters next: closing if open, opening if not.

    Trees that are alike so far stay in the grower's own order.
    """
    heading = heading_of(assessment)
    date = assessment.closes.p50 if heading in ("now", "closed") else next_opening(assessment)
    return (
        0 if assessment.verdict == "last-call" else 1,
        date or dt.date.max,
        assessment.common_name,
        assessment.job,
        assessment.window,
    )


def next_opening(assessment: Assessment) -> dt.date | None:
    """Middle date of the next opening: of this window if it is still ahead, else a season on."""
    opens = next_opens(assessment)
    return opens.p50 if opens else None


def next_opens(assessment: Assessment) -> Quantiles | None:
    """Dates of that opening; None where it isn't known."""
    ahead = assessment.verdict in ("wait", "soon")
    if ahead and assessment.opens.p50 is not None and assessment.opens.p50 >= assessment.as_of:
        return assessment.opens
    if assessment.next is not None:
        return assessment.next.opens
    return assessment.opens if ahead else None


def tree_rows(site: SiteReport) -> tuple[TreeRow, ...]:
    """One row for each tree with something to do or to watch; the bench order.

    Trees whose windows are all resting get no row.
    """
    jobs: dict[str, list[Assessment]] = {}
    for heading in _WORTH_A_ROW:
        for assessment in sorted(under(heading, site.trees), key=_advice_rank):
            jobs.setdefault(assessment.tree or "", []).append(assessment)
    return tuple(
        TreeRow(tree, name_of_tree(site, tree), first, tuple(rest)) for tree, (first, *rest) in jobs.items()
    )


def due(site: SiteReport) -> list[TreeRow]:
    """The rows with something to do: none of a tree left without the job, of a weak one what is due alone."""
    may = tuple(a for a in site.trees if not a.left_alone and (a.due or a.tree not in site.weak))
    return [
        row
        for row in tree_rows(replace(site, trees=may))
        if not (row.assessment.in_window and row.assessment.today == "no")
    ]


def roots_first(site: SiteReport) -> frozenset[str]:
    """Ids of the trees of which root work is the first thing to do now."""
    rows = {row.tree_id: row.assessment for row in due(site)}
    chosen = {a.tree or "": a for choice in site.first.work for a in choice.assessments}
    now = {tree for tree, a in {**rows, **chosen}.items() if a.today == "do" and JOBS[a.job].roots}
    return frozenset(now)


def _advice_rank(assessment: Assessment) -> tuple[bool, int]:
    """What is due before what may be done, and what may be done today before what must wait."""
    return not assessment.due, ("do", "only-with-shelter", "hold", "no").index(assessment.today)


def also_due(row: TreeRow) -> tuple[Assessment, ...]:
    """The row's other jobs; another window of the same, of a later week or a rival school, is none."""
    others = (b for b in row.also if b.job != row.assessment.job and not b.left_alone)
    return tuple(b for b in others if b.verdict == "soon" or b.today != "no")


def name_of_tree(site: SiteReport, tree: str) -> str:
    """The tree's name, or its id where it has none."""
    return site.tree_names.get(tree) or tree


def trees_of(site: SiteReport, window: Assessment) -> tuple[Assessment, ...]:
    """The grower's trees that a species' window is about."""
    return site.trees_by_window.get((window.species, window.job, window.window), ())


def meant_trees(site: SiteReport, window: Assessment) -> tuple[Assessment, ...]:
    """The grower's trees that a window is for, but those that are to be left without the job."""
    now = window.in_window
    well = (tree for tree in trees_of(site, window) if tree.seldom_well is None)
    return tuple(tree for tree in well if not (now and tree.today == "no") and not tree.left_alone)


def advised(site: SiteReport, window: Assessment) -> tuple[Assessment, ...]:
    """What is advised today with a window: for each tree it is for, or in general where none is kept."""
    return meant_trees(site, window) if trees_of(site, window) else (window,)


def told_of(site: SiteReport) -> tuple[Assessment, ...]:
    """The windows to tell of: for one that is open only to a tree that can go under cover, that tree's.

    Likewise for one that seldom goes well on any of the trees, or does on one of them alone.
    """
    return tuple(_told(window, trees_of(site, window)) for window in site.windows)


def _told(window: Assessment, trees: Sequence[Assessment]) -> Assessment:
    headings = [heading_of(tree) for tree in trees]
    own = heading_of(window)
    if "now" in headings and own != "now":
        return trees[headings.index("now")]
    well = [tree for tree, heading in zip(trees, headings, strict=True) if heading != "not-well"]
    if own == "not-well" and well:
        return well[0]
    return trees[0] if trees and not well else window
