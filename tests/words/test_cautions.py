"""Cautions in words: a line a kind, once for all trees, in the units and the language that are spoken."""

from __future__ import annotations

from dataclasses import replace

from season_engine.documents.check import assessment_document
from season_engine.facts import Text
from season_engine.prints.answer import answer_text
from season_engine.trees.need import Need
from season_engine.trees.need_why import Weak
from season_engine.windows.care import Care
from season_engine.windows.cautions import Caution
from season_engine.windows.window_notes import Noted
from season_engine.words.cautions import caution_in_english, caution_sentences
from season_engine.words.speech import for_programs, speaking
from season_engine.words.work_safely import caution_lines
from tests.factories import AS_OF, a_report, a_site_report, an_assessment, days

LIFTING, DUST, WIRE, HEAT = (Caution(kind) for kind in ("lifting", "dust", "wire", "heat"))
YEW = Caution("poison", Text("all parts but the red flesh of the fruit"))


def tree(name: str, *cautions: Caution, **changes):
    return an_assessment(tree=name, cautions=cautions, **changes)


def lines(*trees, care=(), **changes) -> dict[str, str]:
    site = a_site_report(trees=trees, care=care, tree_names={}, **changes)
    told = caution_lines(a_report(sites=(site, site)))
    assert len({line.lead for line in told}) == len(told), "a kind is said once"
    return {line.lead: line.text for line in told}


def test_a_caution_is_said_once_and_names_the_trees_to_lift_and_the_jobs_of_the_rest() -> None:
    told = lines(tree("P1", LIFTING, DUST), tree("P2", LIFTING, DUST), tree("P3", DUST, job="trimming"))
    assert list(told) == ["Lifting", "Dust"]
    assert told["Lifting"].startswith("Wet trees weigh 1.3 to 1.5 kg a litre of pot: over 25 kg two people")
    assert told["Lifting"].endswith("For P1 and P2.")
    assert told["Dust"].endswith("For repotting and trimming.")


def test_poison_names_the_plants_with_what_of_them_it_is() -> None:
    box = Caution("poison", Text("all parts"))
    told = lines(
        tree("Y1", YEW, common_name="English yew"),
        tree("Y2", YEW, common_name="Japanese yew"),
        tree("B1", box, common_name="common box"),
    )
    assert told["Poison"] == (
        "English yew and Japanese yew: all parts but the red flesh of the fruit; common box: all parts. "
        "Keep what you cut off from children and animals, and wash your hands."
    )


def test_what_is_not_worked_these_weeks_is_not_told() -> None:
    later = tree("P1", LIFTING, verdict="wait")
    refused = tree("P2", LIFTING, need=Need("leave", Weak(), "weak"))
    care = Care("Larix", "larch", "wiring", "winter", "wait", AS_OF + days(40), None, (WIRE,))
    assert lines(later, refused, care=(care,)) == {}
    starts = replace(care, verdict="soon", opens=AS_OF + days(4))
    assert lines(later, care=(starts,))["Wire"].endswith("For wiring.")
    assert "Wire" in lines(care=(replace(care, verdict="open"),))


def test_without_trees_the_species_windows_are_told() -> None:
    assert "Lifting" in lines(windows=(an_assessment(cautions=(LIFTING,)),))


def test_check_says_those_of_its_job_and_json_says_them_in_english() -> None:
    a = an_assessment(cautions=(LIFTING, YEW, HEAT), notes=(Noted(Text("Edges only.")),))
    text = " ".join(answer_text(a).split())
    for words in ("- Lifting. Wet trees weigh", "- Poison. All parts but the red flesh of the fruit. Keep"):
        assert text.count(words) == 1
    with speaking("de"):
        assert list(assessment_document(a).cautions) == [
            "Lifting. Wet trees weigh 1.3 to 1.5 kg a litre of pot: over 25 kg two people, over 60 kg a "
            "trolley or a hoist.",
            "Poison. All parts but the red flesh of the fruit. Keep what you cut off from children and "
            "animals, and wash your hands.",
            "Heat. Nobody works in the sun over 35 degC.",
            "Edges only.",
        ]


def test_temperatures_are_told_in_the_units_of_the_workspace() -> None:
    with for_programs("degF"):
        assert caution_in_english(HEAT) == "Heat. Nobody works in the sun over 95 degF."
    with speaking("en", "degF"):
        assert [*caution_sentences([HEAT, HEAT])] == ["Heat. Nobody works in the sun over 95 °F."]
    hot = tree("P1", HEAT)
    with speaking("en", "degF"):
        assert lines(hot)["Heat"] == "Nobody works in the sun over 95 °F."
