"""The week's small care: changes in words, the rest in one line."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from season_engine.note import Note
from season_engine.species.catalogue import load_catalogue
from season_engine.tree import Tree
from season_engine.windows.assess import Prospect
from season_engine.windows.care import Care, small_care
from season_engine.windows.today import tree_state
from season_engine.words.care import care_lines, spared_lines
from season_engine.words.line import Line
from tests.factories import a_site_report
from tests.yards import NAGANO, view

ON = dt.date(2026, 4, 1)


def care(job: str, opens: int | None, closes: int | None, verdict="open", name="larch") -> Care:
    dates = [None if days is None else ON + dt.timedelta(days) for days in (opens, closes)]
    return Care("Larix decidua", name, job, "spring", verdict, *dates)


def test_what_starts_and_stops_is_told_with_its_day() -> None:
    lines = care_lines(
        [
            care("feeding", 3, 90, "soon"),
            care("feeding", 3, 90, "soon", "elm"),
            care("wiring", -90, 8, "last-call"),
        ],
        ON,
    )
    assert lines == (
        ("Feeding", "Starts about 4 Apr on larch and elm."),
        ("Wiring", "Stops about 9 Apr on larch."),
    )


def test_what_goes_on_is_one_line_and_what_rests_is_none() -> None:
    lines = care_lines(
        [
            care("shade", -30, 60),
            care("wire-check", -30, 60),
            care("wire-check", -31, 60, name="elm"),
            care("feeding", 40, 90, "wait"),
            care("cuttings", -90, -20, "closed"),
            care("winter-shelter", None, None, "not-here"),
        ],
        ON,
    )
    assert lines == (("Going on", "Shade and wire check."),)


def test_nothing_to_say() -> None:
    assert care_lines([], ON) == ()


SPARED = replace(care("feeding", -9, 90), spared=("T1", "T2"))


def test_trees_left_out_about_work_on_their_roots_are_named() -> None:
    site = a_site_report(care=(SPARED,), tree_names={"T1": "Rill", "T2": "Crag"})
    told = "Not yet for Rill and Crag: roots were worked within a month, or are to be worked now."
    assert spared_lines(site, ON) == (Line("Feeding", told),)
    assert care_lines([SPARED], ON) == (("Going on", "Feeding."),)


def test_what_is_for_none_of_the_trees_is_not_told_to_go_on() -> None:
    assert care_lines([replace(SPARED, for_none=True)], ON) == ()
    resting = replace(SPARED, opens=ON + dt.timedelta(60), verdict="wait")
    assert spared_lines(a_site_report(care=(resting,)), ON) == ()


def test_feeding_leaves_out_trees_just_repotted_and_those_to_repot_first() -> None:
    """A tree of each kind: just repotted, to be repotted now, weak, and one like any other."""
    kind, on = load_catalogue().find("Pinus thunbergii"), dt.date(2025, 4, 16)
    trees = [Tree(one, "nagano", kind.name, vigour="weak" if one == "W" else "normal") for one in "RNWO"]
    noted = [Note(dt.date(2025, 4, 1), "nagano", "R", job="repotting")]
    states = [tree_state(tree, noted, NAGANO.season_on(on), on) for tree in trees]
    prospect = Prospect(view(NAGANO, on), kind)
    found = {one.job: one for one in small_care(prospect, states, {"N"})}
    assert (found["feeding"].spared, found["feeding"].for_none) == (("R", "N"), False)
    assert found["wiring"].spared == ()
    only = {one.job: one for one in small_care(prospect, states[:2], {"N"})}
    assert only["feeding"].for_none
    weak = {one.job for one in small_care(prospect, [states[2]])}
    assert "bud-thinning" not in weak and "feeding" in weak
    assert "bud-thinning" in {one.job for one in small_care(prospect)}
