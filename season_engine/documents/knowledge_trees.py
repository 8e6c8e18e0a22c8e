"""On the page of numbers: what may follow what on a tree, what is due when, what a job asks for after."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from season_engine.species.floors import Floor, floors
from season_engine.species.follow_ups import FOLLOW_UPS
from season_engine.species.needs import stage_needs
from season_engine.species.spacing import Most, OfTrees, Rule, spacing
from season_engine.words.speech import said

SPACING = """\
## What may follow what

Common practice, written from memory, no source; the certainty is that of whoever wrote it down. Of the rules
for one pair of works the first that fits a tree decides. Where a time and a sign of growth are named, the
later counts.

| Rule | After | Before | On | Time, sign of growth | Certainty |
| --- | --- | --- | --- | --- | --- |
"""
NEEDS = """\
## What is due at which stage

Common practice, written from memory, no source. What no row speaks of may be done. Repotting goes by years.

| Jobs | On | Are | Certainty |
| --- | --- | --- | --- |
"""
FLOORS = """\
## How cold and how hot

The coldest night at rest and the hottest day, by screen air, of a tree in a pot of 20 to 45 cm. What is from
"practice" and "memory" is common practice, written from memory, no source.

| Trees | Night, degC | Day, degC | Besides | From | Certainty |
| --- | --- | --- | --- | --- | --- |
"""
AFTERWARDS = """\
## What a job asks for afterwards

In days after it; common practice, written from memory, no source.

| After | On | Days | What | Certainty |
| --- | --- | --- | --- | --- |
"""


def tree_tables(row: Callable[..., str]) -> Iterator[str]:
    """The parts of the page, each a heading with its table; `row` writes a line of one."""
    yield SPACING + _lines(row(*_rule(rule)) for rule in spacing().rule)
    yield "Heavy jobs in one growth cycle:\n\n" + _lines(f"- {_most(one)}" for one in spacing().most)
    yield NEEDS + _lines(
        row(", ".join(one.jobs), _trees(one), one.state, f"{one.certainty} %") for one in stage_needs()
    )
    yield FLOORS + _lines(row(*_floor(one)) for one in floors())
    yield AFTERWARDS + _lines(
        row(
            ", ".join(one.after),
            _kinds(one.kinds, one.but),
            f"{one.from_days}-{one.to_days}",
            said(one.words),
            f"{one.certainty} %",
        )
        for one in FOLLOW_UPS.row
    )


def _lines(lines: Iterable[str]) -> str:
    return "\n".join(lines) + "\n"


def _rule(rule: Rule) -> tuple[str, ...]:
    name = f"{rule.name} ({rule.school})" if rule.school else rule.name
    return (
        name,
        ", ".join(rule.after),
        ", ".join(rule.before),
        _trees(rule),
        _wait(rule),
        f"{rule.certainty} %",
    )


def _floor(one: Floor) -> tuple[str, ...]:
    small = "" if one.small_floor_c is None else f" (small {one.small_floor_c:g})"
    roots = (
        "" if one.roots_killed_c is None else f"roots killed at {one.roots_killed_c:g}: {said(one.source)}"
    )
    besides = (
        "" if one.hardens else "never hardens",
        "fleshy roots" if one.fleshy_roots else "",
        "wakes early" if one.wakes_early else "",
        roots,
    )
    return (
        ", ".join(one.groups or one.species),
        f"{one.floor_c:g}{small}",
        f"{one.ceiling_c:g}",
        ", ".join(filter(None, besides)),
        one.provenance,
        f"{one.certainty} %",
    )


def _wait(rule: Rule) -> str:
    times = (
        (rule.weeks, "{} weeks"),
        (rule.months, "{} months"),
        (rule.days, "{} days"),
        (rule.good_seasons, "{} good seasons"),
    )
    told = [words.format(count) for count, words in times if count]
    return ", ".join([*told, *([rule.growth] if rule.growth else [])]) or "none"


def _trees(one: OfTrees) -> str:
    told = [_kinds(one.on, one.not_on), "/".join(one.stages), "/".join(one.vigour)]
    if isinstance(one, Rule):
        told += [
            f"every {one.least_years} year" if one.least_years else "",
            "in halves" if one.halves else "",
        ]
    return ", ".join(part for part in told if part) or "all"


def _kinds(on: tuple[str, ...], but: tuple[str, ...]) -> str:
    return ", ".join(on) + (f"all but {', '.join(but)}" if but else "")


def _most(one: Most) -> str:
    together = f"; {' and '.join(one.together)} count as one" if one.together else ""
    uncounted = f"; {', '.join(one.uncounted)} isn't counted" if one.uncounted else ""
    return f"{one.jobs} on {_trees(one)}{together}{uncounted} ({one.certainty} %)"
