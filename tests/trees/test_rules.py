"""The rows of what may follow what and of what is due: each is for some tree, and says what it means."""

from __future__ import annotations

from itertools import product
from typing import get_args

import pytest

from season_engine.errors import InputErrors
from season_engine.files.toml_faults import checked
from season_engine.files.toml_lines import TomlText
from season_engine.species.catalogue import load_catalogue
from season_engine.species.jobs import JOBS
from season_engine.species.kinds import KINDS
from season_engine.species.needs import stage_needs, state_by_stage
from season_engine.species.spacing import ALL_DONE, OfTrees, Spacing, spacing
from season_engine.tree import Stage, Vigour

SPECIES = list(load_catalogue().species.values())
ROWS: list[OfTrees] = [*spacing().rule, *spacing().most, *stage_needs()]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: getattr(row, "name", type(row).__name__))
def test_every_row_is_for_some_tree(row: OfTrees) -> None:
    trees = product(SPECIES, get_args(Stage), get_args(Vigour))
    assert any(row.is_for(*tree) for tree in trees)


def test_every_kind_has_species_of_the_catalogue() -> None:
    groups, names = {one.group for one in SPECIES}, {one.name for one in SPECIES}
    for kind in KINDS.values():
        assert set(kind.groups) <= groups and set(kind.species) <= names


def test_whatever_is_done_is_spoken_of_or_bars_nothing() -> None:
    spoken = {done for rule in spacing().rule for done in rule.after}
    assert set(ALL_DONE) - spoken == {"partial defoliation", "trimming", "pinching"}, "these bar nothing"


def test_every_heavy_job_of_a_cycle_is_counted_for_every_tree() -> None:
    for tree in product(SPECIES, get_args(Stage), get_args(Vigour)):
        assert any(most.is_for(*tree) for most in spacing().most)


@pytest.mark.parametrize("kind", SPECIES, ids=lambda kind: kind.name)
def test_every_kind_that_is_repotted_says_how_often_and_an_older_one_no_oftener(kind) -> None:
    every = kind.repotted_every
    for younger, older in zip(every.all_stages, every.all_stages[1:], strict=False):
        assert younger.least <= older.least and younger.most <= older.most
    for stage in get_args(Stage):
        small, large = every.years(stage, "small"), every.years(stage, "large")
        assert 1 <= small.least <= large.least and small.most <= large.most


def test_years_alone_are_those_of_every_stage() -> None:
    toml = '[species."Pinus thunbergii".repotted_every]\nyears = [4, 6]\nfrom = "practice"\n'
    from season_engine.species.catalogue import Catalogue

    every = Catalogue([TomlText("catalogue.toml", toml)]).find("Pinus thunbergii").repotted_every
    assert every is not None and set(every.all_stages) == {(4, 6)}


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (
            'after = ["root work"]\nbefore = ["decandling"]\nweeks = 4\ndays = 3\ncertainty = 60',
            "weeks, months or days",
        ),
        (
            'after = ["root work"]\nbefore = ["decandling"]\non = ["oaks"]\ncertainty = 60',
            '"oaks" is no kind',
        ),
        ('after = ["repoting"]\nbefore = ["decandling"]\ncertainty = 60', "repoting"),
        ('after = ["root work"]\nbefore = ["decandling"]', "certainty"),
    ],
)
def test_a_row_that_is_wrong_is_named(row: str, said: str) -> None:
    toml = f'[[rule]]\nname = "mine"\n{row}\n[[most]]\njobs = 1\ncertainty = 60\n'
    with pytest.raises(InputErrors, match=said):
        checked(TomlText("spacing.toml", toml), Spacing)


@pytest.mark.parametrize(
    ("job", "species", "stage", "vigour", "state"),
    [
        ("decandling", "Pinus thunbergii", "young", "strong", "leave"),
        ("decandling", "Pinus thunbergii", "training", "strong", "may"),
        ("decandling", "Pinus thunbergii", "refined", "normal", "due"),
        ("decandling", "Pinus thunbergii", "old", "normal", "leave"),
        ("decandling", "Pinus thunbergii", "old", "strong", "may"),
        ("needle-work", "Pinus thunbergii", "training", "normal", "due"),
        ("structural-pruning", "Pinus radiata", "training", "normal", "due"),
        ("structural-pruning", "Acer palmatum", "training", "normal", "may"),
        ("defoliation", "Acer buergerianum", "young", "strong", "leave"),
        ("pinching", "Acer palmatum", "refined", "normal", "due"),
        ("after-bloom-pruning", "Rhododendron indicum", "training", "normal", "due"),
    ],
)
def test_what_is_due_at_which_stage(job: str, species: str, stage: Stage, vigour: Vigour, state: str) -> None:
    """Common practice, no source."""
    assert job in JOBS
    assert state_by_stage(job, load_catalogue().find(species), stage, vigour) == state
