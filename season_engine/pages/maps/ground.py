"""The ground of a map of cells: bands of tone, lines of equal value, coast, and hatching without a value."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from season_engine.maps.places import Grid
from season_engine.maps.shown import HEMISPHERES, Blank, Shown
from season_engine.maps.whats import What
from season_engine.pages.maps.inks import INK, PAPER, PATTERNS, SOFT, tones
from season_engine.pages.maps.numbers import AIR_IN, Board, halo, with_air
from season_engine.site import Hemisphere
from season_engine.words.batch_map import number_on_map

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]

EMPTY = -1  # a cell without a site
THIN_SPACE = "\N{THIN SPACE}"  # filled by the rims of the letters beside it, so that no line is seen in it
# Lines run between one whole value and the next, so that a cell lies on the side that its number says.
HALF_WAY: Mapping[What, float] = {"opens": 0.5, "usual": 0.5, "early-late": 0.5, "monday": 3.5, "chance": 0.0}


@dataclass(frozen=True, eq=False)
class Ground:
    """What is shown, laid on the grid: values, NaN for none, and `Blank` or EMPTY, both [row, column]."""

    grid: Grid
    shown: Shown
    lines: FloatArray
    values: FloatArray
    blank: NDArray[np.int8]

    @classmethod
    def of(cls, grid: Grid, shown: Shown, lines: FloatArray) -> Ground:
        """The ground of a map."""
        return cls(grid, shown, lines, grid.laid(shown.values, np.nan), grid.laid(shown.blank, EMPTY))


def draw_ground(axes: Any, ground: Ground, board: Board) -> None:
    """Draw bands, lines with their numbers, hatching and coast; the board is told where numbers stand."""
    labels: list[Any] = []
    for half in HEMISPHERES:  # their seasons are apart: no line runs from one to the other
        labels += _draw_half(axes, ground, half)
    _cover(axes, ground)
    for blank, pattern in PATTERNS.items():
        _hatch(axes, ground, ground.blank == blank, pattern.hatch, board)
    _borders(axes, ground, ground.blank, EMPTY, SOFT, 0.6)
    _borders(axes, ground, ground.blank == EMPTY, True, INK, 0.9)
    _keep_labels(axes, ground, labels, board)


def _draw_half(axes: Any, ground: Ground, half: Hemisphere) -> list[Any]:
    """Bands and lines of a hemisphere; the numbers on its lines."""
    rows = np.flatnonzero((ground.grid.latitudes < 0) == (half == "south"))
    values = ground.values[rows]
    if np.isnan(values).all():
        return []
    whole, near = _reaching_out(values)
    step, across = ground.grid.step
    x = _to_the_edges(ground.grid.longitudes, across)
    y = _to_the_edges(ground.grid.latitudes[rows], step)
    lines = ground.lines - HALF_WAY[ground.shown.what]
    low, high = min(whole.min(), *lines, np.inf) - 1, max(whole.max(), *lines, -np.inf) + 1
    axes.contourf(x, y, whole, levels=[low, *lines, high], colors=tones(lines.size + 1), zorder=1)
    inner = lines[(lines > np.nanmin(values)) & (lines <= np.nanmax(values))]
    if not inner.size:
        return []
    drawn = axes.contour(
        *(x, y, np.ma.masked_array(whole, ~near)),
        levels=inner,
        colors=INK,
        linestyles="solid",
        linewidths=[_width(ground.shown.what, line) for line in inner],
        zorder=2,
    )
    told = [number_on_map(ground.shown, line, half).replace(" ", THIN_SPACE) for line in ground.lines]
    named = dict(zip(lines.tolist(), told, strict=True))
    return list(
        axes.clabel(drawn, fmt=lambda line: named[float(line)], inline=False, fontsize=7.5, colors=INK)
    )


def _width(what: What, line: float) -> float:
    """The line between early and late is the heavy one."""
    return 1.8 if what == "early-late" and abs(line) < 1 else 0.8


def _to_the_edges(middles: FloatArray, step: float) -> FloatArray:
    """The middles of cells, and the outer edges of the first and last."""
    return np.concatenate([middles[:1] - step / 2, middles, middles[-1:] + step / 2])


def _reaching_out(values: FloatArray) -> tuple[FloatArray, BoolArray]:
    """Values carried on to where there are none, and to the outer edges; and which are near to a value."""
    from scipy.ndimage import binary_dilation, distance_transform_edt

    padded = np.pad(values, 1, constant_values=np.nan)
    none = np.isnan(padded)
    nearest = distance_transform_edt(none, return_distances=False, return_indices=True)
    return padded[tuple(nearest)], binary_dilation(~none, np.ones((3, 3), dtype=bool))


def _cover(axes: Any, ground: Ground) -> None:
    """Paper over all cells without a value and those around, so that bands and lines end at their edges."""
    from matplotlib.colors import to_rgba

    blank = np.pad(ground.blank, 1, constant_values=EMPTY)
    paper = np.zeros((*blank.shape, 4))
    paper[blank != Blank.SHOWN] = to_rgba(PAPER)
    (up, across), (latitudes, longitudes) = ground.grid.step, ground.grid.edges
    extent = (longitudes[0] - across, longitudes[-1] + across, latitudes[0] - up, latitudes[-1] + up)
    axes.imshow(paper, extent=extent, origin="lower", interpolation="nearest", aspect="auto", zorder=3)


def _hatch(axes: Any, ground: Ground, cells: BoolArray, hatch: str, board: Board) -> None:
    """Hatch cells, on which no number may stand."""
    if not cells.any():
        return
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path

    strips = np.array([*_strips(ground, cells)])
    path = Path.make_compound_path_from_polys(strips)
    axes.add_patch(PathPatch(path, facecolor="none", edgecolor=SOFT, linewidth=0, hatch=hatch, zorder=4))
    corners = axes.transData.transform(strips[:, [0, 2]].reshape(-1, 2)).reshape(-1, 4)
    board.keep_free([(west, south, east, north) for west, south, east, north in corners])


def _strips(ground: Ground, cells: BoolArray) -> Iterator[list[tuple[float, float]]]:
    """The corners of the cells of each row that lie side by side."""
    latitudes, longitudes = ground.grid.edges
    turns = np.diff(np.pad(cells, ((0, 0), (1, 1))).astype(np.int8), axis=1)
    for (row, start), (_, end) in zip(np.argwhere(turns == 1), np.argwhere(turns == -1), strict=True):
        west, east, south, north = longitudes[start], longitudes[end], latitudes[row], latitudes[row + 1]
        yield [(west, south), (east, south), (east, north), (west, north)]


def _borders(axes: Any, ground: Ground, kinds: NDArray[Any], outside: Any, ink: str, width: float) -> None:
    """Lines along the edges between cells of two kinds [row, column]; around them lies `outside`."""
    from matplotlib.collections import LineCollection

    latitudes, longitudes = ground.grid.edges
    around = np.pad(kinds, 1, constant_values=outside)
    row, column = np.nonzero(around[1:-1, 1:] != around[1:-1, :-1])
    upright = [longitudes[column], latitudes[row], longitudes[column], latitudes[row + 1]]
    row, column = np.nonzero(around[1:, 1:-1] != around[:-1, 1:-1])
    level = [longitudes[column], latitudes[row], longitudes[column + 1], latitudes[row]]
    segments = np.concatenate([np.stack(upright, axis=-1), np.stack(level, axis=-1)]).reshape(-1, 2, 2)
    style: dict[str, Any] = {"colors": ink, "linewidths": width, "capstyle": "round", "zorder": 5}
    axes.add_collection(LineCollection(list(segments), **style))


def _keep_labels(axes: Any, ground: Ground, labels: list[Any], board: Board) -> None:
    """Keep the numbers on lines that lie on cells with a value and cover no other."""
    latitudes, longitudes = ground.grid.edges
    renderer = axes.figure.canvas.get_renderer()
    for label in labels:
        x, y = label.get_position()
        row, column = np.searchsorted(latitudes, y) - 1, np.searchsorted(longitudes, x) - 1
        inside = 0 <= row < ground.blank.shape[0] and 0 <= column < ground.blank.shape[1]
        box = label.get_window_extent(renderer)
        on_value = inside and ground.blank[row, column] == Blank.SHOWN
        if on_value and board.take(with_air((box.x0, box.y0, box.x1, box.y1), AIR_IN * axes.figure.dpi)):
            label.set(path_effects=halo(2.4), fontweight="bold", zorder=8)
        else:
            label.remove()
