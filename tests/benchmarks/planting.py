"""Faults as sensors, files and people make them, planted in good readings by a seed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from season_engine.weather.series import DailySeries

FLAGRANT = ("naught", "range", "crossed", "copied", "stuck", "stuck-single", "units", "sign", "spike")
SMALL = ("small spike",)  # within what weather itself does; nobody finds them all

Values = np.ndarray  # shape (2, days)


@dataclass(frozen=True)
class Planted:
    """Readings with faults, and where these are."""

    series: DailySeries
    kind: np.ndarray  # shape (days,): name of the fault, "" for a good day
    wrong: np.ndarray  # shape (2, days): readings that were changed


def plant(
    series: DailySeries, *, seed: int, share: float = 0.01, kinds: tuple[str, ...] = FLAGRANT
) -> Planted:
    """Change `share` of the days, as many of each kind, at least a fortnight from each other."""
    random = np.random.default_rng(seed)
    values = np.array([series.tmin_c, series.tmax_c])
    good = values.copy()
    kind = np.full(len(series), "", dtype="U12")
    each = round(share * len(series) / len(kinds))
    for name in kinds:
        length, change = _FAULTS[name]
        planted = 0
        while planted < each:
            days = min(int(random.integers(length[0], length[1] + 1)), max(each - planted, length[0]))
            first = int(random.integers(400, len(series) - 40))
            free = (kind[first - 14 : first + days + 14] == "").all()
            if not free or np.isnan(good[:, first - 1 : first + days + 1]).any():
                continue
            changed = change(good, first, days, random)
            if changed is None:
                continue
            values[:, first : first + days] = np.round(changed, 1)
            kind[first : first + days] = name
            planted += days
    return Planted(DailySeries(series.first_day, *values), kind, values != good)


def _part(values: Values, first: int, days: int) -> Values:
    return values[:, first : first + days].copy()


def _naught(values: Values, first: int, days: int, random: np.random.Generator) -> Values:
    return np.zeros((2, days))


def _range(values: Values, first: int, days: int, random: np.random.Generator) -> Values:
    """What a sensor says when it is torn off, or just switched on (from memory)."""
    part = _part(values, first, days)
    part[*((0, 0) if random.random() < 0.5 else (1, 0))] = random.choice([-127.0, 85.0])
    return part


def _crossed(values: Values, first: int, days: int, random: np.random.Generator) -> Values:
    return _part(values, first, days)[::-1]


def _copied(values: Values, first: int, days: int, random: np.random.Generator) -> Values | None:
    source = first - int(random.integers(30, 366))
    part = _part(values, source, days)
    return None if np.isnan(part).any() else part


def _stuck(values: Values, first: int, days: int, random: np.random.Generator) -> Values:
    return np.repeat(values[:, first - 1 : first], days, axis=1)


def _stuck_single(values: Values, first: int, days: int, random: np.random.Generator) -> Values | None:
    part, row = _part(values, first, days), int(random.integers(2))
    part[row] = values[row, first - 1]
    return None if (part[0] > part[1]).any() else part


def _units(values: Values, first: int, days: int, random: np.random.Generator) -> Values:
    return _part(values, first, days) * 1.8 + 32.0


def _sign(values: Values, first: int, days: int, random: np.random.Generator) -> Values | None:
    """The minus of a hard frost lost."""
    part = _part(values, first, days)
    part[0] = np.abs(part[0])
    return part if values[0, first] <= -5.0 else None


def _spiked(smallest_c: float, largest_c: float) -> Callable[..., Values]:
    def change(values: Values, first: int, days: int, random: np.random.Generator) -> Values:
        part, size = _part(values, first, days), random.uniform(smallest_c, largest_c)
        if random.random() < 0.5:
            part[0] -= size
        else:
            part[1] += size
        return part

    return change


# Days a fault lasts, and what it makes of the readings (None: not here).
_FAULTS: dict[str, tuple[tuple[int, int], Callable[..., Values | None]]] = {
    "naught": ((1, 1), _naught),
    "range": ((1, 1), _range),
    "crossed": ((1, 1), _crossed),
    "copied": ((7, 14), _copied),
    "stuck": ((4, 12), _stuck),  # with the day before: 5 equal days and more
    "stuck-single": ((4, 12), _stuck_single),
    "units": ((1, 10), _units),
    "sign": ((1, 1), _sign),
    "spike": ((1, 1), _spiked(15.0, 25.0)),
    "small spike": ((1, 1), _spiked(3.0, 12.0)),
}
