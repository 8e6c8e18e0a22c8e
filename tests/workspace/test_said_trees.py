"""Trees as growers say them in one line."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from season_engine.errors import GrowerError
from season_engine.species.catalogue import load_catalogue
from season_engine.workspace.said_trees import SaidTree, trees_said

PINE, TRIDENT, ELM = "black pine", "Acer buergerianum", "Chinese elm"


@pytest.mark.parametrize(
    ("text", "trees"),
    [
        ("", []),
        ("a black pine", [(PINE, None)]),
        (
            "3 black pines, 2 tridents, one of them large",
            [*[(PINE, None)] * 3, (TRIDENT, None), (TRIDENT, "large")],
        ),
        ("2 large tridents and a small Chinese elm", [(TRIDENT, "large")] * 2 + [(ELM, "small")]),
        ("2 tridents (one large) and a black pine", [(TRIDENT, None), (TRIDENT, "large"), (PINE, None)]),
        ("three tridents; two of these are small", [(TRIDENT, None), (TRIDENT, "small"), (TRIDENT, "small")]),
        ("two JBP, both of them big", [("Pinus thunbergii", "large")] * 2),
        ("Chinese elm x 2, all of them shohin", [(ELM, "small")] * 2),
        ("1 Chinese elm, large, 2 tridents", [(ELM, "large"), (TRIDENT, None), (TRIDENT, None)]),
        ("2x shimpaku", [("Juniperus chinensis", None)] * 2),
        ("2 Acer palmatum 'Deshojo'", [("Acer palmatum 'Deshojo'", None)] * 2),
    ],
)  # fmt: skip
def test_a_line_of_trees(text: str, trees: list[tuple[str, str | None]]) -> None:
    assert [(tree.species, tree.size) for tree in trees_said(text, load_catalogue())] == trees


def test_a_stage_is_taken_too() -> None:
    assert trees_said("an old black pine", load_catalogue()) == (SaidTree(PINE, stage="old"),)
    (one,) = trees_said("a large Monterey pine in training", load_catalogue())
    assert one == SaidTree("Monterey pine", "large", "training")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("2 maples", '"maples" could be'),
        ("one of them large", "of which trees?"),
        ("2 tridents, three of them large", "isn't clear"),
        ("2 tridents, one of them purple", "isn't clear"),
        ("0 tridents", "isn't clear"),
        ("1000 tridents", "isn't clear"),
        ("large", "isn't clear"),
        ("large, 2 tridents", "isn't clear"),
        ("2 large tridents, small", "isn't clear"),
        ("a large small trident", "isn't clear"),
        ("2 black pynes", 'no species "black pynes"'),
    ],
)
def test_what_is_not_plain_is_refused(text: str, said: str) -> None:
    with pytest.raises(GrowerError, match=said.replace("?", r"\?")):
        trees_said(text, load_catalogue())


SIZES = (None, "small", "medium", "large")


@given(
    st.lists(
        st.tuples(st.integers(1, 30), st.sampled_from(SIZES), st.sampled_from([PINE, TRIDENT, ELM])),
        max_size=5,
    )
)
def test_every_list_is_read_back(groups: list[tuple[int, str | None, str]]) -> None:
    text = ", ".join(" ".join(filter(None, (str(count), size, name))) for count, size, name in groups)
    expected = [(name, size) for count, size, name in groups for _ in range(count)]
    assert [(tree.species, tree.size) for tree in trees_said(text, load_catalogue())] == expected
