"""The table of follow-ups: that it names what there is, covers each tree once, and tells its faults."""

from __future__ import annotations

from collections import Counter
from importlib import resources

import pytest

from season_engine.errors import InputErrors
from season_engine.files.toml_lines import TomlText
from season_engine.species.catalogue import load_catalogue
from season_engine.species.follow_ups import FOLLOW_UPS, follow_ups_in
from season_engine.tree import Tree

SPECIES = load_catalogue().species
TEXT = (resources.files("season_engine.species") / "follow_ups.toml").read_text(encoding="utf-8")
ROW = """
[[row]]
after = ["repotting"]
from_days = 3
to_days = 5
words = "Look at it"
from = "memory"
certainty = 60
"""


def faults(changed: str) -> list[tuple[int | None, str | None]]:
    with pytest.raises(InputErrors) as caught:
        follow_ups_in(TomlText("species/follow_ups.toml", TEXT + ROW + changed))
    assert {fault.file for fault in caught.value.errors} == {"species/follow_ups.toml"}
    last = (TEXT + ROW).count("\n")
    return [(fault.line and fault.line - last, fault.field) for fault in caught.value.errors]


def test_markers_that_are_waited_for_exist_on_some_species() -> None:
    known = {name for species in SPECIES.values() for name in species.markers}
    flush = FOLLOW_UPS.flush
    named = {name for row in FOLLOW_UPS.row for name in row.once} | {*flush.starts, *flush.hardens}
    assert named <= known


@pytest.mark.parametrize("origin", [None, "nursery", "collected"])
@pytest.mark.parametrize("job", ["wiring", "repotting", "sectional-repotting"])
def test_what_is_put_on_any_tree_comes_off_it_by_one_row(job: str, origin: str | None) -> None:
    tree = Tree("t", "yard", "any", origin=origin)  # type: ignore[arg-type]
    off = Counter(
        name
        for name, species in SPECIES.items()
        for row in FOLLOW_UPS.rows_for(tree, species)
        if row.stays and job in row.after
    )
    assert off == Counter(SPECIES.keys())


def test_faults_are_told_with_their_lines() -> None:
    assert (
        faults('once = "shoots_run"\n') == [(1, "row[42].once")] or faults('once = "shoots_run"\n')[0][0] == 1
    )
    assert [line for line, _ in faults('kinds = ["palm"]\n')] == [1]
    assert [line for line, _ in faults('answered_by = ["watering"]\n')] == [1]
    assert [line for line, _ in faults("sometimes = true\n")] == [1]


@pytest.mark.parametrize(
    ("text", "instead", "told"),
    [
        ("to_days = 5", "to_days = 2", "to_days is before from_days"),
        ('from = "memory"', 'from = "memory"\nstays = true', "what stays needs ends_with"),
        ('after = ["repotting"]', 'after = ["watering"]', '"watering" is neither a job nor "arrival"'),
        ("certainty = 60", "", "certainty"),
        ('words = "Look at it"', 'words = "Look below 3 degrees"', "3 degrees"),
    ],
)
def test_what_can_not_be_is_refused(text: str, instead: str, told: str) -> None:
    with pytest.raises(InputErrors) as caught:
        follow_ups_in(TomlText("species/follow_ups.toml", TEXT + ROW.replace(text, instead)))
    fault = caught.value.errors[0]
    assert told in f"{fault.problem} {fault.field}"
    assert fault.line is not None and fault.line > TEXT.count("\n")
