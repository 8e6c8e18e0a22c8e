"""Usual dates lie near those that growers give, in five climates and by a mild southern sea.

Common practice, no source: the table is written from memory, give or take two weeks (`tests/data/practice`).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable

import pytest

from tests.practice.ends import End, climate_of, counted, job_of, practice_ends
from tests.practice.south import southern_winters
from tests.practice.spread import spreads

SURE = 55  # certainty, in 100, of rows that are held one by one
FAR_DAYS = 21
MANY_ENDS = 6
# Ends of rows that sure, by species, job, climate and end, that are further off, and why.
EXCEPTIONS = {
    ("Pinus parviflora", "needle work", climate, "closes"): (
        "growers are done with white pines weeks before lasting cold, and with black pines not"
    )
    for climate in ("NAG", "SAP")
}

# Numbers that claim to be nearer than they are, by file and marker, and why.
NARROW = {
    ("species/groups/single_flush_pine.toml", "needles_ripe"): (
        "the season begins in October and growers of cold places in September, so it errs to one side"
    )
}


def key(end: End) -> tuple[str, str, str, str]:
    return end.row.species, end.row.job, end.row.climate, end.which


def far(end: End) -> bool:
    return end.error_days is None or end.off_days > FAR_DAYS


def held_ends() -> list[End]:
    return [end for end in practice_ends() if end.state in ("counted", "not here", "unanswered")]


def test_every_end_that_growers_are_sure_of_is_near_but_for_those_named() -> None:
    sure = [end for end in held_ends() if end.row.certainty >= SURE]
    assert len(sure) > 300
    assert {key(end) for end in sure if far(end)} == set(EXCEPTIONS)


def test_every_end_by_the_mild_southern_sea_is_near() -> None:
    south = [end for end in held_ends() if end.row.climate == "SOUTH"]
    assert len(south) == 34
    assert [key(end) for end in south if far(end)] == []


def test_large_pines_by_the_mild_southern_sea_are_thinned_all_july_and_repotted_after_in_every_winter() -> (
    None
):
    assert [winter for winter in southern_winters() if not winter.as_practised] == []


@pytest.mark.parametrize(("of", "share"), [(job_of, 0.85), (climate_of, 0.88)])
def test_of_each_job_and_climate_nearly_all_ends_are_near(of: Callable[[End], str], share: float) -> None:
    by = defaultdict(list)
    for end in held_ends():
        by[of(end)].append(not far(end))
    assert len(by) > 5
    assert {
        name: sum(near) / len(near)
        for name, near in by.items()
        if len(near) >= MANY_ENDS and sum(near) < share * len(near)
    } == {}


def test_spring_repotting_is_out_by_less_than_a_week_in_the_middle_and_not_one_sided() -> None:
    errors = sorted(end.error_days for end in counted(held_ends()) if job_of(end) == "repotting, spring")
    assert len(errors) > 200
    assert sorted(map(abs, errors))[len(errors) // 2] < 7
    assert abs(errors[len(errors) // 2]) < 3


def test_decandling_is_within_a_fortnight_where_growers_agree_on_it() -> None:
    ends = [end for end in held_ends() if end.row.job == "decandling" and end.row.climate in ("TOK", "NAG")]
    assert len(ends) == 12
    assert [key(end) for end in ends if end.error_days is None or end.off_days > 14] == []


def test_no_rule_from_practice_claims_to_be_much_nearer_than_the_table_finds_it() -> None:
    found = list(spreads(practice_ends()))
    assert len(found) > 50
    assert {(one.file, one.marker) for one in found if one.claimed_days < 0.75 * one.out_days} == set(NARROW)
