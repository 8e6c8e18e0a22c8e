"""The year ahead in words: each tree's jobs with their dates, and the short words of its drawing."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from season_engine.facts import Text
from season_engine.report.contents import SiteReport
from season_engine.report.year_ahead import Span, TreeYear, year_ahead
from season_engine.windows.bud_stage import BudStage
from season_engine.words import naming, prose, timing
from season_engine.words.own_trees import tree_names
from season_engine.words.speech import said, say

TREES_NAMED = 2  # of those alike in one row
# A word a job, as short as a drawing has room for.
SHORT: Mapping[str, Text] = {
    "repotting": Text("repot", context="drawing"),
    "sectional-repotting": Text("repot a part", context="drawing"),
    "decandling": Text("decandle", context="drawing"),
    "candle-shortening": Text("candles", context="drawing"),
    "cut-back": Text("cut back", context="drawing"),
    "needle-work": Text("needles", context="drawing"),
    "winter-tidy": Text("tidy", context="drawing"),
    "structural-pruning": Text("prune", context="drawing"),
    "after-bloom-pruning": Text("prune after bloom", context="drawing"),
    "defoliation": Text("leaves off", context="drawing"),
}
STAGES: Mapping[BudStage, Text] = {
    "resting": Text("buds at rest"),
    "swelling": Text("buds swelling"),
    "opening": Text("new growth opening"),
    "hardened": Text("growth hardened"),
}
NOTHING = Text("none of these jobs in the next twelve months")


@dataclass(frozen=True, slots=True)
class SpanWord:
    """A job's span and its short word."""

    span: Span
    word: str


@dataclass(frozen=True, slots=True)
class YearRow:
    """One tree's year: its name, its kind, and all that is drawn of it in a sentence."""

    name: str
    kind: str  # empty where the row is of a kind itself
    stage: BudStage | None
    spans: tuple[SpanWord, ...]
    sentence: str


def year_rows(site: SiteReport, as_of: dt.date) -> tuple[YearRow, ...]:
    """A row a tree, trees alike in one; or a kind where no trees are kept."""
    alike: dict[tuple[object, ...], list[TreeYear]] = {}
    for year in year_ahead(site, as_of):
        alike.setdefault((year.of.species, year.stage, year.spans), []).append(year)
    return tuple(_row(site, group, as_of) for group in alike.values())


def _row(site: SiteReport, group: list[TreeYear], as_of: dt.date) -> YearRow:
    year = group[0]
    kind = prose.capital(naming.species_name(year.of))
    trees = [one.of.tree for one in group if one.of.tree is not None]
    name = tree_names(site, trees, TREES_NAMED) if trees else kind
    told = [_span_words(span, as_of) for span in year.spans]
    buds = [said(STAGES[year.stage])] if year.stage else []
    sentence = "; ".join([*buds, *(told or [said(NOTHING)])])
    return YearRow(
        name=name,
        kind=kind if trees else "",
        stage=year.stage,
        spans=tuple(SpanWord(span, short_word(span.job)) for span in year.spans),
        sentence=prose.sentence(f"{name}: {sentence}"),
    )


def short_word(job: str) -> str:
    """``repot``."""
    return said(SHORT[job]) if job in SHORT else naming.job_name(job)


def _span_words(span: Span, as_of: dt.date) -> str:
    job = naming.job_and_window(span)
    first = timing.short_day(span.opens.p50, as_of) if span.opens.p50 else ""
    if span.closes.p50 is None:
        if span.due:
            return say("{job} due from about {first} on", job=job, first=first)
        return say("{job} possible from about {first} on", job=job, first=first)
    last = timing.short_day(span.closes.p50, as_of)
    if span.due:
        return say("{job} due from about {first} to {last}", job=job, first=first, last=last)
    return say("{job} possible from about {first} to {last}", job=job, first=first, last=last)
