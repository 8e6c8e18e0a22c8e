"""How much more or less water the air asked for than a week ago."""

from __future__ import annotations

from season_engine.facts import Text
from season_engine.weather.water_demand import WaterDemand
from season_engine.words import prose
from season_engine.words.speech import say

WORTH_TELLING_MM = 5.0
WORTH_TELLING_CHANGE = 0.15  # a judgement: less is lost in what temperatures can't see
_SHARES = (
    (0.225, Text("a fifth")),
    (0.29, Text("a quarter")),
    (0.415, Text("a third")),
    (0.58, Text("half")),
    (0.85, Text("two thirds")),
)


def water_sentence(demand: WaterDemand | None) -> str:
    """What changed, where it is worth a line; else empty."""
    if demand is None or max(demand.last_week_mm, demand.week_before_mm) < WORTH_TELLING_MM:
        return ""
    last, before = demand.last_week_mm, demand.week_before_mm
    if before == 0 or abs(last / before - 1) < WORTH_TELLING_CHANGE:
        return ""
    return say(
        "Pots will have lost {change} the week before: {last} mm of reference evapotranspiration against "
        "{before}. Wind and rain are not in this.",
        change=_change(last / before),
        last=f"{last:.0f}",
        before=f"{before:.0f}",
    )


def _change(ratio: float) -> str:
    """``about a fifth more water than``, in shares a waterer can use."""
    change = abs(ratio - 1.0)
    for limit, share in _SHARES:
        if change < limit:
            more, less = Text("about {share} more water than"), Text("about {share} less water than")
            return say(more if ratio > 1 else less, share=share)
    if ratio < 1:
        return say("far less water than")
    times = round(ratio)
    if times == 2:
        return say("about twice as much water as")
    return say("about {n} times as much water as", n=prose.number(times))
