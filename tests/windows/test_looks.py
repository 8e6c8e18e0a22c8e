"""Buds to look at, on real weather: what is asked, for whose trees, and that the answer can be given."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

from season_engine.note import Note, Sighting
from season_engine.phenology.stages import stage_marker
from season_engine.species.catalogue import load_catalogue
from season_engine.species.names import KnownNames
from season_engine.tree import Tree
from season_engine.trees.history import History
from season_engine.windows.assess import Prospect
from season_engine.windows.looks import Kept, buds_to_look_at, near_dates, subject
from season_engine.words.line import Line
from season_engine.words.looks import answer, look_answer, look_lead, look_text, looks_worth
from season_engine.workspace.journal_words import stage_name, understand
from tests.factories import a_site_report
from tests.windows.made_seasons import answered, medium_bench_windows
from tests.yards import NAGANO, SOUTH, late_view, view

CATALOGUE = load_catalogue()
MAPLE = CATALOGUE.find("Acer palmatum")
ELM = CATALOGUE.find("Ulmus parvifolia")
ZELKOVA = CATALOGUE.find("Zelkova serrata")
NAMES = {name: one.name for one in CATALOGUE.species.values() for name in one.names}
ON = dt.date(2021, 3, 13)


def kept(species, on=ON, site=NAGANO, trees=None, notes=(), seen=view):
    prospect = Prospect(seen(site, on), species, notes=notes)
    states = None if trees is None else tuple(History(tree) for tree in trees)
    return [Kept(prospect, one, states) for one in medium_bench_windows(species)]


def tree(name: str, species=MAPLE, **more) -> Tree:
    return Tree(name, "nagano", species.name, **more)


def note(sighting: Sighting) -> Note:
    return Note(ON, "nagano", None, MAPLE.name, 1, sighting=sighting)


def test_a_maple_about_to_stir_is_asked_whether_its_buds_swell() -> None:
    look = buds_to_look_at(kept(MAPLE))[0]
    assert (look.marker, look.bbch) == ("buds_swelling", 1)
    assert 0.1 < look.chance < 0.9
    assert look.narrows[0].job == "repotting", "it matters more than the winter tidy"
    assert look.narrows[0].after_days <= look.narrows[0].before_days - 2


@pytest.mark.parametrize("answer", [note("already"), note("not-yet"), note("seen")])
def test_what_was_answered_today_is_not_asked_again(answer) -> None:
    assert all(look.marker != "buds_swelling" for look in buds_to_look_at(kept(MAPLE, notes=[answer])))


@pytest.mark.parametrize(("sighting", "came"), [("already", True), ("not-yet", False)])
def test_the_journal_takes_an_answer_as_it_was_reckoned_with(sighting, came) -> None:
    asked = subject(near_dates(kept(MAPLE)))
    told = Prospect(view(NAGANO, ON), MAPLE, notes=[note(sighting)]).dating(0)
    assert np.allclose(told.weights.ravel(), answered(asked, ["buds_swelling"], [came]))


def test_in_the_depth_of_winter_and_in_autumn_there_is_nothing_to_ask() -> None:
    for on in (dt.date(2021, 1, 20), dt.date(2021, 9, 1)):
        assert buds_to_look_at(kept(MAPLE, on) + kept(ELM, on)) == ()


def test_more_trees_come_first_and_trees_that_may_not_be_worked_count_for_nothing() -> None:
    few, many = [tree("a")], [tree(name, ZELKOVA) for name in "bcdefghij"]
    looks = buds_to_look_at(kept(MAPLE, trees=few) + kept(ZELKOVA, trees=many))
    assert looks[0].species == ZELKOVA.name and looks[0].trees == tuple("bcdefghij")
    resting = [replace(one, vigour="weak") for one in few]
    narrowed = [one.job for look in buds_to_look_at(kept(MAPLE, trees=resting)) for one in look.narrows]
    assert "repotting" not in narrowed


def test_a_tree_under_cover_needs_its_date_less_surely() -> None:
    open_air, sheltered = (
        next(one for one in kept(MAPLE, trees=[tree("a", shelter=cover)]) if one.window.job == "repotting")
        for cover in (False, True)
    )
    assert open_air.matters == pytest.approx(4) and sheltered.matters == pytest.approx(1)


@pytest.mark.parametrize(
    ("site", "months"), [(NAGANO, (3, 5, 8)), (SOUTH, (2, 9))], ids=lambda value: getattr(value, "name", "")
)
def test_at_most_three_on_any_day_and_each_can_be_answered(site, months) -> None:
    found = 0
    for month in months:
        on = dt.date(2021, month, 12)
        everything = [
            one for kind in CATALOGUE.species.values() for one in kept(kind, on, site, seen=late_view)
        ]
        looks = buds_to_look_at(everything)
        found += len(looks)
        assert len(looks) <= 3
        for look in looks:
            report = a_site_report(look_at=(look,))
            line = answer(report, look).split('"')[1]
            for words, not_yet in ((line, True), (line.replace("not yet", "already"), False)):
                (said,) = understand(words, KnownNames(NAMES, ()))
                assert (said.species, said.not_yet) == (look.species, not_yet)
                assert stage_marker(CATALOGUE.find(look.species), said.bbch) == look.marker
    assert found > 2


def test_every_stage_that_may_be_asked_has_words_the_journal_understands() -> None:
    for species in CATALOGUE.species.values():
        for name, marker in species.markers.items():
            if marker.bbch is not None and marker.sd_days:
                words = f"{stage_name(marker.bbch, species.name)} already on {species.common[0]}"
                (said,) = understand(words, KnownNames(NAMES, ()))
                assert stage_marker(species, said.bbch) == name, words


def test_a_look_is_told_with_the_trees_what_it_narrows_and_how_to_answer() -> None:
    site = a_site_report()
    look = site.look_at[0]
    assert look_lead(site, look) == "Gatepost (Chinese elm)"
    assert look_text(look) == "See whether buds swell (4 in 10)."
    assert looks_worth(site)[0] == Line(
        "Gatepost (Chinese elm)",
        "The date repotting (spring) opens is likely to be out by nine days; an answer brings that to five.",
    )
    assert look_answer(site) == (
        'Answer "not yet" or what you see, "buds swelling", with the tree\'s name. Nothing reads your mail, '
        'so enter it: season-engine journal add "Gatepost buds swelling not yet" (or "already" for '
        '"not yet").'
    )
    without = replace(look, trees=())
    assert '"Chinese elm buds swelling not yet" --site ridge' in answer(site, without)
    assert look_answer(replace(site, look_at=())) == ""


def test_two_looks_that_narrow_one_date_are_worth_one_line() -> None:
    site = a_site_report()
    first, *_ = site.look_at
    (narrowed, *_) = first.narrows
    second = replace(
        first, marker="leaves_open", narrows=(replace(narrowed, before_days=5.2, after_days=3.4),)
    )
    closes = replace(second, narrows=(replace(narrowed, end="closes"),))
    told, other = looks_worth(replace(site, look_at=(first, second, closes)))
    assert told.text == (
        "The date repotting (spring) opens is likely to be out by nine days; two answers bring that to three."
    )
    assert other.text.startswith("The date repotting (spring) closes")
