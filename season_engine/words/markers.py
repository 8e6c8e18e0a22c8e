"""The criteria of a window in words: what is waited for, how far it is, and what its numbers rest on."""

from __future__ import annotations

from collections.abc import Mapping
from typing import assert_never

from season_engine.facts import Degrees, Sum, Text
from season_engine.markers.so_far import DayLength, HeatLeft, MeanSoFar, NotBefore, SumSoFar, WarmthSoFar
from season_engine.tables.known import Provenance
from season_engine.windows.assessment import Reason
from season_engine.words import prose
from season_engine.words.quantities import unit_text
from season_engine.words.speech import said, say

_RESTS_ON: Mapping[Provenance, Text] = {
    "published": Text("published"),
    "fit": Text("fitted"),
    "practice": Text("common practice, no source"),
    "memory": Text("from memory"),
}


def label_text(label: Text) -> str:
    """What is waited for, as it begins a sentence."""
    return prose.begun(said(label))


def reason_text(reason: Reason) -> str:
    """What is waited for, and how far it is where that is told; no full stop."""
    label = label_text(reason.label)
    match reason.so_far:
        case None:
            return label
        case SumSoFar(have, need, unit):
            return say(
                "{label}: {have:.0f} of {need:.0f} {unit} so far",
                label=label,
                have=Sum(have, unit),
                need=Sum(need, unit),
                unit=unit_text(unit),
            )
        case HeatLeft(left, mark, unit):
            return say(
                "{label}: {have:.0f} {unit} still to come, {need:.0f} is the mark",
                label=label,
                have=Sum(left, unit),
                need=Sum(mark, unit),
                unit=unit_text(unit),
            )
        case DayLength(hours):
            return say("{label}: it is {have:.1f} hours long", label=label, have=hours)
        case MeanSoFar(mean_c, days, root_zone):
            root = Text("{label}: the root zone averaged {mean} over the last {days} days")
            air = Text("{label}: the air averaged {mean} over the last {days} days")
            return say(root if root_zone else air, label=label, mean=Degrees(mean_c, 1), days=days)
        case WarmthSoFar(percent):
            return say("{label}: {have:.0f} % of the warmth it wants so far", label=label, have=percent)
        case NotBefore(start):
            return say("{label}: not before {start}", label=label, start=said(start))
    assert_never(reason.so_far)


def rests_on(reason: Reason) -> str:
    """What its numbers rest on, in a few words."""
    origin = provenance_text(reason)
    return say("{origin}, stretched to this species", origin=origin) if reason.stretched else origin


def provenance_text(reason: Reason) -> str:
    """The same, whatever species its numbers were measured on."""
    return known_text(reason.provenance)


def known_text(provenance: Provenance) -> str:
    """Where a number is known from, in a few words."""
    return said(_RESTS_ON[provenance])


def origin_text(reason: Reason) -> str:
    """The same with the source, where there is one."""
    origin = rests_on(reason)
    return say("{origin}: {source}", origin=origin, source=reason.source) if reason.source else origin
