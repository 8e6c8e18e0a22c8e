"""A week's work by bench, to print and hang up."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

from season_engine.report.contents import SiteReport
from season_engine.words import naming, prose
from season_engine.words.harm import harm_sentence
from season_engine.words.looks import look_lines
from season_engine.words.own_trees import tree_names
from season_engine.words.speech import say
from season_engine.words.work_list import may_be_done, task


@dataclass(frozen=True, slots=True)
class Bench:
    """One bench and its tasks; what is for all of a yard has no name."""

    name: str
    tasks: tuple[str, ...]


def bench_sheet(site: SiteReport, as_of: dt.date) -> tuple[Bench, ...]:
    """What to shelter, what to look for and what may be worked this week, bench by bench."""
    shelter = [harm_sentence(site, one, as_of) for one in site.first.protect if one.stage != "lasts"]
    look_for = [
        say("See whether: {lead}. {sight}", lead=one.lead, sight=one.text) for one in look_lines(site)
    ]
    found: dict[str, list[str]] = {"": [*shelter, *look_for]} if shelter or look_for else {}
    for bench, text in _work(site, as_of):
        found.setdefault(bench, []).append(text)
    return tuple(Bench(name, tuple(tasks)) for name, tasks in sorted(found.items()))


def _work(site: SiteReport, as_of: dt.date) -> Iterator[tuple[str, str]]:
    for choice in may_be_done(site.first.work):
        if choice.first.tree is None:  # no trees are kept, so no benches either
            yield "", prose.sentence(task(choice, naming.species_name(choice.first), as_of))
        by_bench: dict[str, list[str]] = {}
        for one in choice.assessments:
            if one.tree is not None:
                bench = site.benches.get(one.tree)
                by_bench.setdefault(say("Bench {name}", name=bench) if bench else say("Yard"), []).append(
                    one.tree
                )
        for bench, trees in by_bench.items():
            yield bench, prose.sentence(task(choice, tree_names(site, trees, len(trees)), as_of))
