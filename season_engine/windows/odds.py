"""Odds as a grower says them."""

from __future__ import annotations

import math

from season_engine.messages import Message


def odds(chance: float, *, in_hundreds: bool = False) -> Message:
    """``7 in 10``; in hundreds near the ends or where asked, and never quite none or certain."""
    hundredths = math.floor(chance * 100 + 0.5)
    if hundredths <= 0:
        return Message("fewer than 1 in 100")
    if hundredths >= 100:
        return Message("more than 99 in 100")
    if in_hundreds or hundredths < 10 or hundredths > 90:
        return Message("{n} in 100", n=hundredths)
    return Message("{n} in 10", n=math.floor(chance * 10 + 0.5))
