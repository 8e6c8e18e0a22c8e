"""The answer to a question about one job: of its windows the nearest, beside the others."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from season_engine.species.schema import Window
from season_engine.trees.history import History
from season_engine.windows.assess import Prospect, assess, judged
from season_engine.windows.assessment import Assessment
from season_engine.windows.choice import nearest_first
from season_engine.windows.explain import explain
from season_engine.windows.lighter import light_trim, with_light_trim
from season_engine.windows.own_numbers import own_number_warnings
from season_engine.windows.tree_need import with_need


def answer_about(
    prospect: Prospect,
    windows: Sequence[Window],
    history: History | None = None,
    *,
    named: bool = False,
    explained: bool = False,
) -> Assessment:
    """The nearest of a job's windows, for one tree where `history` is given.

    `named`: the window was asked for by name, so that lighter work isn't offered in its place. `explained`:
    with the trail behind its dates.
    """
    shelter = history.tree.shelter if history else None
    judged_ones = (with_need(assess(prospect, one, shelter), prospect, one, history) for one in windows)
    found, *others = nearest_first(judged_ones)
    warnings = (*found.warnings, *own_number_warnings(prospect))
    found = replace(found, others=tuple(others), warnings=warnings)
    if not named:
        found = with_light_trim(found, light_trim(prospect, found, shelter))
    if explained:
        asked = next(one for one in windows if one.name == found.window)
        shift, _ = judged(prospect, asked, found.floor)
        found = replace(found, explanation=explain(prospect, asked, shift))
    return found
