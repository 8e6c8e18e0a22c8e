"""Where growers disagree, both schools are offered and the grower chooses (common practice, no source)."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from season_engine.cli import main
from season_engine.errors import GrowerError
from season_engine.species.catalogue import Catalogue, load_catalogue
from season_engine.windows.window_notes import RivalSchools, window_notes
from season_engine.words.window_notes import note_text
from season_engine.workspace.catalogue import catalogue_of
from season_engine.workspace.workspace import load_workspace
from tests.species.test_own_catalogue import yard


def choice(whose: str, job: str, take: str) -> str:
    return f'[[school]]\n{whose}\njob = "{job}"\ntake = "{take}"\n'


def chosen(folder: Path, *choices: str) -> Catalogue:
    return catalogue_of(load_workspace(yard(folder, "".join(choices))))


def schools(catalogue: Catalogue, species: str) -> set[str]:
    return {one.school for one in catalogue.find(species).windows if one.school}


@pytest.mark.parametrize(
    ("species", "job", "names"),
    [
        ("satsuki", "repotting", {"before growth", "after bloom"}),
        ("Prunus x yedoensis", "repotting", {"before bloom", "after bloom"}),
        ("Pinus mugo", "repotting", {"spring", "late summer"}),
        ("Pinus parviflora", "candle-shortening", {"shorten candles", "leave candles and cut back"}),
    ],
)
def test_without_a_choice_both_are_there_and_say_so(species: str, job: str, names: set[str]) -> None:
    kind = load_catalogue().find(species)
    windows = [one for one in kind.windows if one.disputed == job and one.school]
    assert {one.school for one in windows} == names
    for window in windows:
        said = " ".join(map(note_text, window_notes(kind, window)))
        assert "Growers disagree" in said and all(name in said for name in names)


def test_the_school_chosen_leaves_the_other_out(tmp_path: Path) -> None:
    catalogue = chosen(tmp_path, choice('group = "evergreen azalea"', "repotting", "after bloom"))
    satsuki = catalogue.find("satsuki")
    repotting = [one for one in satsuki.windows if one.job == "repotting" and one.school]
    assert [one.school for one in repotting] == ["after bloom"]
    assert not any(isinstance(note, RivalSchools) for one in repotting for note in window_notes(satsuki, one))
    assert [one.school for one in satsuki.set_aside] == ["before growth"]
    assert schools(catalogue, "Yoshino cherry") == {"before bloom", "after bloom"}


def test_a_species_own_choice_comes_before_its_group_s(tmp_path: Path) -> None:
    catalogue = chosen(
        tmp_path,
        choice('group = "evergreen azalea"', "repotting", "after bloom"),
        choice('species = "satsuki"', "repotting", "before growth"),
    )
    assert schools(catalogue, "satsuki") == {"before growth"}
    assert schools(catalogue, "kurume azalea") == {"after bloom"}


def test_a_school_that_does_another_job_instead(tmp_path: Path) -> None:
    cut = choice('group = "single-flush pine"', "candle-shortening", "leave candles and cut back")
    jobs = chosen(tmp_path, cut).find("Scots pine").jobs
    assert "cut-back" in jobs and "candle-shortening" not in jobs


@pytest.mark.parametrize(
    ("text", "line", "said"),
    [
        (choice('group = "azalea"', "repotting", "after bloom"), 2, 'Did you mean "evergreen azalea"?'),
        (choice('species = "satsukki"', "repotting", "after bloom"), 2, 'Did you mean "satsuki"?'),
        (choice('group = "evergreen azalea"', "repotting", "after blom"), 4, 'Did you mean "after bloom"?'),
        (choice('group = "evergreen azalea"', "after-bloom-pruning", "x"), 3, "no two schools"),
        (choice('group = "evergreen azalea"', "repoting", "after bloom"), 3, 'Did you mean "repotting"?'),
        (choice("", "repotting", "after bloom"), 1, "a group or a species"),
        (2 * choice('group = "evergreen azalea"', "repotting", "after bloom"), 5, "chosen twice"),
    ],
)
def test_a_choice_that_means_nothing_is_asked_about(tmp_path: Path, text: str, line: int, said: str) -> None:
    with pytest.raises(GrowerError, match=r"season\.toml") as caught:
        chosen(tmp_path, text)
    error = getattr(caught.value, "errors", [caught.value])[0]
    assert said in str(error)
    assert error.line == line


def test_check_answers_for_the_school_chosen_and_for_the_other_if_named(tmp_path: Path) -> None:
    yard(tmp_path, choice('group = "evergreen azalea"', "repotting", "after bloom"))
    call = ["check", "repotting", "--species", "satsuki", "--on", "2026-04-10", "--json"]
    call += ["--workspace", str(tmp_path)]
    found = json.loads(CliRunner().invoke(main, call).stdout)
    assert (found["window"], found["school"]) == ("after bloom", "after bloom")
    named = json.loads(CliRunner().invoke(main, [*call, "--window", "spring"]).stdout)
    assert (named["window"], named["school"]) == ("spring", "before growth")
