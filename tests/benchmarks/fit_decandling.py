"""The numbers of decandling fitted on growers' dates, and how far off a climate is that had no part in it.

`python -m tests.benchmarks.fit_decandling`: warmth left in the middle of a medium tree's window, how far
large and small trees lie from it, and how wide a window is; day of short days, cap and grown candles are the
catalogue's. Then the catalogue's own opening from year to year, in further climates too. Days are those of
whole past seasons in the middle; plus is late.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from season_engine.markers.progress import still_to_come
from season_engine.markers.sums import degree_days
from season_engine.phenology.dating import date_markers
from season_engine.species.catalogue import Species, load_catalogue
from season_engine.tree import Size
from tests.benchmarks.markdown import markdown_table, show
from tests.windows.decandling_dates import GROWERS, column_of, seasons_of

Needs = tuple[float, float, float]  # middle, apart, width, in degree days
FIRST: Needs = (1300.0, 100.0, 170.0)
STEPS = (40.0, 20.0, 10.0, 5.0)
SOONER: dict[Size, int] = {"large": 1, "medium": 0, "small": -1}
NOT_FITTED = ("Sendai", "Takayama", "Kyoto", "Kochi", "Kagoshima")
MIDWINTER = 92  # day of the season


@dataclass(frozen=True)
class Summer:
    """What of a climate's seasons decides."""

    left: NDArray[np.float64]  # warmth still to come, shape (traces, days)
    grown: dict[Size, NDArray[np.float64]]  # column at which candles are grown, shape (traces,)

    def ends(self, size: Size, needs: Needs) -> tuple[float, float]:
        """Middle columns at which the window opens and closes."""
        middle, apart, width = needs
        need = middle + SOONER[size] * apart
        grown = self.grown[size]
        opens = np.maximum(grown, self._falls_to(need + width / 2))
        closes = np.maximum(grown + _fortnight_days(size), self._falls_to(need - width / 2))
        return float(np.median(opens)), float(np.median(closes))

    def _falls_to(self, need: float) -> NDArray[np.float64]:
        return np.asarray((self.left <= need).argmax(axis=-1), np.float64)


def _pine() -> Species:
    return load_catalogue().find("Pinus thunbergii")


def _fortnight_days(size: Size) -> int:
    return _pine().markers[f"candles_long_grown_{size}"].days


@cache
def summer(climate: str) -> Summer:
    """Of one climate, its heat and candles counted as the catalogue counts them."""
    traces = seasons_of(climate)
    plain, rule = date_markers(_pine(), traces).plain, _pine().markers["heat_left_opens_medium"]
    left = still_to_come(plain[rule.until], degree_days(traces, rule.base_c, rule.upper_c))
    left[:, : traces.season_start + MIDWINTER] = np.inf
    return Summer(left, {size: plain[f"candles_grown_{size}"] for size in SOONER})


def misses(climate: str, size: Size, needs: Needs) -> tuple[float, float]:
    """Days by which the rule's opening and closing come after growers' own."""
    traces = seasons_of(climate)
    ours = summer(climate).ends(size, needs)
    theirs = (column_of(traces, *day) for day in GROWERS[climate, size])
    opens, closes = (our - their for our, their in zip(ours, theirs, strict=True))
    return opens, closes


def squared(climates: Iterable[str], needs: Needs) -> float:
    """Mean squared error in days, each climate counting once."""
    of_climates = [[misses(*key, needs) for key in GROWERS if key[0] == climate] for climate in climates]
    return float(np.mean([np.mean(np.square(one)) for one in of_climates]))


def fitted(climates: Iterable[str]) -> Needs:
    """The needs with the least error, found by steps that get smaller."""
    kept = tuple(climates)
    best, least = FIRST, squared(kept, FIRST)
    for step in STEPS:
        better = True
        while better:
            tried = ((squared(kept, one), one) for one in _around(best, step))
            now, found = min(tried)
            better = now < least
            if better:
                best, least = found, now
    return best


def _around(needs: Needs, step: float) -> Iterator[Needs]:
    for number in range(len(needs)):
        for sign in (1, -1):
            moved = [*needs]
            moved[number] += sign * step
            yield moved[0], moved[1], moved[2]


def years(climate: str) -> tuple[str, ...]:
    """How a medium tree's opening falls from year to year, and how often candles decide it."""
    plain = date_markers(_pine(), seasons_of(climate)).plain
    grown, left = plain["candles_grown_medium"], plain["heat_left_opens_medium"]
    opens = np.maximum(grown, left)
    middle = seasons_of(climate).date_of(float(np.median(opens)))
    return climate, f"{middle:%-d %b}", f"{np.std(opens):.1f}", f"{np.mean(grown > left):.0%}"


def main() -> None:
    climates = tuple(dict.fromkeys(climate for climate, _ in GROWERS))
    needs = fitted(climates)
    without = {one: fitted(other for other in climates if other != one) for one in climates}
    head = ("Climate", "Size", "Opens, days late", "Closes", "Fitted without it: opens", "Closes")
    rows = (
        (
            climate,
            size,
            *(f"{day:+.0f}" for by in (needs, without[climate]) for day in misses(climate, size, by)),
        )
        for climate, size in GROWERS
    )
    show(*markdown_table(head, rows), "")
    middle, apart, width = needs
    off = np.sqrt([squared(climates, needs), np.mean([squared([one], by) for one, by in without.items()])])
    show(
        f"Fitted: {middle:,.0f} degree days left in the middle for medium trees, {apart:.0f} more for large "
        f"and fewer for small, {width:.0f} from opening to closing. Off by {off[0]:.1f} days (root mean "
        f"square), by {off[1]:.1f} in a climate left out.",
        "",
    )
    head = ("Climate", "Medium trees open, middle", "Spread of years, days", "Decided by grown candles")
    show(*markdown_table(head, map(years, (*climates, *NOT_FITTED))))


if __name__ == "__main__":
    main()
