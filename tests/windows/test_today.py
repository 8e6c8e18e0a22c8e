"""Today's advice where weather may hurt a tree just worked."""

from __future__ import annotations

import pytest

from season_engine.species.schema import ColdHazard, HeatHazard
from season_engine.windows.hazard import Hazard
from season_engine.windows.hazards import event_of
from season_engine.windows.today import advise
from season_engine.windows.why_today import NeedsCover, OpenNow, Risky

FROST = ColdHazard.model_validate(
    {"name": "frost", "level_c": -2, "days": 21, "limit": 0.2, "from": "memory"}
)
HEAT = HeatHazard.model_validate({"name": "heat", "level_c": 35, "days": 21, "limit": 0.2, "from": "memory"})


def told(rule: ColdHazard | HeatHazard, chance: float, shelter: bool | None) -> str:
    """Advice on an open window, for the right reason; `shelter` None: no tree was named."""
    hazard = Hazard(rule.name, chance, rule.days, event_of(rule))
    found, why = advise("open", unsure=False, stale=None, hazards=[(rule, hazard)], shelter=shelter)
    wanted = {"hold": Risky(hazard), "only-with-shelter": NeedsCover(hazard), "do": OpenNow()}
    assert why == wanted[found]
    return found


@pytest.mark.parametrize(
    ("rule", "shelter", "advice"),
    [
        (HEAT, None, "hold"),
        (HEAT, True, "hold"),  # cover spares a tree the frost, not the heat
        (FROST, False, "hold"),
        (FROST, True, "only-with-shelter"),
        (FROST, None, "only-with-shelter"),
    ],
)
def test_what_a_likely_hazard_makes_of_an_open_window(rule, shelter, advice) -> None:
    assert told(rule, 0.5, shelter) == advice
    assert told(rule, 0.2, shelter) == "do", "as likely as the job allows"
