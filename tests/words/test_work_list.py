"""What a mail says of the week's work: what presses with its chances, what doesn't in a line a job."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from season_engine.words.speech import speaking
from season_engine.words.work_list import (
    NO_HURRY,
    WAITS_IN_A_MAIL,
    WORK_AT_LEAST,
    WORK_AT_MOST,
    WorkLine,
    in_brief,
    without_hurry,
)

CALM = WorkLine(
    lead="Marram and Skua (Japanese black pine)",
    text="Needle work by Mon 10 Aug.",
    cells=(100, 100, 100, 100, 97),
    starts=("25 May", "1 Jun", "8 Jun", "15 Jun", "22 Jun"),
    hours="",
    few="Marram and Skua (Japanese black pine)",
    held="",
    waits=False,
    job="needle work",
    until="by Mon 10 Aug",
    whose="Marram and Skua",
    plain=True,
)
PRESSING = replace(CALM, cells=(93, 77, 49, 23, 8))


def test_what_any_week_will_do_for_is_one_line_a_job() -> None:
    groups = [CALM, replace(CALM, whose="The Groyne"), replace(CALM, job="wiring", until="by Tue 11 Aug")]
    with speaking("en"):
        assert without_hurry(groups) == [
            "Needle work by Mon 10 Aug: Marram and Skua; The Groyne.",
            "Wiring by Tue 11 Aug: Marram and Skua.",
        ]
        assert in_brief(groups) == []
        many = [replace(CALM, whose=name) for name in ("Ember", "Rust", "Tally", "Keel", "Salt")]
        assert without_hurry(many) == ["Needle work by Mon 10 Aug: Ember; Rust; Tally; two more kinds."]


def test_what_presses_is_told_with_its_chances() -> None:
    with speaking("en"):
        assert in_brief([CALM, PRESSING]) == [f"{PRESSING.few}. {PRESSING.text} 93, 77, 49, 23, 8."]
        places = range(WORK_AT_MOST + 2)
        many = [replace(PRESSING, job=f"job {place}", few=f"tree {place}") for place in places]
        assert in_brief(many)[-1] == "And two more jobs."
        assert in_brief(many, harms=1) == in_brief(many)
        assert len(in_brief(many, harms=2)) == WORK_AT_MOST  # a line of harm takes the place of one of work
        assert len(in_brief(many, harms=9)) == WORK_AT_LEAST + 1
        assert len(in_brief([replace(one, waits=True) for one in many])) == WAITS_IN_A_MAIL + 1


def test_the_same_job_with_the_same_chances_is_one_line_of_several_kinds() -> None:
    others = [replace(PRESSING, few=f"{name} (red pine)", whose=name) for name in ("Lantern", "Ember")]
    with speaking("en"):
        (told,) = in_brief([PRESSING, *others])
    assert told == "Marram and Skua; Lantern; Ember. Needle work by Mon 10 Aug. 93, 77, 49, 23, 8."


def test_jobs_with_the_same_chances_on_the_same_trees_are_one_line() -> None:
    held = replace(PRESSING, held="Needs cover afterwards.")
    pruning = replace(held, job="structural pruning", until="by Sun 2 Aug")
    lantern = [replace(one, few="Lantern (red pine)", whose="Lantern") for one in (held, pruning)]
    jobs = "Needle work by Mon 10 Aug and structural pruning by Sun 2 Aug. Needs cover afterwards."
    with speaking("en"):
        assert in_brief([held, pruning]) == [f"{CALM.few}. {jobs} 93, 77, 49, 23, 8."]
        assert in_brief([held, *lantern, pruning]) == [f"Marram and Skua; Lantern. {jobs} 93, 77, 49, 23, 8."]
        assert len(in_brief([held, replace(pruning, held="")])) == 2  # asked for something else
        assert len(in_brief([held, lantern[1]])) == 2  # another tree


def test_what_waits_is_told_by_its_day() -> None:
    waiting = replace(PRESSING, job="repotting", until="best about Mon 23 Mar", waits=True)
    other = replace(waiting, job="pruning after bloom", cells=(47, 71, 84, 90, 85))
    with speaking("en"):
        told = in_brief([waiting, other])
    assert told == [f"{CALM.few}. Repotting and pruning after bloom best about Mon 23 Mar."]


def test_what_waits_or_has_a_remark_is_never_put_off() -> None:
    for line in (replace(CALM, waits=True), replace(CALM, plain=False)):
        assert not line.no_hurry


@given(st.lists(st.tuples(*[st.integers(0, 100)] * 5), max_size=3))
def test_each_job_is_told_once(cells: list[tuple[int, ...]]) -> None:
    lines = [
        replace(CALM, cells=of, job=f"job {place}", few=f"tree {place}") for place, of in enumerate(cells)
    ]
    with speaking("en"):
        assert len(in_brief(lines)) + len(without_hurry(lines)) == len(lines)
    assert [line.no_hurry for line in lines] == [min(of) >= NO_HURRY for of in cells]
