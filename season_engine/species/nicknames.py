"""Short and foreign words for kinds of tree, and words of names that mean no tree alone: `nicknames.toml`."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Self

from pydantic import Field, model_validator

from season_engine.files.toml_faults import checked, wrong
from season_engine.files.toml_lines import TomlText, packaged
from season_engine.tables.known import Table


class NicknamesFile(Table):
    """The file says what each key means."""

    ordinary: frozenset[str]
    nicknames: dict[str, tuple[str, ...]] = Field(min_length=1)

    @model_validator(mode="after")
    def _each_of_one_kind(self) -> Self:
        seen: set[str] = set()
        for kind, words in self.nicknames.items():
            if not seen.isdisjoint(words):
                raise wrong("a nickname is of one kind only", at=("nicknames", kind))
            seen.update(words)
        return self


@cache
def nicknames() -> Mapping[str, str]:
    """By each nickname the words of the catalogue's names that it stands for."""
    return {word: kind for kind, words in _shipped().nicknames.items() for word in words}


def ordinary_words() -> frozenset[str]:
    """Words of species' names that are said of other things too."""
    return _shipped().ordinary


def nicknames_in(toml: TomlText) -> NicknamesFile:
    """What a file holds; raises InputErrors with all that is wrong in it."""
    return checked(toml, NicknamesFile)


@cache
def _shipped() -> NicknamesFile:
    return nicknames_in(packaged("species/nicknames.toml"))
