"""Why a job on a tree is due, may be done or is left: each reason has words, and a day where it has one."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import get_args

import pytest

from season_engine.species.schema import Years
from season_engine.trees.need_why import (
    Barred,
    BySigns,
    ByStage,
    ByYears,
    InParts,
    NeedWhy,
    NoDateKnown,
    OldAndUnknown,
    Part,
    Sick,
    ToRescue,
    Weak,
    WouldBar,
)
from season_engine.trees.programme import PartYear, Programme
from season_engine.trees.spacing import Bar
from season_engine.words.need import need_text
from season_engine.words.today import today_why, today_why_brief

ON = dt.date(2026, 4, 11)
LATER = dt.date(2027, 2, 3)
PRUNED = Bar("pruned", "structural-pruning", ON, LATER)
THIRDS = Programme(
    3,
    (PartYear(1, dt.date(2024, 3, 4), True),),
    (PartYear(2, LATER, False), PartYear(3, LATER, False), PartYear(4, LATER, False, core=True)),
)

WHY: list[tuple[NeedWhy, str]] = [
    (
        ToRescue(frozenset({"sour smell"})),
        "Its roots are dying (its roots smell sour): that can't wait for another year.",
    ),
    (Sick(ON), "It has been ill since 11 Apr 2026: nothing but what helps it until it is well."),
    (Weak(), "This tree is marked weak; let it gain strength first."),
    (Barred(PRUNED), "It had structural pruning on 11 Apr 2026. Not before 3 Feb 2027."),
    (
        Barred(replace(PRUNED, growth="hard flush")),
        "It had structural pruning on 11 Apr 2026. Not before 3 Feb 2027, when a flush of growth has "
        "hardened since.",
    ),
    (
        Barred(replace(PRUNED, growth="hard flush", until=None)),
        "It had structural pruning on 11 Apr 2026. Not before a flush of growth has hardened since.",
    ),
    (
        Barred(replace(PRUNED, good_seasons=2, until=None)),
        "It had structural pruning on 11 Apr 2026. Not before two good years of it: the last one noted was "
        "bad.",
    ),
    (
        Barred(replace(PRUNED, rule="heavy-work-a-cycle")),
        "It had structural pruning on 11 Apr 2026. That is all the heavy work it bears before 3 Feb 2027.",
    ),
    (
        Barred(replace(PRUNED, rule="once-a-year")),
        "It had structural pruning on 11 Apr 2026. Once a year is enough: again from 3 Feb 2027 on.",
    ),
    (Barred(replace(PRUNED, job="arrival")), "It came on 11 Apr 2026. Not before 3 Feb 2027."),
    (Barred(replace(PRUNED, job="illness")), "It was well again on 11 Apr 2026. Not before 3 Feb 2027."),
    (
        ByYears(dt.date(2024, 7, 20), Years(3, 5), "leave"),
        "Its roots were last worked in July 2024, and such a tree is repotted every three to five years: not "
        "due yet, unless water hardly drains.",
    ),
    (
        ByYears(dt.date(2022, 7, 20), Years(3, 5), "may"),
        "Its roots were last worked in July 2022, and such a tree is repotted every three to five years: it "
        "may be, and is due where water drains slowly or roots lift it.",
    ),
    (
        ByYears(dt.date(2020, 7, 20), Years(4, 4), "due"),
        "Its roots were last worked in July 2020, and such a tree is repotted every four years: it is due.",
    ),
    (
        BySigns(frozenset({"roots lift", "drains slowly"}), ON),
        "It is due whatever the years say: water drains slowly and roots lift it out of its pot.",
    ),
    (NoDateKnown(), "When it was repotted last isn't noted: it may be, if roots fill its pot."),
    (
        OldAndUnknown(),
        "An old conifer, and when it was repotted last isn't noted: lift it and look at its roots first.",
    ),
    (InParts(3), "Its root ball is renewed in three parts, over years, never the whole at once."),
    (
        Part(THIRDS),
        "Part 2 of 3 of its root ball is next; what lies under the trunk comes last.",
    ),
    (
        Part(replace(THIRDS, ahead=THIRDS.ahead[-1:])),
        "The last part is next: what lies under the trunk.",
    ),
    (Part(replace(THIRDS, ahead=())), "All of its root ball is renewed."),
    (
        Part(replace(THIRDS, stopped=ON)),
        "The last part went badly, as noted on 11 Apr 2026: no further one until you note a good season of "
        "it.",
    ),
    (ByStage("young", "due"), "It is due each year on a young tree."),
    (ByStage("training", "may"), "It may be done on a tree in training; nothing presses."),
    (ByStage("old", "leave"), "It isn't done on an old tree."),
    (
        WouldBar("repotting", LATER),
        "It would keep repotting from the tree, which it is due for about 3 Feb 2027.",
    ),
]


@pytest.mark.parametrize(("why", "english"), WHY)
def test_why_a_tree_needs_a_job_or_is_left_without_it(why: NeedWhy, english: str) -> None:
    assert need_text(why) == english
    assert today_why(why) == today_why_brief(why) == english, "the same where it decides today's advice"


def test_every_reason_is_tried() -> None:
    assert {type(why) for why, _ in WHY} == set(get_args(NeedWhy))
