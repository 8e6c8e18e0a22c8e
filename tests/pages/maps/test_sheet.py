"""Pictures of the made country: what stands on them, in grey and for colour-blind eyes."""

from __future__ import annotations

import datetime as dt
import io
import re
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pytest
from PIL import Image

from season_engine.locale import languages
from season_engine.maps.batch_files import read_rows
from season_engine.maps.places import unrolled
from season_engine.maps.shown import Blank, shown
from season_engine.maps.whats import WHATS
from season_engine.pages.maps import sheet
from season_engine.pages.maps.inks import INK, PAPER, SOFT, tones
from season_engine.pages.maps.key import key_rows
from season_engine.pages.maps.numbers import Board
from season_engine.pages.maps.sheet import draw_map
from season_engine.words import batch_map as words
from season_engine.words.speech import speaking
from tests.eyes import LOSSES, LUMINANCE, contrast, linear, seen_with
from tests.made_country import a_refusal, a_row, country, scattered, write_batch

EYES = ("as it is", "grey", *LOSSES)
WORDS_IN_INK = (
    4.5  # WCAG 2.1, success criterion 1.4.3: words; 1.4.11: 3 for what carries a meaning; from memory
)
MARKS = 3.0
MARCH = dt.date(2026, 3, 10)


def rows_of(rows, **options):
    with TemporaryDirectory() as folder:
        return read_rows(write_batch(Path(folder) / "batch", rows, **options))


@cache
def the_country():
    return rows_of(country(step=2.0))


@cache
def the_yards(count=60):
    return rows_of(scattered(count), on=dt.date(2026, 8, 10))


def pixels(png):
    return np.asarray(Image.open(io.BytesIO(png)).convert("RGB"))


def rgb(ink):
    return tuple(bytes.fromhex(ink.removeprefix("#")))


def rgb_tones(count):
    return [tuple(round(255 * part) for part in tone) for tone in tones(count)]


def see(eye, colour):
    return colour if eye == "as it is" else tuple(seen_with(eye, colour))


@pytest.mark.parametrize("eye", EYES)
@pytest.mark.parametrize("count", [1, 4, 11])
def test_words_in_ink_are_readable_on_every_tone_and_tones_darken_steadily(eye, count):
    seen = [see(eye, tone) for tone in rgb_tones(count)]
    assert min(contrast(see(eye, rgb(INK)), tone) for tone in seen) >= WORDS_IN_INK
    assert contrast(see(eye, rgb(SOFT)), see(eye, rgb(PAPER))) >= WORDS_IN_INK
    light = [float(linear(tone) @ LUMINANCE) for tone in seen]
    assert (np.diff(light) < -0.02).all(), "each is darker than the last, in any eye"


def test_the_picture_is_paper_ink_and_the_tones_of_one_hue():
    found = shown(the_country(), "opens")
    picture = pixels(draw_map(the_country(), found, width_px=800))
    tints = [rgb(PAPER), rgb(INK), *rgb_tones(found.lines().size + 1)]
    shares = [share(picture, tint) for tint in tints]
    assert min(shares) > 0.002
    assert sum(shares) > 0.85, "the rest are soft edges and hatching"


class Seen:
    """A drawn map with its axes, to look up what stands at a place."""

    def __init__(self, rows, what, monkeypatch, **options):
        kept = {}
        draw = sheet._draw_map
        monkeypatch.setattr(
            sheet, "_draw_map", lambda axes, a_map: (kept.update(axes=axes), draw(axes, a_map))[1]
        )
        self.shown = shown(rows, what)
        self.pixels = pixels(draw_map(rows, self.shown, **options))
        self.axes = kept["axes"]

    def around(self, latitude, longitude, half_px):
        """The square of pixels around a place."""
        x, y = self.axes.transData.transform((longitude, latitude))
        row, column = self.pixels.shape[0] - round(y), round(x)
        return self.pixels[row - half_px : row + half_px, column - half_px : column + half_px]

    def texts(self):
        """Boxes of all words inside the map, in pixels, with their words."""
        renderer = self.axes.figure.canvas.get_renderer()
        return [
            (text.get_text(), text.get_window_extent(renderer)) for text in self.axes.texts if text.get_text()
        ]


def share(square, colour):
    """Share of pixels of a colour, give or take rounding."""
    return float((np.abs(square.astype(int) - colour).max(axis=-1) <= 1).mean())


def test_each_cell_has_the_tone_of_its_band_or_the_pattern_of_its_reason(monkeypatch):
    rows = the_country()
    seen = Seen(rows, "opens", monkeypatch, width_px=1600)
    lines = seen.shown.lines()
    bands = rgb_tones(lines.size + 1)
    right = []
    for latitude, longitude, value, blank in zip(
        rows.latitude, rows.longitude, seen.shown.values, seen.shown.blank, strict=True
    ):
        square = seen.around(latitude, longitude, 5)
        if blank == Blank.SHOWN:
            right.append(share(square, bands[np.searchsorted(lines, value, side="right")]) > 0.3)
        else:
            cell = seen.around(latitude, longitude, 10)
            assert share(cell, rgb(PAPER)) < 0.9, "hatched"
            assert all(share(cell, tone) == 0 for tone in bands), "no tone"
    assert np.mean(right) > 0.85, "but for cells under a number or a line"
    assert share(seen.around(-10, 56, 20), rgb(PAPER)) == 1, "the sea is plain"


CROWD = [(what, 700) for what in WHATS if what != "monday"]  # no Monday is safe in August there


@pytest.mark.parametrize(("what", "many"), [*((what, None) for what in WHATS), *CROWD])
def test_no_number_covers_another_or_leaves_the_map(monkeypatch, what, many):
    rows = the_yards(many) if many else the_country()
    seen = Seen(rows, what, monkeypatch, width_px=800)
    boxes = [box for _, box in seen.texts()]
    assert len(boxes) >= 15
    frame = seen.axes.get_window_extent()
    for place, box in enumerate(boxes):
        assert frame.x0 <= box.x0 and box.x1 <= frame.x1 and frame.y0 <= box.y0 and box.y1 <= frame.y1
        for other in boxes[place + 1 :]:
            apart = box.x1 <= other.x0 or other.x1 <= box.x0 or box.y1 <= other.y0 or other.y1 <= box.y0
            assert apart


def test_earliest_and_latest_are_told_in_numbers(monkeypatch):
    seen = Seen(the_yards(), "opens", monkeypatch, width_px=800)
    told = {text for text, _ in seen.texts()}
    values = seen.shown.values[~np.isnan(seen.shown.values)]
    for value in (values.min(), values.max()):
        date = seen.shown.date(value, "south")
        assert f"{date.day} {date:%b}" in told


def test_a_dot_has_the_tone_of_its_band_and_a_mark_where_it_has_none(monkeypatch):
    rows = the_yards()
    seen = Seen(rows, "opens", monkeypatch, width_px=1600)
    lines, east = seen.shown.lines(), unrolled(rows.longitude)
    bands = rgb_tones(lines.size + 1)
    for place, blank in enumerate(seen.shown.blank):
        square = seen.around(rows.latitude[place], east[place], 2)
        if blank == Blank.REFUSED:
            assert share(square, rgb(INK)) > 0.3
        elif blank == Blank.NOT_HERE:
            assert share(square, rgb(PAPER)) > 0.3
    dotted = [
        share(
            seen.around(rows.latitude[place], east[place], 2), bands[np.searchsorted(lines, value, "right")]
        )
        for place, value in enumerate(seen.shown.values)
        if not np.isnan(value)
    ]
    assert np.mean(np.array(dotted) > 0.5) > 0.9, "but for dots under other dots"


def key_words(rows, what, *, cells=True, empty=True, language="en"):
    with speaking(language):
        found = shown(rows, what)
        return [
            " ".join(row.words)
            for row in key_rows(found, found.lines(), cells=cells, empty=empty, width_in=2)
        ]


def test_the_key_names_every_reason_and_only_those_there_are():
    told = " ".join(key_words(the_country(), "opens"))
    for part in (
        "not here: fewer than half",
        "refused: weather",
        "no data, such as the sea",
        "south: before",
    ):
        assert part in told
    assert "another season" not in told and "not known" not in told
    whole = rows_of([a_row(f"{up}", up, 5, dt.date(2026, 3, up)) for up in (5, 9, 13)])
    assert len(key_words(whole, "opens", empty=False)) == 1 + (shown(whole, "opens").lines().size + 1) + 2
    another = rows_of(
        [a_row("a", 45, 5, MARCH), a_row("b", 45, 6, MARCH), a_row("c", 45, 7, MARCH, season="2026/27")]
    )
    assert any("another season, so not shown (1)" in one for one in key_words(another, "opens"))


def test_the_key_of_mondays_says_where_none_was_found():
    told = key_words(the_country(), "monday")
    assert any("no Monday found that is safe enough" in one for one in told)
    assert told[1:3] == ["before 9 Mar", "9 Mar"]


@pytest.mark.parametrize("what", WHATS)
@pytest.mark.parametrize("cells", [True, False])
def test_all_words_are_said_in_every_language(what, cells):
    rows, found = the_country(), shown(the_country(), what)

    def told(language):
        with speaking(language):
            said = {words.map_title(rows, found), words.meaning(rows, found), words.seen_on(rows, found)}
            said |= {*words.footnotes(rows), words.degrees_words(12.5, of_latitude=False)}
        return said | set(key_words(rows, what, cells=cells, language=language))

    for language in languages():
        assert len(told(language)) > 11
        if language != "en":
            assert not [one for one in told("en") & told(language) if any(letter.isalpha() for letter in one)]


@pytest.mark.parametrize("width_px", [400, 1600])
def test_a_picture_is_as_wide_as_asked_and_the_same_every_time(width_px):
    rows = the_yards()
    first, second = (draw_map(rows, shown(rows, "opens"), width_px=width_px) for _ in range(2))
    assert pixels(first).shape[1] == width_px
    assert first == second
    about = Image.open(io.BytesIO(first)).text
    assert about["Title"] == "Japanese maple, repotting (spring): opening dates"
    assert "As it looks on Mon 10 Aug 2026. Season 2026/27." in about["Description"]
    assert "half the odds that it is open by then" in about["Description"]


def test_what_a_number_is_stands_below_the_title():
    rows = the_country()
    told = {what: words.meaning(rows, shown(rows, what)) for what in WHATS}
    assert words.seen_on(rows, shown(rows, "opens")) == (
        "As it looks on Mon 2 Mar 2026. Season 2025/26 in the north, 2026/27 in the south."
    )
    assert words.seen_on(rows, shown(rows, "chance")) == "As it looks on Mon 2 Mar 2026."
    assert re.fullmatch(r'"(\d+ \w+)": half the odds that it is open by then, \w+ \1 2026.', told["opens"])
    assert '"+4": four days after' in told["early-late"]
    assert "is the first Monday on which" in told["monday"] and "at least 7 in 10" in told["monday"]
    assert re.fullmatch(r'"([<>]?\d+)": \1 in 100 that it is open on Mon 2 Mar 2026.', told["chance"])
    assert "in half of the past seasons" in told["usual"]


SMALL = {
    "one site": [(45, 5)],
    "one place twice": [(45, 5), (45, 5)],
    "two far apart": [(60, -170), (-60, 170)],
    "a row": [(45, 5), (45, 6), (45, 7)],
    "a square of cells": [(45, 5), (45, 6), (46, 5), (46, 6)],
    "cells at the pole": [(up, east) for up in (88, 89, 90) for east in (0, 1, 2)],
    "cells on both sides of the equator": [(up, east) for up in (-0.5, 0.5) for east in (0.5, 1.5)],
    "the whole earth": [(up, east) for up in range(-80, 90, 10) for east in range(-180, 180, 10)],
}


@pytest.mark.parametrize("name", SMALL)
def test_odd_shapes_are_drawn_too(name):
    given = [
        a_row(f"{number}", up, east, dt.date(2026, 3 if up >= 0 else 9, 1 + number % 20), late=number % 3)
        for number, (up, east) in enumerate(SMALL[name])
    ]
    found = pixels(draw_map(rows_of(given), shown(rows_of(given), "opens"), width_px=400))
    assert found.shape[1] == 400 and 150 < found.shape[0] < 700
    dark = contrast(found, np.array(rgb(PAPER))) > MARKS
    assert dark.mean() > 0.01
    assert not dark[:2].any() and not dark[-2:].any() and not dark[:, :2].any() and not dark[:, -2:].any()


def test_a_grid_may_be_drawn_as_dots():
    found = shown(the_country(), "opens")
    cells, dots = (
        pixels(draw_map(the_country(), found, width_px=400, as_dots=dots)) for dots in (False, True)
    )
    darkest = rgb_tones(found.lines().size + 1)[-1]
    assert share(dots, darkest) < share(cells, darkest)


def test_lines_run_between_cells_of_either_side(monkeypatch):
    """Cells that open on a line's date lie on its darker side, those of the day before on the lighter."""
    days = {0: 10, 1: 10, 2: 10, 3: 17, 4: 17, 5: 17}
    given = [
        a_row(f"{up}/{east}", 40 + up, east, dt.date(2026, 3, days[east]))
        for up in range(6)
        for east in range(6)
    ]
    seen = Seen(rows_of(given), "opens", monkeypatch, width_px=1600)
    paths = [path for drawn in seen.axes.collections for path in drawn.get_paths() if len(path.vertices) > 5]
    across = [
        path.vertices[:, 0]
        for path in paths
        if np.ptp(path.vertices[:, 1]) > 4 and np.ptp(path.vertices[:, 0]) < 1
    ]
    assert across and all(((2 < x) & (x < 3)).all() for x in across)


def test_no_line_joins_the_hemispheres(monkeypatch):
    """Two cells that meet at the equator open half a year apart, and what lies between is no gradient."""
    given = [
        a_row(f"{up}/{east}", up, east, MARCH + dt.timedelta(2 * east + (0 if up > 0 else 182)))
        for up in (-2.5, -1.5, -0.5, 0.5, 1.5, 2.5)
        for east in range(4)
    ]
    seen = Seen(rows_of(given), "opens", monkeypatch, width_px=800)
    assert np.ptp(seen.shown.values) < 10, "as many days into their seasons"
    assert 0 < seen.shown.lines().size < 9
    told = {text for text, _ in seen.texts()}
    assert any("Mar" in one for one in told) and any("Sep" in one for one in told)


def test_the_board_gives_a_place_away_once():
    board = Board((0, 0, 100, 100))
    assert board.take((10, 10, 30, 20))
    assert not board.take((29, 19, 40, 30))
    assert board.take((30, 10, 40, 20)), "side by side"
    assert not board.take((90, 90, 101, 95)), "not all on the map"
    board.keep_free([(50, 50, 60, 60)])
    assert not board.take((55, 40, 70, 70))


def test_a_run_that_is_not_finished_says_so_on_the_map():
    with TemporaryDirectory() as folder:
        batch = write_batch(Path(folder) / "batch", country(step=2.0), block=100)
        (batch / "block=00001" / "part.parquet").unlink()
        first, second = words.footnotes(read_rows(batch))
    assert first == "The run isn't finished: one block of sites is missing."
    assert second.endswith("look at the tree before you act.")


def test_a_refused_site_has_a_mark(monkeypatch):
    rows = rows_of([a_row("a", 45, 5, MARCH), a_refusal("b", 46, 6)])
    seen = Seen(rows, "opens", monkeypatch, width_px=800)
    square = seen.around(46, 6, 4)
    assert (contrast(square, np.array(rgb(PAPER))) > MARKS).mean() > 0.1
