"""Odds as a grower says them."""

from __future__ import annotations

import math


def odds(chance: float, *, in_hundreds: bool = False) -> str:
    """``7 in 10``; in hundreds near the ends or where asked, and never quite none or certain."""
    hundredths = math.floor(chance * 100 + 0.5)
    if hundredths <= 0:
        return "fewer than 1 in 100"
    if hundredths >= 100:
        return "more than 99 in 100"
    if in_hundreds or hundredths < 10 or hundredths > 90:
        return f"{hundredths} in 100"
    return f"{math.floor(chance * 10 + 0.5)} in 10"
