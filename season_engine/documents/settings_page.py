"""The page of all that may stand in a grower's files: key, what it may hold, what counts without it.

Run ``python -m season_engine.documents.settings_page`` to write it anew.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

from pydantic import BaseModel, TypeAdapter

from season_engine.files.whole import write_whole
from season_engine.markers.base import Marker
from season_engine.markers.kinds.softened_forcings import ForcingRule
from season_engine.markers.registry import kinds
from season_engine.species import schema
from season_engine.species.spacing import Rule
from season_engine.workspace import journal, logger_settings, mail_settings, settings, trees

Schema = Mapping[str, Any]

PAGE = Path(__file__).parents[2] / "docs" / "settings.md"
OPENING = """\
# Settings

What may stand in a yard's files, written by `make settings` from what the program checks them by. Anything
else is told as a fault, with its line. How to begin: [set up a yard](guide/set-up.md).
"""
HEADING = "| Key | May be | Without it | What it is |\n| --- | --- | --- | --- |"
COLUMNS = "| Column | What it holds |\n| --- | --- |"
SEASON = """\
## season.toml

Dates are written 2026-03-15. Lines that begin with `#` are notes.
"""
TREES = "## trees.csv\n\nOne tree a line.\n"
JOURNAL = (
    "## journal.csv\n\nOne thing seen or done a line; [the journal](guide/journal.md) writes them for you.\n"
)
CATALOGUE = """\
## catalogue.toml

Species, markers and windows of your own, over those that come with the program:
[how](guide/species.md), and [how ours are written](catalogue.md).
"""
MARKERS = """\
### A marker

`[species."...".marker.NAME]`, or `[marker.NAME]` in a group of your own. Its `kind` says what is counted. All
kinds have
"""
KIND = "| `kind` | one of those below | must be there | What is counted. |"
TABLES: tuple[tuple[str, str, type[BaseModel]], ...] = (
    ("At the top", "Before all tables.", settings.Settings),
    ("A site", "`[[site]]`, once for each yard.", settings.SiteSettings),
    ("A logger", "`[site.weather]`, below its site.", settings.LoggerWeather),
    (
        "Columns of a logger's file",
        "`columns = { ... }` under `[site.weather]`.",
        logger_settings.LoggerColumns,
    ),
    ("A public station", "`[site.weather]`, below its site.", settings.StationWeather),
    ("Invented weather", "`[site.weather]`, below its site.", settings.DemoWeather),
    ("A forecast from a service", "`[site.forecast]`, below its site.", settings.ServiceForecast),
    ("A forecast from a file", "`[site.forecast]`, below its site.", settings.FileForecast),
    ("The report", "`[report]`", settings.ReportSettings),
    ("Mail", "`[email]`", mail_settings.EmailSettings),
    ("A reader of some sites", "`[[email.recipient]]`, below the mail.", mail_settings.RecipientSettings),
    ("A folder", "`[delivery]`", mail_settings.DeliverySettings),
    ("A school", "`[[school]]`, once for each.", settings.SchoolSettings),
)
OWN: tuple[tuple[str, str, type[BaseModel]], ...] = (
    ("The file", "Before all tables.", schema.CatalogueFile),
    ("A species", '`[species."..."]`', schema.SpeciesTable),
    ("A window", '`[[species."...".window]]`, or `[[window]]` in a group of your own.', schema.Window),
    ("Cold afterwards", '`[[species."...".window.hazard]]`, below its window.', schema.ColdHazard),
    ("Heat afterwards", '`[[species."...".window.hazard]]`, below its window.', schema.HeatHazard),
    ("A short season", '`[[species."...".window.hazard]]`, below its window.', schema.ShortSeason),
    ("A root ball in parts", '`[[species."...".window.sections]]`, below its window.', schema.Sections),
    ("Poison and sap", '`[species."...".poison]` and `[species."...".skin]`', schema.Harm),
    ("Repotting", '`[species."...".repotted_every]`', schema.Repotted),
    ("Spacing", "`[[spacing]]`: what keeps what away.", Rule),
    ("One of several rules", "In the list `rules` of a marker of the kind `softened_forcings`.", ForcingRule),
)


def page() -> str:
    """The whole page, in Markdown and English."""
    parts = [OPENING, SEASON, *_tables(TABLES), TREES, _columns(trees.COLUMNS, trees.REQUIRED)]
    parts += [JOURNAL, _columns(journal.WRITTEN, journal.REQUIRED), CATALOGUE, *_tables(OWN), *_markers()]
    return "\n".join(parts)


def _tables(tables: Iterable[tuple[str, str, type[BaseModel]]]) -> Iterator[str]:
    for name, where, model in tables:
        yield f"### {name}\n\n{where}\n\n{HEADING}\n{_lines(row for _, row in keyed(model))}"


def _markers() -> Iterator[str]:
    any_kind = next(iter(kinds().values()))
    shared = [KIND, *(row for field, row in keyed(any_kind) if field in set(Marker.model_fields) - {"kind"})]
    yield f"{MARKERS}\n{HEADING}\n{_lines(shared)}"
    for name, kind in kinds().items():
        own = [row for field, row in keyed(kind) if field not in Marker.model_fields]
        told = " ".join((kind.__doc__ or "").split("\n\n")[0].split())
        yield f'#### `kind = "{name}"`\n\n{told}\n' + (f"\n{HEADING}\n{_lines(own)}" if own else "")


def keyed(model: type[BaseModel]) -> Iterator[tuple[str, str]]:
    """The name in the code of each key of a model, with its line of the table; what must be there first."""
    found = TypeAdapter(model).json_schema()
    required = found.get("required", ())
    for key, value in sorted(found["properties"].items(), key=lambda pair: pair[0] not in required):
        without = "must be there" if key in required else _default(value)
        name = next((name for name, field in model.model_fields.items() if field.alias == key), key)
        told = model.model_fields[name].description or ""
        yield name, _row(f"`{key}`", allowed(value, found.get("$defs", {})), without, told)


def allowed(value: Schema, tables: Schema) -> str:
    """What may stand for a value, in words."""
    if "$ref" in value:
        return allowed(tables[value["$ref"].rpartition("/")[2]], tables)
    if either := value.get("anyOf") or value.get("oneOf"):
        told = (allowed(one, tables) for one in either if one.get("type") != "null")
        return " or ".join(dict.fromkeys(told))
    if choices := value.get("enum") or ([value["const"]] if "const" in value else []):
        return ", ".join(f'`"{one}"`' for one in choices)
    match value.get("type"):
        case "array":
            return _list(value, tables)
        case "number" | "integer" as kind:
            return _number(kind, value)
        case "boolean":
            return "`true`, `false`"
        case "object":
            return "a table"
    return "a day" if value.get("format") == "date" else "a text"


def _list(value: Schema, tables: Schema) -> str:
    if "prefixItems" in value:
        first = value["prefixItems"][0]
        return "days" if first.get("format") == "date" else f"{len(value['prefixItems'])} numbers"
    items = allowed(value["items"], tables)
    return {"a table": "tables", "a text": "texts"}.get(items, f"a list of {items}")


def _number(kind: str, value: Schema) -> str:
    least, most = value.get("minimum"), value.get("maximum")
    above, below = value.get("exclusiveMinimum"), value.get("exclusiveMaximum")
    low = f"from {least:g}" if least is not None else f"above {above:g}" if above is not None else ""
    high = f"to {most:g}" if most is not None else f"below {below:g}" if below is not None else ""
    return " ".join(filter(None, ("a whole number" if kind == "integer" else "a number", low, high)))


def _default(value: Schema) -> str:
    default = value.get("default")
    if isinstance(default, dict | list) or default in (None, ""):
        return ""
    if isinstance(default, bool):
        return f"`{str(default).lower()}`"
    return f"`{default:g}`" if isinstance(default, float) else f"`{default}`"


def _columns(written: Mapping[str, str], required: Iterable[str]) -> str:
    lines = (
        _row(f"`{name}`", told + " Must be there." * (name in required)) for name, told in written.items()
    )
    return f"{COLUMNS}\n{_lines(lines)}"


def _lines(lines: Iterable[str]) -> str:
    return "\n".join(lines) + "\n"


def _row(*cells: str) -> str:
    return f"| {' | '.join(cells)} |"


if __name__ == "__main__":
    write_whole(PAGE, page())
