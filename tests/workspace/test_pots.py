from __future__ import annotations

import pytest

from season_engine.pot import Pot
from season_engine.workspace.pots import pot_in


@pytest.mark.parametrize(
    ("words", "pot"),
    [
        ("60x40x12 cm", Pot.of_box_cm(60, 40, 12)),
        ("into the grey oval, 60 x 40 × 12", Pot.of_box_cm(60, 40, 12)),  # noqa: RUF001
        ("a 30-litre crate", Pot.of_tree(30)),
        ("1,5 l", Pot.of_tree(1.5)),
        ("grey oval", None),
        ("30 lights", None),
        ("9000 l", None),
        ("0x0 cm", None),
        ("2x4", None),
        ("number 12", None),
        ("", None),
    ],
)
def test_a_size_among_words(words: str, pot: Pot | None) -> None:
    assert pot_in(words) == pot


def test_a_round_one_by_width_and_depth() -> None:
    pot = pot_in("round, 14x6 in, brown")
    assert pot is not None
    assert (pot.diameter_m, pot.depth_m) == pytest.approx((0.3556, 0.1524))
