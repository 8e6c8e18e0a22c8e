"""How heavy a pruning was, read out of a grower's note. A third of the crown: common practice, no source."""

from __future__ import annotations

import pytest

from season_engine.note import NO_DETAILS
from season_engine.workspace.journal_details import details_of


@pytest.mark.parametrize(
    ("note", "weight"),
    [
        ("heavy, half of all branches taken off", "heavy"),
        ("Heavy", "heavy"),
        ("very heavy", "heavy"),
        ("pruned Kettle hard", "heavy"),
        ("cut back hard", "heavy"),
        ("a third of the crown", "heavy"),
        ("thinned; two thirds of the branches off", "heavy"),
        ("light thinning; then half of the foliage went too", "heavy"),
        ("light thinning", "light"),
        ("thinned lightly", "light"),
        ("a quarter of the branches", "light"),
        ("", None),
        ("thinned", None),
        ("not hard", None),
        ("thinned; half of the branches left", None),
        ("thinned; shoots hard", None),
        ("thinned, heavy pot, two to lift", None),
        ("thinned; half an hour", None),
    ],
)
def test_how_heavy_it_was(note: str, weight: str | None) -> None:
    assert details_of("structural-pruning", note).amount == weight


def test_states_signs_and_what_came_off_are_read_from_a_note_by_hand() -> None:
    assert details_of(None, "weak").states == {"weak"}
    assert details_of("repotting", "roots rotten").signs == {"roots rotten"}
    assert details_of(None, "wire off").off == {"wire"}
    assert details_of(None, "must take the wire off") == NO_DETAILS
