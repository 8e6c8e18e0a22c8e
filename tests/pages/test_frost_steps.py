"""Frost week by week: the steps, their figures, their words."""

from __future__ import annotations

import re

from season_engine.pages.pictures.frost_steps import TALL, frost_steps, frost_words, hundredths
from season_engine.words.speech import speaking
from tests.factories import frost_at


def test_a_step_is_as_high_as_its_chance_and_bears_its_figure():
    drawing = frost_steps([frost_at(0.0, (1.0, 0.35, 0.0))])
    assert drawing is not None
    (panel,) = drawing.panels
    ys = [float(y) for y in re.findall(r",(-?[\d.]+)", panel.edge)]
    assert ys == [panel.top, panel.top, *[round(panel.foot - 0.35 * TALL, 1)] * 2, panel.foot, panel.foot]
    assert [figure.text for figure in panel.figures] == [">99", "35", "<1"]
    assert all(figure.y < y for figure, y in zip(panel.figures, ys[::2], strict=True))
    assert [week.label for week in drawing.weeks] == ["33", "34", "35"]
    assert [figure.x for figure in panel.figures] == [week.at for week in drawing.weeks]


def test_levels_stand_one_below_the_other_on_one_axis():
    drawing = frost_steps([frost_at(0.0, (0.5, 0.2)), frost_at(-2.0, (0.1, 0.05))])
    assert drawing is not None
    upper, lower = drawing.panels
    assert (upper.label, lower.label) == ("0 °C", "-2 °C")
    assert upper.foot < lower.top < lower.foot < drawing.foot
    assert frost_steps([]) is None


def test_levels_are_named_in_the_units_of_the_workspace():
    with speaking("en", "degF"):
        drawing = frost_steps([frost_at(-2.0, (0.1,))])
    assert drawing is not None
    assert drawing.panels[0].label == "28 °F"
    assert "a night of 28 °F or colder" in drawing.alt


def test_figures_are_never_a_false_certainty():
    assert [hundredths(c) for c in (0.0, 0.004, 0.006, 0.35, 0.994, 0.996, 1.0)] == [
        "<1", "<1", "1", "35", "99", ">99", ">99"
    ]  # fmt: skip


def test_what_it_shows_is_said():
    assert frost_words(frost_at(-2.0, (0.35, 0.1, 0.0))) == (
        "Chance of a night of -2 °C or colder at the pots: 35 in 100 in week 33, 10 in 100 in week 34, "
        "fewer than 1 in 100 in the others."
    )
    assert frost_words(frost_at(0.0, (1.0,))) == (
        "Chance of a night of 0 °C or colder at the pots: more than 99 in 100 in week 33."
    )
