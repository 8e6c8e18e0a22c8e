"""The page that says of every number in the catalogue what it is and where it is from.

Run ``python -m season_engine.documents.knowledge_page`` to write it anew.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import get_args

from season_engine.documents.knowledge_trees import tree_tables
from season_engine.facts import Text
from season_engine.files.toml_faults import checked
from season_engine.files.whole import write_whole
from season_engine.markers.base import CountedInTime, CountedUntil, Marker
from season_engine.species.catalogue import load_catalogue
from season_engine.species.files import shipped
from season_engine.species.held import held
from season_engine.species.schema import (
    CatalogueFile,
    Harm,
    HazardRule,
    HeatHazard,
    Repotted,
    SharedSet,
    ShortSeason,
    SpeciesTable,
    Window,
)
from season_engine.tables.known import Provenance
from season_engine.tree import Stage
from season_engine.words.speech import for_programs, said

_Numbers = SharedSet | CatalogueFile | SpeciesTable

PAGE = Path(__file__).parents[1] / "species" / "KNOWLEDGE.md"
TAGS: Mapping[Provenance, str] = {
    "published": "published",
    "fit": "fitted to open data",
    "practice": "common practice, no source",
    "memory": "from memory",
}
HEADING = "| What | Numbers | Counted from | Give or take | Known from |\n| --- | --- | --- | --- | --- |"
OPENING = """\
# What is known, and how well

Every number of the catalogue, what in a plant harms people, and where each is from, written by `make
knowledge` from the catalogue's files.

Little is published on when a tree in a container may be worked on. Most numbers are common practice or
remembered, and set so that the dates come out near those growers give in two kinds of yard: they are wide on
purpose, and a grower's own notes narrow them. "Fitted" names the data, "published" the source, and "read in a
secondary copy" means just that. What many groups share stands once, under its set; a rule of a group replaces
that of its sets, and a species' that of its group.
"""
TOTALS = """\
{species} species in {groups} groups. The numbers of a rule are counted as one, where they stand and not again
for each species that has them.

| Known from | Rules for dates | Hazards after a job | Root balls by sections | Poison and sap | Repotted |
| --- | --- | --- | --- | --- | --- |
"""
HELD = """\
## Held against growers' dates

Usual dates beside those growers give in up to six climates. The latter are common practice with no source,
good to about two weeks, and some rules were set on them: a measuring stick, no proof. An end is an opening or
a closing in one climate, or the date of a stage; dates that are for several windows together count for each.

| Species | Window or stage | Climates | Ends | Within 21 days | The middle one off by | Eight in ten within |
| --- | --- | --- | --- | --- | --- | --- |
"""


def page() -> str:
    """The whole page, in Markdown and English."""
    with for_programs("degC"):
        return _page()


def _page() -> str:
    sets = [checked(toml, SharedSet) for toml in shipped("shared")]
    groups = [checked(toml, CatalogueFile) for toml in shipped("groups")]
    sets.sort(key=lambda one: one.set)
    groups.sort(key=lambda one: one.group or "")
    parts = [OPENING, _totals(sets, groups), _by_species(), _held(), "## Groups\n"]
    parts += [_group(group) for group in groups]
    parts.append("## What groups share\n")
    parts += [f"### Set: {one.set}\n\n{_table(one)}" for one in sets]
    parts += tree_tables(_row)
    return "\n".join(parts)


def _totals(sets: list[SharedSet], groups: list[CatalogueFile]) -> str:
    species = [one for group in groups for one in group.species.values()]
    tables: list[_Numbers] = [*sets, *groups, *species]
    windows = [window for table in tables for window in table.window]
    counts: tuple[Counter[str], ...] = (
        Counter(one.provenance for table in tables for one in table.marker.values()),
        Counter(rule.provenance for window in windows for rule in window.hazard),
        Counter(one.provenance for window in windows for one in window.sections),
        Counter(harm.provenance for table in tables for _, harm in _harms(table)),
        Counter(every.provenance for table in tables if (every := _repotted(table))),
    )
    rows = [_row(words, *(str(counted[tag]) for counted in counts)) for tag, words in TAGS.items()]
    rows.append(_row("all", *(str(counted.total()) for counted in counts)))
    return TOTALS.format(species=len(species), groups=len(groups)) + "\n".join(rows) + "\n"


def _by_species() -> str:
    """How many of a species' rules, shared ones included, are of each kind."""
    rows = [f"| Species | Group | {' | '.join(TAGS.values())} |", "| --- | --- | --- | --- | --- | --- |"]
    for name, species in sorted(load_catalogue().species.items()):
        counted = species.known_from
        shares = " | ".join(str(counted[tag]) for tag in TAGS)
        group = f"[{species.group}](#{species.group.casefold().replace(' ', '-')})"
        rows.append(f"| {name}: {species.common[0]} | {group} | {shares} |")
    return "## Species, with the rules that date and guard their jobs\n\n" + "\n".join(rows) + "\n"


def _held() -> str:
    """What was held against growers' dates, by species, and by window or stage."""
    both = (held().window, held().stage)
    rows = [
        _row(
            *(name, which, str(one.climates), str(one.ends), str(one.within_21_days)),
            *(f"{days} days" for days in (one.middle_days, one.eight_in_ten_days)),
        )
        for name in sorted({*both[0], *both[1]})
        for table in both
        for which, one in table.get(name, {}).items()
    ]
    return HELD + "\n".join(rows) + "\n"


def _group(group: CatalogueFile) -> str:
    parts = [f"### {group.group}\n"]
    if group.takes:
        links = (f"[{name}](#set-{name.replace(' ', '-')})" for name in group.takes)
        parts.append(f"With the sets {', '.join(links)}.\n")
    parts.append(_table(group))
    plain = []
    for name, species in group.species.items():
        names = f"*{name}* ({', '.join((*species.common, *species.synonyms))})"
        if not _rows(species):
            plain.append(names)
            continue
        parts.append(f"{names}, of its own:\n\n{_table(species)}")
    if plain:
        parts.append(f"With the group's numbers: {'; '.join(plain)}.\n")
    return "\n".join(parts)


def _table(table: _Numbers) -> str:
    rows = _rows(table)
    return "\n".join([HEADING, *rows]) + "\n" if rows else "No numbers of its own.\n"


def _harms(table: _Numbers) -> list[tuple[str, Harm]]:
    kinds = () if isinstance(table, SharedSet) else (("poison", table.poison), ("skin and eyes", table.skin))
    return [(kind, harm) for kind, harm in kinds if harm]


def _repotted(table: _Numbers) -> Repotted | None:
    return None if isinstance(table, SharedSet) else table.repotted_every


def _rows(table: _Numbers) -> list[str]:
    rows = [
        _row(f"{kind}: {said(harm.parts)}", "", "", "", _known_from(harm.provenance, harm.source))
        for kind, harm in _harms(table)
    ]
    if every := _repotted(table):
        stages = zip(get_args(Stage), every.all_stages, strict=True)
        years = ", ".join(f"{stage} {_span(*span)}" for stage, span in stages)
        told = f"every so many years: {years}; small trees a third less"
        rows.append(_row("repotted", told, "", "", _known_from(every.provenance, every.source)))
    rows += [_marker_row(name, marker) for name, marker in table.marker.items()]
    for window in table.window:
        rows += [_hazard_row(window, rule) for rule in window.hazard]
        for one in window.sections:
            apart = "-".join(str(years) for years in dict.fromkeys(one.years_apart))
            numbers = f"{one.parts} parts, {apart} years apart"
            what = f"{window.job}, {window.name}: {said(one.trees)}"
            rows.append(_row(what, numbers, "", "", _known_from(one.provenance, one.source)))
    return rows


def _span(least: int, most: int) -> str:
    return f"{least}" if least == most else f"{least} to {most}"


def _marker_row(name: str, marker: Marker) -> str:
    joint = ", until " if isinstance(marker, CountedInTime | CountedUntil) else ", "
    counted = joint.join(f"`{other}`" for other in marker.depends_on)
    stage = f" (BBCH {marker.bbch:02d})" if marker.bbch is not None else ""
    spread = f"{marker.sd_days:g} days" if marker.sd_days else ""
    known = _known_from(marker.provenance, marker.source)
    if marker.reach:
        beyond = f"{marker.beyond_sd_days:g} days on others than {_and(marker.measured_on)}"
        spread = f"{spread}, {beyond}" if spread else beyond
        known = f"{known}; measured in {said(marker.reach)}, stretched to the others"
    return _row(f"`{name}`: {said(marker.label)}{stage}", ", ".join(marker.numbers), counted, spread, known)


def _hazard_row(window: Window, rule: HazardRule) -> str:
    if isinstance(rule, ShortSeason):
        harm = f"{rule.need:g} {rule.unit} or less until `{rule.until}`"
    else:
        run = f", {rule.run} in a row" if isinstance(rule, HeatHazard) and rule.run > 1 else ""
        harm = f"{rule.level_c:g} degC within {rule.days} days{run}"
    what = f"{window.job}, {window.name}: {rule.name}"
    known = _known_from(rule.provenance, rule.source)
    return _row(what, f"{harm}; too likely from {rule.limit:.0%} on", "the job", "", known)


def _known_from(tag: Provenance, source: Text) -> str:
    return f"{TAGS[tag]}: {said(source)}" if source else TAGS[tag]


def _and(names: Iterable[str]) -> str:
    return " and ".join(f"*{name}*" for name in names)


def _row(*cells: str) -> str:
    return f"| {' | '.join(cell.replace('|', '/') for cell in cells)} |"


if __name__ == "__main__":
    write_whole(PAGE, page())
