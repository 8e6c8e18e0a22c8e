"""A pot as heat sees it: its size, what it is made of and filled with, and how it stands."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Literal, NamedTuple, Self


class Mix(NamedTuple):
    """What conducts and holds heat in the pot."""

    conductivity_w_m_k: float
    capacity_j_m3_k: float


class Wall(NamedTuple):
    """The pot's side: the share of sunlight it takes in, and how it holds heat back."""

    absorptance: float
    resistance_m2_k_w: float


Exposure = Literal["sun", "half", "shade"]  # of the day in which the sun is on the pot
Colour = Literal["dark", "light"]

# Conductivity of peat, air-dry to nearly saturated, is 0.05 to 0.5, of sandy soil 0.5 to 1.5: Heiskanen, J.
# (2000), Thermal conductivity of low-decomposed Sphagnum peat used as growth medium, Suo (abstract read in a
# stored copy). Mixes for trees lie between, from memory. Capacities are those of a tenth, a third and six
# tenths of water with 15 per cent solids.
MIXES: Mapping[str, Mix] = MappingProxyType(
    {"dry": Mix(0.15, 0.8e6), "moist": Mix(0.4, 1.9e6), "wet": Mix(0.7, 2.9e6)}
)
# From memory; absorptances to 0.1. Water that an unglazed wall gives off, which cools it, is left out.
WALLS: Mapping[str, Wall] = MappingProxyType(
    {
        "dark plastic": Wall(0.9, 0.01),
        "light plastic": Wall(0.4, 0.01),
        "glazed ceramic": Wall(0.7, 0.01),
        "unglazed ceramic": Wall(0.65, 0.015),
        "wood": Wall(0.65, 0.15),
    }
)
# Metres a second, a hand or two above the ground; still air rises along a warm wall as if by half a metre.
WINDS: Mapping[str, float] = MappingProxyType({"still": 0.5, "moving": 1.5, "windy": 4.0})
LONG_WAVE_W_M2_K = 5.5  # exchanged with surroundings at 15 degC, 0.95 of a black body's
AIR_CONDUCTIVITY_W_M_K, AIR_VISCOSITY_M2_S = 0.026, 1.55e-5
# Open shade still has its part of the sky. From memory.
SUN_SHARES: Mapping[Exposure, float] = MappingProxyType({"sun": 1.0, "half": 0.5, "shade": 0.1})
COLOURS: Mapping[Colour, Wall] = MappingProxyType(
    {"dark": WALLS["dark plastic"], "light": WALLS["light plastic"]}
)
# Thermal resistances of 5 cm of bark and of 10 cm of fresh snow, square metres and kelvin per W, from memory.
BARK_MULCH, FRESH_SNOW = 0.6, 1.0
LITRES = 0.05, 500.0  # from a plug tray's cell to a crate; what lies outside is a slip
DEPTH_TO_WIDTH = 0.5  # of a tree's pot of which only the litres are known; common practice, no source


@dataclass(frozen=True, slots=True)
class Pot:
    """A standing cylinder in free air, its bottom on something that takes no heat.

    Parameters
    ----------
    diameter_m, depth_m : of the mix in it.
    sun_share : of the sun on open ground, 0 to 1; see SUN_SHARES.
    wall, mix : see WALLS and MIXES.
    wind_m_s : past the pot; see WINDS.
    top_cover_m2_k_w, side_cover_m2_k_w : thermal resistance of mulch or snow on the mix and round the wall, 0
        for none. A cover keeps the colour of what it hides: a light one wants a lower `sun_share`.

    Raises ValueError for a number that no pot can have.
    """

    diameter_m: float
    depth_m: float
    sun_share: float = 1.0
    wall: Wall = WALLS["dark plastic"]
    mix: Mix = MIXES["moist"]
    wind_m_s: float = WINDS["moving"]
    top_cover_m2_k_w: float = 0.0
    side_cover_m2_k_w: float = 0.0

    def __post_init__(self) -> None:
        above_nought = (self.diameter_m, self.depth_m, self.wind_m_s, *self.mix)
        not_below = (self.sun_share, self.top_cover_m2_k_w, self.side_cover_m2_k_w, *self.wall)
        numbers = (*above_nought, *not_below)
        if not all(map(math.isfinite, numbers)) or min(above_nought) <= 0 or min(not_below) < 0:
            raise ValueError("a pot's measures are above 0, its covers and shares 0 at least")
        if max(self.sun_share, self.wall.absorptance) > 1:
            raise ValueError("a share is 1 at most")

    @classmethod
    def of_litres(cls, litres: float, **more: Any) -> Self:
        """A pot as deep as it is wide, which holds so many litres of mix."""
        side_m = math.cbrt(4.0 * litres / 1000.0 / math.pi)
        return cls(side_m, side_m, **more)

    @classmethod
    def of_tree(cls, litres: float, **more: Any) -> Self:
        """A pot for a tree, which is half as deep as wide, with so many litres of mix."""
        width_m = math.cbrt(4.0 * litres / 1000.0 / math.pi / DEPTH_TO_WIDTH)
        return cls(width_m, width_m * DEPTH_TO_WIDTH, **more)

    @classmethod
    def of_box_cm(cls, length_cm: float, width_cm: float, depth_cm: float, **more: Any) -> Self:
        """A square or oval one, as a round one of the same area."""
        return cls(math.sqrt(4.0 * length_cm * width_cm / math.pi) / 100.0, depth_cm / 100.0, **more)

    @property
    def litres(self) -> float:
        """Of mix in it."""
        return math.pi / 4.0 * self.diameter_m**2 * self.depth_m * 1000.0

    @property
    def exchange_w_m2_k(self) -> float:
        """Between its surface and the air, per square metre and kelvin: wind and long waves.

        Wind across a cylinder by Zhukauskas (1972), ``Nu = 0.26 Re ** 0.6 Pr ** 0.37`` (from memory): 20 for
        a litre, 16 for ten, 14 for sixty; two thirds of that in still air, half as much again in windy.
        """
        reynolds = self.wind_m_s * self.diameter_m / AIR_VISCOSITY_M2_S
        nusselt = 0.26 * math.pow(reynolds, 0.6) * math.pow(0.71, 0.37)  # after Prandtl's number of air
        return LONG_WAVE_W_M2_K + nusselt * AIR_CONDUCTIVITY_W_M_K / self.diameter_m

    @property
    def side_w_m2_k(self) -> float:
        """What passes from the air into the mix through the side, per square metre and kelvin."""
        held_back = self.wall.resistance_m2_k_w + self.side_cover_m2_k_w
        return 1.0 / (1.0 / self.exchange_w_m2_k + held_back)

    @property
    def top_w_m2_k(self) -> float:
        """The same through the top."""
        return 1.0 / (1.0 / self.exchange_w_m2_k + self.top_cover_m2_k_w)

    @property
    def side_share(self) -> float:
        """The side's share of all heat that the pot exchanges with air of one temperature."""
        side = 4.0 * self.depth_m * self.side_w_m2_k
        return side / (side + self.diameter_m * self.top_w_m2_k)
