"""Cases in which a window was taken for a reason to work a tree. Common practice, no source."""

from __future__ import annotations

import datetime as dt
import json
from itertools import cycle
from pathlib import Path

import pytest
from click.testing import CliRunner

from season_engine.cli import main
from season_engine.note import Details, Note
from season_engine.site import Site
from season_engine.species.catalogue import load_catalogue
from season_engine.tree import Tree
from season_engine.windows.assessment import Assessment
from season_engine.windows.choice import nearest_first
from season_engine.windows.yard import Yard
from tests.workspaces import make_workspace
from tests.yards import NAGANO, SOUTH, view

# Forty-three trees of as many kinds and ages as a club's bench has.
KINDS = (
    "Pinus thunbergii", "Pinus radiata", "Pinus parviflora", "Pinus sylvestris", "Juniperus chinensis",
    "Juniperus rigida", "Larix kaempferi", "Picea glauca", "Acer palmatum", "Acer buergerianum",
    "Ulmus parvifolia", "Carpinus betulus", "Fagus crenata", "Prunus mume", "Malus halliana",
    "Chaenomeles speciosa", "Rhododendron indicum", "Camellia japonica", "Olea europaea", "Ficus microcarpa",
    "Wisteria floribunda", "Leptospermum scoparium",
)  # fmt: skip
STAGES = cycle(("young", "training", "refined", "old", None))
TREES = [(species, next(STAGES)) for species in (*KINDS, *KINDS)][:43]


def repottings(site: Site, on: dt.date, trees: list[Tree], *notes: Note) -> dict[str, Assessment]:
    """Each tree's repotting that a grower means by asking that day."""
    found: dict[str, list[Assessment]] = {}
    for a in Yard(view(site, on), load_catalogue(), trees, notes).judged:
        if a.job == "repotting":
            found.setdefault(a.tree or "", []).append(a)
    return {tree: nearest_first(windows)[0] for tree, windows in found.items()}


def test_a_pine_repotted_in_july_is_left_in_august_a_year_on() -> None:
    july, august = dt.date(2023, 7, 29), dt.date(2024, 8, 26)
    pine = Tree("p1", SOUTH.name, "Pinus thunbergii", size="large", vigour="strong", last_repotted=july)
    found = repottings(SOUTH, august, [pine])["p1"]
    assert (found.verdict, found.today, found.need.state) == ("open", "no", "leave")


@pytest.mark.parametrize(("site", "on"), [(NAGANO, dt.date(2025, 4, 9)), (SOUTH, dt.date(2024, 8, 19))])
def test_of_forty_three_trees_repotted_a_year_ago_those_of_yearly_kinds_alone_are_told_to(
    site: Site, on: dt.date
) -> None:
    last = on - dt.timedelta(days=365)
    trees = [
        Tree(f"t{number}", site.name, species, stage=stage, last_repotted=last)
        for number, (species, stage) in enumerate(TREES)
    ]
    found = repottings(site, on, trees)
    told = {tree for tree, a in found.items() if a.need.state != "leave"}
    yearly = {
        tree.id
        for tree in trees
        for every in [load_catalogue().find(tree.species).repotted_every]
        if every is not None and every.years(tree.stage or "training", tree.size).least == 1
    }
    conifers = {
        tree.id for tree in trees if tree.species.split()[0] in ("Pinus", "Juniperus", "Larix", "Picea")
    }
    assert told == yearly & found.keys() - conifers
    assert 0 < len(told) < 13 and len(found) > 35


def test_a_tree_a_year_after_the_first_part_of_its_root_ball_is_left_another() -> None:
    on = dt.date(2025, 4, 9)
    dug = Tree("p1", NAGANO.name, "Larix kaempferi", origin="collected", root_parts=3)
    first = Note(
        dt.date(2024, 4, 6), NAGANO.name, "p1", job="sectional-repotting", details=Details(share=1 / 3)
    )
    judged = Yard(view(NAGANO, on), load_catalogue(), [dug], [first]).judged
    (part,) = (a for a in judged if a.job == "sectional-repotting")
    assert (part.need.state, part.need.allowed) == ("leave", dt.date(2026, 4, 6))


def test_a_juniper_repotted_in_march_is_left_in_august() -> None:
    juniper = Tree("j1", SOUTH.name, "Juniperus chinensis")
    march = Note(dt.date(2024, 3, 16), SOUTH.name, "j1", job="repotting")
    for on in (dt.date(2024, 8, 26), dt.date(2024, 9, 23), dt.date(2025, 3, 17)):
        assert repottings(SOUTH, on, [juniper], march)["j1"].need.state == "leave"


def test_need_stands_in_the_json_of_check(tmp_path: Path) -> None:
    make_workspace(tmp_path)
    (tmp_path / "journal.csv").unlink(missing_ok=True)
    (tmp_path / "trees.csv").write_text(
        "id,site,species,last_repotted\np1,nagano,Pinus thunbergii,2021-04-02\n", "utf-8"
    )
    call = ["check", "repotting", "p1", "--on", "2023-04-03", "--json", "--workspace", str(tmp_path)]
    result = CliRunner().invoke(main, call)
    found = json.loads(result.stdout)
    assert (found["verdict"], found["today"], result.exit_code) == ("last-call", "no", 13)
    need = found["need"]
    assert list(need) == ["state", "why", "rule", "last", "from"]
    assert (need["state"], need["rule"]) == ("leave", "years")
    assert (need["last"], need["from"]) == ("2021-04-02", "2024-04-02")
    assert "every three years: not due yet" in need["why"]


MINE = """
[[spacing]]
name = "my-years"
after = ["root work"]
before = ["root work"]
on = ["{kind}"]
certainty = 60

[species."Pinus thunbergii".repotted_every]
years = [1, 2]
from = "memory"
"""


@pytest.mark.parametrize(("kind", "state"), [("black-pine", "due"), ("spruce", "leave")])
def test_a_growers_own_rule_stands_before_ours(tmp_path: Path, kind: str, state: str) -> None:
    """Ours leaves a conifer for eighteen months; theirs lets it be, where it is of such a kind."""
    make_workspace(tmp_path)
    (tmp_path / "journal.csv").unlink(missing_ok=True)
    (tmp_path / "trees.csv").write_text(
        "id,site,species,last_repotted\np1,nagano,Pinus thunbergii,2021-11-20\n", "utf-8"
    )
    (tmp_path / "catalogue.toml").write_text(MINE.format(kind=kind), "utf-8")
    call = ["check", "repotting", "p1", "--on", "2023-04-03", "--json", "--workspace", str(tmp_path)]
    found = json.loads(CliRunner().invoke(main, call).stdout)
    assert found["need"]["state"] in ((state, "may") if state == "due" else (state,))


@pytest.mark.parametrize(("days", "need"), [(2, "may"), (80, "due")])
def test_nothing_presses_for_pruning_a_pine_whose_roots_were_just_worked(days: int, need: str) -> None:
    """Asked on 1 August, two days after repotting or eighty: pruning may follow, and is due again."""
    on = dt.date(2024, 8, 1)
    pine = Tree(
        "p1", SOUTH.name, "Pinus radiata", size="large", vigour="strong", stage="training",
        last_repotted=on - dt.timedelta(days),
    )  # fmt: skip
    judged = Yard(view(SOUTH, on), load_catalogue(), [pine], ()).judged
    needs = {a.need.state for a in judged if a.job == "structural-pruning" and a.need}
    assert needs == {need}
