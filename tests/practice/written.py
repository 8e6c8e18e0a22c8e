"""What the package tells of its dates beside those growers give, in a file it ships."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from importlib import resources
from pathlib import Path

import numpy as np

from season_engine.species.catalogue import load_catalogue
from season_engine.species.held import FILE, NEAR_DAYS, window_key
from tests.practice.ends import End, counted, windows_of
from tests.practice.mapping import Moment, Stage, Windows, answer_to, species_of

HEAD = """\
# How near the catalogue's usual dates come to those growers give (common practice, no source): an end is an
# opening or a closing in one climate, or the date of a stage. Where a row is of several windows, each has its
# ends. Written by `python -m tests.benchmarks.practice --write`; don't edit.
"""
Key = tuple[str, str, str]  # "window" or "stage", the species, and which


def shipped_file() -> Path:
    """Where it stands."""
    return Path(str(resources.files("season_engine.species") / FILE))


def practice_toml(ends: Iterable[End]) -> str:
    """The file, of all ends that have an error which counts."""
    found: dict[Key, list[End]] = {}
    for end in counted(ends):
        for key in _keys(end):
            found.setdefault(key, []).append(end)
    lines, table = [HEAD], ("", "")
    for kind, species, which in sorted(found, key=lambda key: (key[0] != "window", *key)):
        if (kind, species) != table:
            table = kind, species
            lines.append(f'\n[{kind}."{species}"]\n')
        lines.append(f'"{which}" = {{ {_figures(found[kind, species, which])} }}\n')
    return "".join(lines)


def _keys(end: End) -> Iterator[Key]:
    species = species_of(end.row)
    match answer_to(end.row):
        case Stage(marker):
            yield "stage", species, marker
        case Moment(job, name, _):
            yield "window", species, f"{job}, {name}"
        case Windows(job, names):
            for window in windows_of(load_catalogue().find(species), job, names):
                yield "window", species, window_key(window)


def _figures(ends: list[End]) -> str:
    off = np.array([end.off_days for end in ends])
    middle, eight_in_ten = np.quantile(off, [0.5, 0.8], method="inverted_cdf")
    figures = {
        "climates": len({end.row.climate for end in ends}),
        "ends": off.size,
        f"within_{NEAR_DAYS}_days": np.count_nonzero(off <= NEAR_DAYS),
        "middle_days": middle,
        "eight_in_ten_days": eight_in_ten,
    }
    return ", ".join(f"{name} = {int(value)}" for name, value in figures.items())
