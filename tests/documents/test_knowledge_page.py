from __future__ import annotations

import re
from collections import Counter

from season_engine.documents.knowledge_page import PAGE, TAGS, page
from season_engine.species.catalogue import load_catalogue
from season_engine.species.files import shipped
from season_engine.tables.texts import with_values
from tests.spoken import spelt_out


def test_the_committed_page_is_up_to_date() -> None:
    assert PAGE.read_text("utf-8") == page(), "run `make knowledge`"


def test_every_number_is_counted_once_by_where_it_is_from() -> None:
    """Counted apart from the catalogue's reader: each table of numbers has one line `from = "..."`."""
    texts = (toml.text for folder in ("groups", "shared") for toml in shipped(folder))
    written = Counter(tag for text in texts for tag in re.findall(r'^from = "(\w+)"$', text, re.MULTILINE))
    rows = page().partition("\n## Groups\n")[2].splitlines()
    for tag, words in TAGS.items():
        assert sum(row.endswith(f"| {words} |") or f"| {words}: " in row for row in rows) == written[tag], tag
        numbers = r" (\d+) \|" * 5
        counts = re.search(rf"^\| {re.escape(words)} \|{numbers}$", page(), re.MULTILINE)
        assert counts and sum(map(int, counts.groups())) == written[tag], tag


def test_every_species_has_a_row_and_a_place_with_all_its_names() -> None:
    text = page()
    for species in load_catalogue().species.values():
        assert f"| {species.name}: {species.common[0]} | [{species.group}](#" in text
        assert f"*{species.name}* ({', '.join((*species.common, *species.synonyms))})" in text
        assert f"\n### {species.group}\n" in text


def test_every_source_is_told() -> None:
    told = page()
    for toml in (*shipped("groups"), *shipped("shared")):
        for source in re.findall(r'^source = "(.+)"$', toml.text, re.MULTILINE):
            assert spelt_out(with_values(source)) in told
