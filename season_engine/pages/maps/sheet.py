"""A map of a batch as a sheet to print: title, map, key and footnotes, as PNG."""

from __future__ import annotations

import io
import textwrap
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from season_engine.maps.batch_rows import BatchRows
from season_engine.maps.libraries import of_the_extra
from season_engine.maps.places import Grid, grid_of, unrolled
from season_engine.maps.shown import HEMISPHERES, Blank, Shown
from season_engine.pages.maps.dots import dot_size_pt, draw_dots
from season_engine.pages.maps.ground import EMPTY, Ground, draw_ground
from season_engine.pages.maps.inks import INK, PAPER, RC, SOFT
from season_engine.pages.maps.key import Row, draw_key, height_in, in_columns, key_rows
from season_engine.pages.maps.numbers import Board, halo, in_order, write_numbers
from season_engine.words import batch_map as words

FloatArray = NDArray[np.float64]

WIDTH_IN = 8.0
WIDTH_PX = 1600
MARGIN_IN, TICKS_IN, GAP_IN = 0.25, 0.45, 0.3
KEY_IN = 2.25  # a column of the key
TALLEST_IN, LOWEST_IN = 7.5, 1.8  # of the map itself
LETTERS = {"title": 66, "words": 112}  # that fit on a line
SMALLEST_SPAN = 0.2  # degrees of latitude: sites closer together still get a map around them
FLATTEST = 75.0  # no degree of longitude is drawn narrower than it is at this latitude
CROWD = 400  # sites, beyond which not every dot can be kept free of words


@dataclass(frozen=True)
class Extent:
    """What part of the earth a map shows, in degrees."""

    west: float
    east: float
    south: float
    north: float

    @property
    def shape(self) -> float:
        """Width by height, a degree of longitude as wide as it is half-way up."""
        middle = min(abs(self.south + self.north) / 2, FLATTEST)
        return float((self.east - self.west) * np.cos(np.radians(middle)) / (self.north - self.south))


@dataclass(frozen=True)
class Layout:
    """Where things stand on the sheet, in inches from its lower left; `beside`: the key, or below the map."""

    height: float
    map: tuple[float, float, float, float]  # left, bottom, width, height
    key: tuple[float, float, float, float]
    columns: list[list[Row]]


@dataclass(frozen=True, eq=False)
class _Map:
    """All that is drawn."""

    rows: BatchRows
    shown: Shown
    lines: FloatArray
    longitude: FloatArray  # unrolled
    grid: Grid | None
    ground: Ground | None

    @property
    def extent(self) -> Extent:
        if self.grid:
            (up, across), (latitudes, longitudes) = self.grid.step, self.grid.edges
            return Extent(
                *(longitudes[0] - across / 2, longitudes[-1] + across / 2),
                *(max(-90.0, latitudes[0] - up / 2), min(90.0, latitudes[-1] + up / 2)),
            )
        return around(self.rows.latitude, self.longitude)


def draw_map(rows: BatchRows, shown: Shown, *, width_px: int = WIDTH_PX, as_dots: bool = False) -> bytes:
    """A map as PNG, so many pixels wide: of cells where the sites lie on a grid, else of dots.

    Language and units are those spoken. Raises GrowerError where the library that draws is missing.
    """
    style = of_the_extra("matplotlib.style")
    longitude = unrolled(rows.longitude)
    grid = None if as_dots else grid_of(rows.latitude, longitude)
    lines = shown.lines()
    the_map = _Map(rows, shown, lines, longitude, grid, Ground.of(grid, shown, lines) if grid else None)
    with style.context(dict(RC), after_reset=True):
        return _drawn(the_map, width_px)


def _drawn(the_map: _Map, width_px: int) -> bytes:
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    title = textwrap.wrap(words.map_title(the_map.rows, the_map.shown), LETTERS["title"])
    below = [words.seen_on(the_map.rows, the_map.shown), words.meaning(the_map.rows, the_map.shown)]
    told = [line for one in below for line in textwrap.wrap(one, LETTERS["words"])]
    notes = [line for one in words.footnotes(the_map.rows) for line in textwrap.wrap(one, LETTERS["words"])]
    head_in = MARGIN_IN + 0.26 * len(title) + 0.17 * len(told) + 0.12
    foot_in = MARGIN_IN + 0.16 * len(notes)
    layout = _laid_out(the_map, head_in, foot_in)
    figure = Figure(figsize=(WIDTH_IN, layout.height), dpi=width_px / WIDTH_IN, facecolor=PAPER)
    FigureCanvasAgg(figure)
    top = layout.height - MARGIN_IN
    _write(figure, layout, top, "\n".join(title), 13.5, weight="bold", linespacing=1.2)
    _write(figure, layout, top - 0.26 * len(title) - 0.03, "\n".join(told), 8.8, linespacing=1.3)
    _write(figure, layout, foot_in - 0.08, "\n".join(notes), 7.8, color=SOFT, linespacing=1.25)
    _draw_map(figure.add_axes(_shares(layout.map, layout.height)), the_map)
    axes = figure.add_axes(
        _shares(layout.key, layout.height), xlim=(0, layout.key[2]), ylim=(0, layout.key[3])
    )
    axes.axis("off")
    draw_key(axes, layout.columns, KEY_IN + GAP_IN, cells=the_map.grid is not None)
    file = io.BytesIO()
    about = {"Software": None, "Title": " ".join(title), "Description": " ".join(told)}
    figure.savefig(file, format="png", facecolor=PAPER, metadata=about)
    return file.getvalue()


def _write(figure: Any, layout: Layout, top_in: float, told: str, size: float, **style: Any) -> None:
    figure.text(MARGIN_IN / WIDTH_IN, top_in / layout.height, told, fontsize=size, va="top", **style)


def _shares(box: tuple[float, float, float, float], height: float) -> tuple[float, float, float, float]:
    left, bottom, width, tall = box
    return left / WIDTH_IN, bottom / height, width / WIDTH_IN, tall / height


def around(latitude: FloatArray, longitude: FloatArray) -> Extent:
    """An extent that holds scattered sites, with room for numbers at its edges, and isn't a sliver."""
    south, north, west, east = latitude.min(), latitude.max(), longitude.min(), longitude.max()
    narrow = float(np.cos(np.radians(min(abs(south + north) / 2, FLATTEST))))
    least = max(SMALLEST_SPAN, (north - south) / 3, (east - west) * narrow / 3)
    tall, wide = max(north - south, least) * 1.16, max(east - west, least / narrow) * 1.2
    middle, centre = (west + east) / 2, (south + north) / 2
    return Extent(
        *(middle - wide / 2, middle + wide / 2), max(-90.0, centre - tall / 2), min(90.0, centre + tall / 2)
    )


def _laid_out(the_map: _Map, head_in: float, foot_in: float) -> Layout:
    """The key beside a tall map, and below a broad one."""
    shape = the_map.extent.shape
    left, inner = MARGIN_IN + TICKS_IN, WIDTH_IN - 2 * MARGIN_IN - TICKS_IN
    rows = key_rows(
        the_map.shown,
        the_map.lines,
        cells=the_map.grid is not None,
        empty=the_map.ground is not None and bool((the_map.ground.blank == EMPTY).any()),
        width_in=KEY_IN,
    )
    beside = shape < 1.5
    width = inner - (KEY_IN + GAP_IN) * beside
    tall = min(max(width / shape, LOWEST_IN), TALLEST_IN)
    width = min(width, tall * shape)
    columns = in_columns(rows, 1 if beside else 3)
    key_in = height_in(columns)
    if beside:
        body = max(tall + TICKS_IN, key_in)
        height = head_in + body + foot_in
        top = height - head_in
        key_box = (left + width + GAP_IN, top - key_in, KEY_IN, key_in)
    else:
        height = head_in + tall + TICKS_IN + key_in + foot_in
        top = height - head_in
        key_box = (MARGIN_IN, foot_in, WIDTH_IN - 2 * MARGIN_IN, key_in)
    return Layout(height, (left, top - tall, width, tall), key_box, columns)


def _draw_map(axes: Any, the_map: _Map) -> None:
    extent = the_map.extent
    axes.set(xlim=(extent.west, extent.east), ylim=(extent.south, extent.north), facecolor=PAPER)
    axes.autoscale(False)
    _ticks(axes)
    for edge in axes.spines.values():
        edge.set(zorder=10, linewidth=0.9)
    box = axes.get_window_extent()
    board = Board((box.x0, box.y0, box.x1, box.y1))
    if extent.south < 0 < extent.north:
        _equator(axes, extent, board)
    if the_map.ground:
        draw_ground(axes, the_map.ground, board)
    else:
        draw_dots(axes, the_map.shown, the_map.rows.latitude, the_map.longitude, the_map.lines)
    _numbers(axes, the_map, board)


def _numbers(axes: Any, the_map: _Map, board: Board) -> None:
    """Numbers of cells, each with a dot where it is, or of dots, which are kept free of words if they can."""
    shown, cells = the_map.shown, the_map.grid is not None
    places = axes.transData.transform(np.column_stack([the_map.longitude, the_map.rows.latitude]))
    crowded = not cells and shown.values.size > CROWD
    width_in = (2.2 if cells else dot_size_pt(shown.values.size)) / 72
    if not cells:
        half = width_in * axes.figure.dpi / 2
        kept = places[shown.blank != Blank.SHOWN] if crowded else places
        board.keep_free([(x - half, y - half, x + half, y + half) for x, y in kept])
    known = np.flatnonzero(shown.blank == Blank.SHOWN)
    told = [
        words.number_on_map(shown, shown.values[one], HEMISPHERES[int(shown.south[one])]) for one in known
    ]
    closely = not cells and not crowded
    order = in_order(places[known], shown.values[known], axes.figure.dpi, closely=closely)
    gap_in = width_in / 2 + 0.035
    written = known[write_numbers(axes, board, places[known], told, order, gap_in, on_paper=crowded)]
    if cells:
        where = the_map.longitude[written], the_map.rows.latitude[written]
        axes.scatter(*where, s=5, c=INK, linewidths=0, zorder=7)


def _ticks(axes: Any) -> None:
    """Degrees along the left and the lower edge."""
    from matplotlib.ticker import FuncFormatter, MaxNLocator

    for axis, of_latitude in ((axes.xaxis, False), (axes.yaxis, True)):
        axis.set_major_locator(MaxNLocator(5, steps=[1, 2, 3, 5, 10]))
        axis.set_major_formatter(FuncFormatter(_degrees(of_latitude)))
    axes.tick_params(labelsize=7.5, length=3, width=0.6, pad=2)


def _degrees(of_latitude: bool) -> Any:
    return lambda degrees, _place: words.degrees_words(degrees, of_latitude=of_latitude)


def _equator(axes: Any, extent: Extent, board: Board) -> None:
    """A broken line with its name at the left."""
    axes.plot([extent.west, extent.east], [0, 0], color=SOFT, linewidth=0.7, dashes=(6, 3), zorder=5.5)
    name = axes.annotate(
        words.equator_words(),
        (extent.west, 0),
        xytext=(3, 2),
        textcoords="offset points",
        fontsize=7,
        fontstyle="italic",
        color=SOFT,
        path_effects=halo(),
        zorder=8,
    )
    box = name.get_window_extent(axes.figure.canvas.get_renderer())
    board.keep_free([(box.x0, box.y0, box.x1, box.y1)])
