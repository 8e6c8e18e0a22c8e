"""What a grower's own files and choices change about a species of the package."""

from __future__ import annotations

from collections.abc import Container
from dataclasses import dataclass

from season_engine.species.catalogue import Species
from season_engine.species.schema import Window


@dataclass(frozen=True, slots=True)
class OwnRule:
    """A rule for a date that stands in a file of the grower's own."""

    marker: str
    file: str
    line: int | None  # where it stands in place of another; None: it is new


@dataclass(frozen=True, slots=True)
class OwnChanges:
    """All that differs from the package's species; windows by job and name."""

    new: bool = False  # the package has no such species
    rules: tuple[OwnRule, ...] = ()
    windows_added: tuple[str, ...] = ()
    windows_changed: tuple[str, ...] = ()
    windows_left_out: tuple[str, ...] = ()
    other_schools: tuple[str, ...] = ()  # windows of schools that the grower doesn't follow


def own_changes(mine: Species, theirs: Species | None, own_files: Container[str]) -> OwnChanges:
    """What makes the grower's species another than the package's, which may lack it."""
    rules = tuple(
        OwnRule(name, file, mine.own[name].line if name in mine.own else None)
        for name, file in mine.files.items()
        if file in own_files
    )
    schools = tuple(map(_key, mine.set_aside))
    if theirs is None:
        return OwnChanges(new=True, rules=rules, other_schools=schools)
    before = {_key(one): one for one in theirs.windows}
    now = {_key(one): one for one in (*mine.windows, *mine.set_aside)}
    return OwnChanges(
        rules=rules,
        windows_added=tuple(key for key in now if key not in before),
        windows_changed=tuple(key for key, one in now.items() if key in before and before[key] != one),
        windows_left_out=tuple(key for key in before if key not in now),
        other_schools=schools,
    )


def _key(window: Window) -> str:
    return f"{window.job}, {window.name}"
