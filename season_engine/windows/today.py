"""What to do today: a second question, after where the window stands."""

from __future__ import annotations

from collections.abc import Sequence

from season_engine.species.schema import HazardRule
from season_engine.windows.assessment import Today, Verdict
from season_engine.windows.hazard import Hazard, HotRoots
from season_engine.windows.why_today import (
    ClosingNow,
    HardlyEverWell,
    NeedsCover,
    NeedsShade,
    NotOpen,
    OpenNow,
    Risky,
    Stale,
    Unsure,
    WhyToday,
)


def advise(
    verdict: Verdict,
    *,
    unsure: bool,
    stale: Stale | None,
    hazards: Sequence[tuple[HazardRule, Hazard]],
    shelter: bool | None,
    seldom_well: float | None = None,
) -> tuple[Today, WhyToday]:
    """Today's advice and why; the first criterion that applies decides.

    `shelter`: whether the tree can go under cover for some weeks; None: no tree is meant. `stale`: where the
    readings are too old to work by. `seldom_well`: the chance that it goes well, where that is too small to
    invite to it.
    """
    if seldom_well is not None and verdict not in ("closed", "not-here"):
        return "no", HardlyEverWell(seldom_well)
    if verdict != "open" and verdict != "last-call":
        return "no", NotOpen(verdict)
    if unsure:
        return "hold", Unsure()
    if stale:
        return "hold", stale
    risky = [hazard for rule, hazard in hazards if hazard.chance > rule.limit]
    shaded = [hazard for hazard in risky if isinstance(hazard.event, HotRoots)]
    covered = [hazard for hazard in risky if hazard.cold]
    exposed = shelter is False
    held = [hazard for hazard in risky if hazard not in shaded and (exposed or not hazard.cold)]
    if held:
        return "hold", Risky(_likeliest(held))
    if covered:
        return "only-with-shelter", NeedsCover(_likeliest(covered))
    if shaded:
        return "only-with-shelter", NeedsShade(_likeliest(shaded))
    return "do", ClosingNow() if verdict == "last-call" else OpenNow()


def _likeliest(hazards: Sequence[Hazard]) -> Hazard:
    return max(hazards, key=lambda hazard: hazard.chance)
