"""`check JOB NAME`: the tree or species a grower names, on the demo."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from season_engine.cli import main


def check(folder: Path, *arguments: str) -> Result:
    call = ["check", "repotting", *arguments, "--on", "2026-03-24", "--workspace", str(folder)]
    return CliRunner().invoke(main, call)


@pytest.mark.parametrize(
    ("arguments", "title", "told"),
    [
        (("n10",), "trident maple", "For n10 (The Ferry)."),
        (("--tree", "breakwater"), "Monterey pine", "For s05 (The Breakwater)."),
        (("olive",), "olive", "For s10 (Pier), the only olive at dune-yard."),
        (
            ("black", "pine", "--site", "dune-yard"),
            "Japanese black pine",
            "For the species; your trees are s03 (Keel), s04 (Dinghy): name one for its own answer.",
        ),
        (("--species", "trident", "--site", "dune-yard"), "trident maple", ""),
        (("European beech", "--site", "dune-yard"), "European beech", ""),
    ],
)
def test_a_name_is_a_tree_or_a_species(
    tmp_path: Path, arguments: tuple[str, ...], title: str, told: str
) -> None:
    head = " ".join(check(tmp_path, *arguments).stdout.split("\n\n")[0].split())
    assert head.startswith(f"{title}, repotting")
    assert head.endswith(told or "work no tree by it.")


def test_a_tree_s_own_answer_has_its_id(tmp_path: Path) -> None:
    document = json.loads(check(tmp_path, "Ember", "--json").stdout)
    assert (document["tree"], document["species"], document["site"]) == ("n08", "Acer palmatum", "lower-yard")


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (
            ("maple", "--site", "lower-yard"),
            '"Japanese maple" (n08, n09) or "trident maple" (n10). Say which.',
        ),
        (("trident",), "could be n10 (The Ferry) at lower-yard or s07 (The Raft) at dune-yard."),
        (("embers child",), 'Did you mean "Ember\'s Child"?'),
        (("Ember", "--species", "trident"), "name a tree or a species, or give either"),
        (("Ember", "--tree", "n08"), "name a tree or a species, or give either"),
        ((), "name a tree or a species, or give either"),
        (("European beech",), "there are several sites"),
        (("xyzzy",), "n12 and more; a species goes by its botanical name or a common one."),
    ],
)
def test_where_it_may_be_several_they_are_listed(
    tmp_path: Path, arguments: tuple[str, ...], said: str
) -> None:
    done = check(tmp_path, *arguments)
    assert (done.exit_code, done.stdout) == (2, "")
    assert said in " ".join(done.stderr.split())


@pytest.mark.parametrize(
    ("typed", "tree", "job"),
    [
        ("thinning", "breakwater", "structural-pruning"),
        ("pruning", "breakwater", "structural-pruning"),
        ("needle plucking", "Keel", "needle-work"),
        ("pruning", "First Light", "after-bloom-pruning"),
        ("pruning", "satsuki", None),
    ],
)
def test_a_job_by_a_plain_word(tmp_path: Path, typed: str, tree: str, job: str | None) -> None:
    call = ["check", typed, tree, "--on", "2026-03-24", "--json", "--workspace", str(tmp_path)]
    found = CliRunner().invoke(main, call)
    if job is None:
        assert (found.exit_code, 'could be "structural-pruning" or' in found.stderr) == (2, True)
    else:
        assert json.loads(found.stdout)["job"] == job
