"""The table of jobs: which there are, what is known of each, and how a fault in it is told."""

from __future__ import annotations

from typing import get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from season_engine.errors import GrowerError, InputErrors
from season_engine.facts import NO_TEXT
from season_engine.files.toml_lines import TomlText
from season_engine.species.catalogue import load_catalogue
from season_engine.species.jobs import JOBS, CautionKind, job_named, jobs_in

IN_ORDER = (
    "repotting", "sectional-repotting", "slip-potting", "decandling", "candle-shortening", "cut-back",
    "needle-work", "winter-tidy", "dormant-spray", "bud-thinning", "pinching", "structural-pruning",
    "trimming", "after-bloom-pruning", "defoliation", "wiring", "wire-check", "deadwood", "feeding", "shade",
    "winter-shelter", "collecting", "air-layering", "cuttings", "grafting",
)  # fmt: skip
HEAVY = {
    "repotting", "sectional-repotting", "decandling", "defoliation", "collecting", "air-layering", "grafting",
}  # fmt: skip
MEDIUM = {
    "candle-shortening", "cut-back", "needle-work", "bud-thinning", "structural-pruning",
    "after-bloom-pruning", "deadwood",
}  # fmt: skip
# What costs a weak or a sick tree no strength: common practice, no source.
HELPS = {"slip-potting", "winter-tidy", "dormant-spray", "wire-check", "feeding", "shade", "winter-shelter"}
SURE = HEAVY - {"air-layering"} | {"dormant-spray", "structural-pruning"}
ROUND = {
    "slip-potting", "dormant-spray", "bud-thinning", "pinching", "trimming", "wiring", "wire-check",
    "deadwood", "feeding", "shade", "winter-shelter", "cuttings",
}  # fmt: skip
NEW_TREES = {"collecting", "air-layering", "cuttings", "grafting"}
UNCUT = {"slip-potting", "dormant-spray", "wiring", "wire-check", "feeding", "shade", "winter-shelter"}
JOB = """\
# made up
[job.watering]
words = "watering"
floor = 0.5
"""


def of(**wanted: object) -> set[str]:
    return {
        name for name, job in JOBS.items() if all(getattr(job, key) == value for key, value in wanted.items())
    }


def faults(more: str) -> list[tuple[int | None, str | None, str]]:
    with pytest.raises(InputErrors) as caught:
        jobs_in(TomlText("species/jobs.toml", JOB + more))
    assert {fault.file for fault in caught.value.errors} == {"species/jobs.toml"}
    return [(fault.line, fault.field, fault.problem) for fault in caught.value.errors]


def test_the_jobs_and_their_order() -> None:
    assert tuple(JOBS) == IN_ORDER


def test_what_is_known_of_each() -> None:
    assert of(heavy=True) == HEAVY
    assert of(helps=True) == HELPS
    assert of(amount="medium") == MEDIUM
    assert of(roots=True) == {"repotting", "sectional-repotting", "collecting"}
    assert (of(floor=0.8), of(floor=0.5)) == (SURE, set(JOBS) - SURE)
    assert of(floor_sheltered=0.5) == {"repotting", "sectional-repotting"}
    assert of(floor_sheltered=None) == set(JOBS) - {"repotting", "sectional-repotting"}
    assert of(rank="round") == ROUND and of(rank="bench") == set(JOBS) - ROUND
    assert of(new_tree=True) == NEW_TREES
    assert of(told_in_full=True) == set(JOBS) - ROUND - NEW_TREES
    assert of(cuts=False) == UNCUT
    assert of(out_of_pot=True) == {"repotting", "sectional-repotting", "slip-potting", "collecting"}
    assert of(origins=()) == set(JOBS) - {"sectional-repotting"}
    assert of(note=NO_TEXT) == set(JOBS) - {"needle-work", "pinching", "dormant-spray"}
    assert of(noted_as=()) == {"cut-back"}
    assert of(varies=True) == {"structural-pruning", "cut-back", "after-bloom-pruning"}


def test_a_tree_that_can_go_under_cover_wants_less() -> None:
    assert JOBS["repotting"].floor_for(sheltered=True) == 0.5
    assert JOBS["repotting"].floor_for(sheltered=False) == 0.8
    assert JOBS["decandling"].floor_for(sheltered=True) == 0.8


def test_no_two_jobs_are_said_or_noted_alike() -> None:
    words = [job.words for job in JOBS.values()]
    noted = [name for name in JOBS] + [phrase for job in JOBS.values() for phrase in job.noted_as]
    assert len(set(words)) == len(words) and len(set(noted)) == len(noted)


def test_a_table_is_read_with_what_goes_without_saying() -> None:
    (job,) = jobs_in(TomlText("jobs.toml", JOB)).values()
    assert (job.words, job.floor, job.rank, job.heavy, job.cuts) == ("watering", 0.5, "bench", False, True)
    assert job.out_of_pot is False


@pytest.mark.parametrize(
    ("line", "field", "told"),
    [
        ("haevy = true", "job.watering.haevy", '"haevy" is not a key of [job.watering].'),
        ('cautions = ["ladders"]', "job.watering.cautions", 'cautions must be "wild trees", "lifting"'),
        ('rank = "daily"', "job.watering.rank", 'rank must be "bench" or "round"; got "daily".'),
        ('origins = ["bought"]', "job.watering.origins", "origins must be "),
        ("floor_sheltered = 1.5", "job.watering.floor_sheltered", "floor_sheltered must lie between"),
        ('note = "Not below 5 degC."', "job.watering.note", 'note says "5 degC" outside braces'),
        ("noted_as = [3]", "job.watering.noted_as", "noted_as must be text"),
    ],
)
def test_a_fault_names_the_file_the_line_and_the_key(line: str, field: str, told: str) -> None:
    ((at, named, problem),) = faults(line + "\n")
    assert (at, named) == (5, field)
    assert problem.startswith(told)


def test_a_key_that_is_missing() -> None:
    (found,) = faults("\n[job.misting]\nwords = 'misting'\n")
    assert found == (6, "job.misting.floor", '"floor" is missing.')


def test_a_caution_is_one_of_those_that_are_told() -> None:
    assert {kind for job in JOBS.values() for kind in job.cautions} == set(get_args(CautionKind)) - {
        "poison", "skin", "heat",
    }  # fmt: skip


@pytest.mark.parametrize("typed", ["needle-work", "Needle work", " needle_work ", "NEEDLE-WORK"])
def test_a_job_by_its_name(typed: str) -> None:
    assert job_named(typed) == "needle-work"


def test_an_unknown_job_is_told_with_what_may_be_meant() -> None:
    with pytest.raises(GrowerError) as caught:
        job_named("repoting")
    assert caught.value.problem == 'There is no job "repoting".'
    assert "repotting" in caught.value.hint and caught.value.field == "job"


@pytest.mark.parametrize(
    ("typed", "species", "job"),
    [
        ("thinning", "Pinus radiata", "structural-pruning"),
        ("pruning", "Pinus radiata", "structural-pruning"),
        ("pruning", "Acer palmatum", "structural-pruning"),
        ("needle plucking", "Pinus thunbergii", "needle-work"),
        ("cut back", "Pinus sylvestris", "cut-back"),
        ("cutting-back", "Acer palmatum", "structural-pruning"),
        ("cut-back", "Acer palmatum", "structural-pruning"),
        ("bud thinning", "Pinus thunbergii", "bud-thinning"),
        ("repotted", "Acer palmatum", "repotting"),
    ],
)
def test_a_plain_word_means_the_job_that_is_done_on_the_species(typed: str, species: str, job: str) -> None:
    assert job_named(typed, load_catalogue().find(species).jobs) == job


@pytest.mark.parametrize("done_here", [None, load_catalogue().find("Prunus x yedoensis").jobs])
def test_a_word_for_two_jobs_asks_which(done_here: tuple[str, ...] | None) -> None:
    with pytest.raises(GrowerError) as caught:
        job_named("pruning", done_here)
    assert caught.value.problem == '"pruning" could be "structural-pruning" or "after-bloom-pruning".'
    assert caught.value.hint == "Say which."


@given(
    typed=st.sampled_from([*JOBS, "thinning", "needle-plucking", "prune", "thin"]),
    cut=st.integers(0, 9),
    species=st.sampled_from([None, "Pinus thunbergii", "Prunus mume"]),
)
@settings(deadline=None)
def test_every_job_that_is_suggested_is_understood(typed: str, cut: int, species: str | None) -> None:
    done_here = load_catalogue().find(species).jobs if species else None
    try:
        job_named(typed[:cut] + typed[cut + 1 :], done_here)
    except GrowerError as unknown:
        if unknown.hint.startswith("Did you mean"):
            assert job_named(unknown.hint.split('"')[1], done_here) in JOBS


def test_a_word_is_suggested_for_the_species_it_is_plain_on() -> None:
    with pytest.raises(GrowerError, match='There is no job "prune"') as caught:
        job_named("prune", load_catalogue().find("Pinus thunbergii").jobs)
    assert caught.value.hint == 'Did you mean "pruned"?'
