"""The files of the catalogue, and the names of species in them without reading them whole."""

from __future__ import annotations

import re
import tomllib
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING

from season_engine.errors import GrowerError
from season_engine.files.text import did_you_mean, listed
from season_engine.files.toml_lines import TomlText

if TYPE_CHECKING:  # the names are asked for by a shell, which waits
    from season_engine.species.schema import SharedSet

# Tables begin at the start of a line in our own files, which a test makes sure of.
_HEAD = re.compile(r"^(group|set) = .*$", re.MULTILINE)
_SPECIES = re.compile(r'^\[species\."[^"]+"\]\n(?:(?!\[).*\n?)*', re.MULTILINE)


@cache
def shipped(folder: str) -> tuple[TomlText, ...]:
    """The files of a folder of the package's catalogue: groups, or shared sets."""
    files = (resources.files("season_engine.species") / folder).iterdir()
    found = sorted((file for file in files if file.name.endswith(".toml")), key=lambda file: file.name)
    return tuple(TomlText(f"species/{folder}/{one.name}", one.read_text(encoding="utf-8")) for one in found)


def head_of(toml: TomlText) -> str:
    """The name of the group or set in one of our own files."""
    found = _HEAD.search(toml.text)
    if not found:
        raise toml.fault("this file says neither which group nor which set it is.")
    (name,) = tomllib.loads(found[0]).values()
    return str(name)


def species_in(toml: TomlText) -> dict[str, tuple[str, ...]]:
    """The species of one of our own files, each with its other names."""
    tables = tomllib.loads("\n".join(found[0] for found in _SPECIES.finditer(toml.text))).get("species", {})
    return {name: (*table.get("common", ()), *table.get("synonyms", ())) for name, table in tables.items()}


@cache
def shared_set(name: str) -> tuple[SharedSet, TomlText]:
    """The shared set of that name, and its file; raises GrowerError."""
    from season_engine.files.toml_faults import checked
    from season_engine.species.schema import SharedSet

    by_name = {head_of(toml): toml for toml in shipped("shared")}
    if name not in by_name:
        hint = did_you_mean(name, by_name) or f"The sets are {listed(sorted(by_name), 'and')}."
        raise GrowerError(f'there is no set "{name}".', hint=hint)
    return checked(by_name[name], SharedSet), by_name[name]
