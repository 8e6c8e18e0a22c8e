"""Every source that is data has author, year and title or table; a work is cited in the same words always.

A source is in parts, divided by "; ": what was taken, and the works, each as `Author (year), title, where,
how it was read`, with "no year" where there is none.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

from season_engine.measures.chill_models import CHILL_MODELS
from season_engine.measures.heat_models import HEAT_MODELS
from season_engine.species.files import shipped
from season_engine.weather.quality.examine import CHECKS

PROJECT = Path(__file__).parent.parent
WORK = re.compile(
    r"(?P<who>[^\W\d][^()]+) \((?P<year>\d{4}(-\d{4})?|no year)\), (?!abstract|read|doi)(?P<title>[^,]{10,})"
)
DEMANDED = ("published", "fit")
OUR_OWN = "our own"  # a check or a number of ours, which has no source


def tables(value: object, where: str) -> Iterator[tuple[str, dict]]:
    """All tables of a file that say where they are known from."""
    if isinstance(value, dict):
        if "from" in value:
            yield where, value
        for key, inner in value.items():
            yield from tables(inner, f"{where}, {key}")
    elif isinstance(value, list):
        for place, inner in enumerate(value):
            yield from tables(inner, f"{where} {place}")


CATALOGUE = [
    found
    for folder in ("groups", "shared")
    for toml in shipped(folder)
    for found in tables(tomllib.loads(toml.text), toml.file.rsplit("/", 1)[-1])
]
SOURCES = [
    *((where, table["source"]) for where, table in CATALOGUE if table.get("source")),
    *((f"chill model {key}", model.source) for key, model in CHILL_MODELS.items()),
    *((f"heat model {key}", model.source) for key, model in HEAT_MODELS.items()),
    *((f"check {check.kind}", check.source) for check in CHECKS if check.source != OUR_OWN),
]


def works(source: str) -> list[re.Match[str]]:
    return [found for part in source.split("; ") if (found := WORK.match(part))]


def test_sources_are_found_in_catalogue_and_code() -> None:
    assert len(CATALOGUE) > 500 and len(SOURCES) > 30


def test_none_is_empty_where_the_tag_demands_one() -> None:
    assert [
        where for where, table in CATALOGUE if table["from"] in DEMANDED and not table.get("source")
    ] == []


def test_each_has_an_author_a_year_and_a_title_or_table() -> None:
    assert [(where, source) for where, source in SOURCES if not works(source)] == []


def test_a_work_is_cited_in_the_same_words_throughout() -> None:
    said: dict[tuple[str, str], set[str]] = {}
    for _, source in SOURCES:
        for work in works(source):
            first = work["who"].replace(",", " ").split()[0]  # of the authors, however the others are named
            said.setdefault((first, work["year"]), set()).add(work.string)
    assert {key: words for key, words in said.items() if len(words) > 1} == {}


@pytest.mark.parametrize(
    "source",
    [
        "Zhuang et al. 2016, read in a secondary copy",
        "New Forests (1990), abstract read in a secondary copy",
        "firs made no root growth; Lopushinsky and Max (1990)",
        "a secondary copy of Handreck and Black",
    ],
)
def test_a_source_without_year_or_title_is_none(source: str) -> None:
    assert works(source) == []


def test_every_table_from_outside_is_listed_with_its_terms() -> None:
    listed = (PROJECT / "docs" / "DATA-LICENCES.md").read_text("utf-8")
    data = PROJECT / "tests" / "data"
    ours = data / "exports"  # invented, and listed by their folder
    assert "tests/data/exports" in listed and "docs/DATA-LICENCES.md" in (ours / "README.md").read_text(
        "utf-8"
    )
    files = [path for path in data.rglob("*") if path.is_file() and path.name != "README.md"]
    files = [path for path in files if ours not in path.parents]
    fonts = [*(PROJECT / "season_engine").rglob("*.ttf")]
    assert files and fonts
    for path in (*files, *fonts):
        assert path.name in listed, f"{path.name} is not in docs/DATA-LICENCES.md"
    for folder in {path.parent for path in files}:
        assert "docs/DATA-LICENCES.md" in (folder / "README.md").read_text("utf-8")


def test_the_tables_are_as_their_readme_says() -> None:
    """Missing readings as it counts them, and no day whose lowest lies above its highest."""
    missing = {}
    for name in ("nagano", "takayama", "kagoshima"):
        rows = (PROJECT / "tests" / "data" / "japan" / f"{name}.csv").read_text("utf-8").splitlines()[1:]
        days = [row.split(",")[1:] for row in rows]
        missing[name] = tuple(sum(not day[place] for day in days) for place in (0, 1))
        assert all(float(low) <= float(high) for low, high in days if low and high)
    assert missing == {"nagano": (0, 2), "takayama": (0, 1), "kagoshima": (1, 0)}
