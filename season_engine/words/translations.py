"""The texts to translate, gathered from code, templates and the catalogue of species; `make translations`."""

from __future__ import annotations

import ast
import copy
import datetime as dt
import io
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from babel.messages.catalog import Catalog, Message
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po
from jinja2 import Environment
from jinja2.ext import extract_from_ast

from season_engine.locale import DOMAIN, ENGLISH, LOCALE, languages
from season_engine.tables.heat_units import is_heat_unit
from season_engine.tables.texts import with_values

PACKAGE = LOCALE.parent
TEMPLATE = LOCALE / f"{DOMAIN}.pot"
# A call's literals by place: a text; one for a count of one and one for others.
CALLS = {"say": (0,), "Text": (0,), "counts": (0, 1), "say_count": (0, 1)}
# Lines at a catalogue's head that change by themselves, or say nothing here.
UNSAID = tuple(
    f'"{name}'.encode()
    for name in ("POT-", "PO-", "Project-", "Report-", "Last-Translator", "Language-Team", "Generated-By")
)
# Of the catalogue, said as they are.
LABELS = ("label", "look_for", "note", "root_note", "unit", "trees", "parts", "words")
HAZARD, WINDOW, SPECIES = "hazard", "window", "species"

Entry = tuple[str | tuple[str, str], str]  # what is to be translated, and its context


def texts() -> Iterator[Entry]:
    """All texts that may be printed in another language."""
    for path in sorted(PACKAGE.rglob("*.py")):
        yield from _in_code(path.read_text("utf-8"))
    for path in sorted(PACKAGE.rglob("templates/*.html")):
        yield from _in_page(path.read_text("utf-8"))
    for tables in _catalogue_of_species():
        yield from _in_species(tables)


def _catalogue_of_species() -> Iterator[dict[str, Any]]:
    for path in sorted((PACKAGE / "species").rglob("*.toml")):
        yield tomllib.loads(path.read_text("utf-8"))


def botanical_names() -> dict[str, str]:
    """Botanical names by the first common one, as the report names a species."""
    return {
        one["common"][0]: name
        for tables in _catalogue_of_species()
        for name, one in tables.get("species", {}).items()
    }


def _in_code(code: str) -> Iterator[Entry]:
    for node in ast.walk(ast.parse(code)):
        if isinstance(node, ast.Call):
            name: str = getattr(node.func, "id", "") or getattr(node.func, "attr", "")
            places = CALLS.get(name, ())
            found = [_literal(node.args[place]) for place in places if place < len(node.args)]
            if found and all(found):
                context = next((_literal(one.value) for one in node.keywords if one.arg == "context"), "")
                yield found[0] if len(found) == 1 else (found[0], found[1]), context


def _literal(node: ast.expr) -> str:
    """A text that is written out, else nothing; one inside another call is found by itself."""
    return node.value if isinstance(node, ast.Constant) and isinstance(node.value, str) else ""


def _in_page(page: str) -> Iterator[Entry]:
    for _, _, text in extract_from_ast(Environment().parse(page), ("say",)):
        yield str(text[0] if isinstance(text, tuple) else text), ""


def _in_species(table: dict[str, Any]) -> Iterator[Entry]:
    """Labels, notes, units, words of jobs, names of hazards, windows and schools, a species' first name."""
    for key, value in table.items():
        if key in LABELS and isinstance(value, str):
            yield _with_values_named(value), ""
        elif key == "aftercare":
            yield from ((_with_values_named(text), "") for text in value)
        elif key == "school" and isinstance(value, str):
            yield value, "school"
        elif key == "common":
            yield value[0], SPECIES
        elif isinstance(value, dict):
            yield from _in_species(value)
        elif isinstance(value, list):
            yield from _in_tables(key, [one for one in value if isinstance(one, dict)])


def _with_values_named(text: str) -> str:
    """As it is looked up: its temperatures are values; degrees of heat are a text of the code's."""
    return "" if is_heat_unit(text) else with_values(text).template


def _in_tables(key: str, tables: list[dict[str, Any]]) -> Iterator[Entry]:
    for table in tables:
        if key == HAZARD:
            yield table["name"], ""
        if key == WINDOW:
            yield table["name"].replace("-", " "), "window"
        yield from _in_species(table)


def template() -> Catalog:
    """The catalogue without translations; no places, which change with every edit."""
    catalogue = Catalog(project=DOMAIN, header_comment="# What season_engine prints.", charset="utf-8")
    for text, context in texts():
        if text:
            catalogue.add(text, context=context or None)
    return catalogue


def catalogue_file(language: str) -> Path:
    """Where a language's translations are kept."""
    return LOCALE / language / "LC_MESSAGES" / f"{DOMAIN}.po"


def catalogue_of(language: str) -> Catalog:
    """A language's translations; of an empty file none, under a head of its own."""
    content = catalogue_file(language).read_bytes()
    if content.strip():
        return read_po(io.BytesIO(content), locale=language)
    head = "# Translations template of what season_engine prints."  # Babel names the language in it
    return Catalog(language, header_comment=head, fuzzy=False)


def translated(message: Message) -> bool:
    """Whether a text has a translation, in all its forms."""
    forms = message.string if isinstance(message.string, tuple | list) else (message.string,)
    return all(forms)


def compiled(catalogue: Catalog) -> bytes:
    """The translations as gettext reads them, the same to the byte whenever it is done.

    A species without a name in the language has its botanical one.
    """
    file, catalogue, botanical = io.BytesIO(), copy.deepcopy(catalogue), botanical_names()
    for message in catalogue:
        if message.context == SPECIES and not translated(message):
            message.string = botanical[str(message.id)]
    catalogue.creation_date = catalogue.revision_date = dt.datetime(2000, 1, 1, tzinfo=dt.UTC)
    write_mo(file, catalogue)
    return file.getvalue()


def written(catalogue: Catalog) -> bytes:
    """The translations as a person reads them, in the order of the texts."""
    file = io.BytesIO()
    write_po(file, catalogue, sort_output=True, width=110, ignore_obsolete=True)
    return b"".join(line for line in file.getvalue().splitlines(keepends=True) if not line.startswith(UNSAID))


def main() -> None:
    """Write the template anew, take new texts into each language's catalogue, and compile it."""
    fresh = template()
    TEMPLATE.write_bytes(written(fresh))
    for language in languages():
        if language != ENGLISH:
            catalogue = catalogue_of(language)
            catalogue.update(fresh, no_fuzzy_matching=True)
            catalogue_file(language).write_bytes(written(catalogue))
            catalogue_file(language).with_suffix(".mo").write_bytes(compiled(catalogue))
            left = [message for message in catalogue if not translated(message)]
            species = sum(message.context == SPECIES for message in left)
            print(  # noqa: T201
                f"{language}: {len(catalogue)} texts, {len(left) - species} to translate; "
                f"{species} species by their botanical names"
            )


if __name__ == "__main__":
    main()
