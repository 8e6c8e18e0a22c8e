"""Where the sites of a map lie, in the cells of a grid or scattered, unrolled at the date line."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]

OFF_NODE = 0.1  # how far a site may lie off its node, as a share of the step
SAME_PLACE = 1e-5  # degrees: a metre, and what 32 bits hold of a longitude
MOST_NODES = 50_000_000


@dataclass(frozen=True, eq=False)
class Grid:
    """Cells of even steps. `row` and `column` of each site count from the south-west."""

    latitudes: FloatArray  # [row], rising, of the cells' middles
    longitudes: FloatArray  # [column], rising, may pass 180
    row: IntArray  # [site]
    column: IntArray  # [site]

    @property
    def step(self) -> tuple[float, float]:
        """Degrees from row to row, and from column to column."""
        return (
            float(self.latitudes[1] - self.latitudes[0]),
            float(self.longitudes[1] - self.longitudes[0]),
        )

    @property
    def edges(self) -> tuple[FloatArray, FloatArray]:
        """Latitudes and longitudes between the cells, and around them."""
        return _between(self.latitudes), _between(self.longitudes)

    def laid(self, values: NDArray[Any], fill: Any) -> NDArray[Any]:
        """Values of sites [site] on the grid [row, column], `fill` where no site lies."""
        cells = np.full((self.latitudes.size, self.longitudes.size), fill, dtype=values.dtype)
        cells[self.row, self.column] = values
        return cells


def _between(middles: FloatArray) -> FloatArray:
    half = (middles[1] - middles[0]) / 2
    return np.append(middles - half, middles[-1] + half)


def unrolled(longitude: FloatArray) -> FloatArray:
    """Longitudes without a leap, cut where the widest stretch without sites is: 179 and -179 become 181."""
    if not longitude.size:
        return longitude
    wrapped = (longitude + 180.0) % 360.0 - 180.0
    ordered = np.unique(wrapped)
    gaps = np.diff(ordered, append=ordered[0] + 360.0)
    if gaps[-1] >= 0.999 * gaps.max():  # a map cut at the date line, as maps are, is left so
        return wrapped
    west = ordered[int(np.argmax(gaps)) + 1]
    return np.where(wrapped < west, wrapped + 360.0, wrapped)


def grid_of(latitude: FloatArray, longitude: FloatArray) -> Grid | None:
    """The grid on which the sites lie, two rows and columns at least; None where they are scattered.

    `longitude` is unrolled. Most sites of a grid have another in the next cell, or they are scattered ones
    whose places were rounded.
    """
    rows, columns = _axis(latitude), _axis(longitude)
    if rows is None or columns is None or rows[0].size * columns[0].size > MOST_NODES:
        return None
    grid = Grid(rows[0], columns[0], rows[1], columns[1])
    there = grid.laid(np.ones(latitude.size, dtype=bool), fill=False)
    if np.count_nonzero(there) < latitude.size:  # two in one cell
        return None
    padded = np.pad(there, 1)
    beside = padded[:-2, 1:-1] | padded[2:, 1:-1] | padded[1:-1, :-2] | padded[1:-1, 2:]
    return grid if np.count_nonzero(beside & there) * 2 > latitude.size else None


def _axis(values: FloatArray) -> tuple[FloatArray, IntArray] | None:
    """Nodes of even steps on which all values lie, and the place of each; None where there are none."""
    ordered = np.unique(values)
    ordered = ordered[np.diff(ordered, prepend=-np.inf) > SAME_PLACE]
    if ordered.size < 2:
        return None
    gaps = np.diff(ordered)
    span = ordered[-1] - ordered[0]
    if span / gaps.min() > MOST_NODES:
        return None
    steps = int(np.rint(gaps / gaps.min()).sum())
    step = span / steps
    places = np.rint((values - ordered[0]) / step)
    off = np.abs(ordered[0] + places * step - values)
    if off.max() > OFF_NODE * step:
        return None
    return ordered[0] + step * np.arange(steps + 1), places.astype(np.intp)
