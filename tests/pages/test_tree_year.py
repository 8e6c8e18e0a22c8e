"""The year ahead: places are dates, ends are soft within their range, bars and words keep apart."""

from __future__ import annotations

import datetime as dt
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from season_engine.delivery import pictures
from season_engine.pages.pictures.charts import LETTER, MARGIN, WIDTH, Scale
from season_engine.pages.pictures.tree_year import (
    DUE,
    HEAD,
    LANE,
    NAME,
    POSSIBLE,
    ROWS,
    TALL,
    kind_of,
    shades,
    tree_year,
    tree_years,
)
from season_engine.report.year_ahead import Span
from season_engine.species.jobs import JOBS
from season_engine.windows.assessment import Quantiles
from season_engine.words.report import site_sections
from season_engine.words.year_ahead import SHORT, SpanWord, YearRow
from tests.factories import AS_OF, a_site_report, days, quantiles

SCALE = Scale(AS_OF.toordinal(), AS_OF.toordinal() + 365, MARGIN, WIDTH - MARGIN)


def numbers(path: str) -> list[float]:
    return [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", path)]


def boxes(path: str) -> list[tuple[float, float, float, float]]:
    """Left, right, top and foot of each rectangle of a path."""
    return [
        (left, right, top, foot)
        for left, top, right, foot, back in (numbers(box) for box in path.split("M")[1:])
        if back == left
    ]


def at(date: dt.date) -> float:
    return SCALE(date.toordinal())


def a_span(opens: Quantiles, closes: Quantiles, job: str = "repotting", *, due: bool = True) -> Span:
    return Span(job, job, opens, closes, due)


def a_row(*spans: Span, name: str = "Lantern") -> YearRow:
    return YearRow(name, "Japanese maple", "resting", tuple(SpanWord(s, "repot") for s in spans), "Said.")


def bars_of(*spans: Span):
    drawing = tree_year([a_row(*spans)], AS_OF)
    assert drawing is not None
    return drawing.rows[0].bars


def test_a_bar_is_full_between_the_middle_dates_and_fades_to_the_outer_ones():
    opens, closes = quantiles(AS_OF + days(60), 12), quantiles(AS_OF + days(110), 20)
    (bar,) = bars_of(a_span(opens, closes))
    full, *soft = bar.shades
    assert full.strength == 1.0
    assert [(left, right) for left, right, *_ in boxes(full.path)] == [(at(opens.p50), at(closes.p50))]
    ends = [box for shade in soft for box in boxes(shade.path)]
    assert min(left for left, *_ in ends) == at(opens.p10)
    assert max(right for _, right, *_ in ends) == at(closes.p90)
    rising = [min(boxes(shade.path)) for shade in sorted(soft, key=lambda one: one.strength)]
    assert rising == sorted(rising), "the surer the nearer to the middle"


def test_due_is_thick_and_possible_thin():
    opens, closes = quantiles(AS_OF + days(60), 12), quantiles(AS_OF + days(110), 20)
    for due, height in ((True, DUE), (False, POSSIBLE)):
        (bar,) = bars_of(a_span(opens, closes, due=due))
        assert bar.due is due
        assert {foot - top for shade in bar.shades for *_, top, foot in boxes(shade.path)} == {height}


def test_dates_that_the_calendar_sets_have_hard_ends():
    (bar,) = bars_of(a_span(quantiles(AS_OF + days(40), 0), quantiles(AS_OF + days(90), 0)))
    assert [shade.strength for shade in bar.shades] == [1.0]


def test_what_has_begun_is_drawn_from_today_on_and_what_outlasts_the_year_to_its_end():
    begun, lasting = bars_of(
        a_span(quantiles(AS_OF - days(30), 9), quantiles(AS_OF + days(20), 9)),
        a_span(quantiles(AS_OF + days(300), 9), quantiles(AS_OF + days(400), 9)),
    )
    assert boxes(begun.shades[0].path)[0][0] == MARGIN
    assert boxes(lasting.shades[0].path)[0][1] == WIDTH - MARGIN
    assert (begun.anchor, lasting.anchor) == ("start", "end"), "a word stands where there is room"


def test_without_late_dates_an_end_fades_as_far_as_its_early_ones_lie_before():
    middle = AS_OF + days(80)
    closes = Quantiles(middle - days(14), middle, None)
    (bar,) = bars_of(a_span(quantiles(AS_OF + days(40), 5), closes))
    last = max(right for shade in bar.shades for _, right, *_ in boxes(shade.path))
    assert last == at(middle + days(14))


DATES = st.lists(st.integers(-200, 600), min_size=6, max_size=6).map(sorted)


@st.composite
def spans(draw: st.DrawFn) -> Span:
    first = [AS_OF + days(n) for n in draw(DATES)]
    none = draw(st.sampled_from(["", "opens", "closes", "both"]))
    opens = Quantiles(first[0], first[1], None if none in ("opens", "both") else first[2])
    closes = Quantiles(first[3], first[4], None if none in ("closes", "both") else first[5])
    return Span(draw(st.sampled_from(sorted(SHORT))), "w", opens, closes, draw(st.booleans()))


@given(spans())
def test_soft_ends_lie_within_their_quantiles(span):
    for bar in bars_of(span):
        for shade in bar.shades:
            for left, right, *_ in boxes(shade.path):
                assert at(span.opens.p10) - 0.1 <= left < right
                if span.closes.p90 is not None:
                    assert right <= max(at(span.closes.p90), MARGIN) + 0.1
                if shade.strength == 1.0:
                    assert left >= at(span.opens.p50) - 0.1 and right <= at(span.closes.p50) + 0.1
                else:
                    assert right <= at(span.opens.p50) + 0.1 or left >= at(span.closes.p50) - 0.1


@given(st.lists(spans(), max_size=7), st.text("Wm lö", max_size=70))
def test_nothing_is_drawn_outside_or_over_another(some, name):
    drawing = tree_year([a_row(*some, name=name)], AS_OF)
    assert drawing is not None
    _, _, width, height = numbers(drawing.view_box)
    (row,) = drawing.rows
    taken: list[tuple[float, float, float]] = []
    for bar in row.bars:
        parts = [box for shade in bar.shades for box in boxes(shade.path)]
        assert all(MARGIN <= left and right <= width - MARGIN for left, right, *_ in parts)
        assert all(row.top < top and foot < drawing.foot for *_, top, foot in parts)
        wide = LETTER * len(bar.word)
        begins = bar.word_x - {"start": 0.0, "middle": wide / 2, "end": wide}[bar.anchor]
        assert MARGIN - 0.1 <= begins and begins + wide <= width - MARGIN + 0.1
        left = min([begins, *(box[0] for box in parts)])
        right = max([begins + wide, *(box[1] for box in parts)])
        assert not any(y == bar.word_y and left < end and start < right for start, end, y in taken)
        taken.append((left, right, bar.word_y))
    assert drawing.key_top >= drawing.foot
    assert all(item.x + LETTER * len(item.words) < width for item in drawing.key)
    assert all(drawing.key_top + item.y < height for item in drawing.key)


def test_trees_stand_one_below_the_other_in_their_order():
    opens, closes = quantiles(AS_OF + days(60), 12), quantiles(AS_OF + days(110), 20)
    drawing = tree_year(
        [a_row(a_span(opens, closes), name="One"), a_row(name="Two"), a_row(a_span(opens, closes))], AS_OF
    )
    assert drawing is not None
    first, second, third = drawing.rows
    assert (first.top, first.name, second.name) == (HEAD, "One", "Two")
    assert second.top >= first.top + NAME + LANE
    assert third.top >= second.top + NAME, "a tree without a job keeps its row"
    assert tree_year([], AS_OF) is None


@given(st.lists(st.lists(spans(), max_size=6), max_size=50))
def test_trees_are_shared_out_to_drawings_that_fit_a_page(years):
    rows = [a_row(*some, name=f"Tree {n}") for n, some in enumerate(years)]
    parts = tree_years(rows, AS_OF)
    assert [row for part in parts for row in part] == rows
    for part in parts:
        drawing = tree_year(part, AS_OF)
        assert drawing is not None
        assert 1 <= len(part) <= ROWS
        assert drawing.foot - HEAD <= TALL


def test_a_long_name_is_cut():
    drawing = tree_year([a_row(name="Longbarrow maple " * 9)], AS_OF)
    assert drawing is not None and drawing.rows[0].name.endswith("…")


def test_shades_need_no_width():
    assert shades((50.0, 50.0), (50.0, 50.0), 0.0, 9.0) == ()


@pytest.mark.parametrize("job", [name for name, job in JOBS.items() if job.told_in_full])
def test_every_job_of_the_bench_has_a_short_word_and_a_pattern(job):
    assert len(SHORT[job].template) <= 18
    assert kind_of(Span(job, job, quantiles(AS_OF, 1), quantiles(AS_OF, 2), due=False)) == (
        {
            "repotting": "roots",
            "sectional-repotting": "roots",
            "decandling": "green",
            "candle-shortening": "green",
            "needle-work": "green",
            "defoliation": "green",
            "winter-tidy": "tidy",
        }.get(job, "cut")
    )


def test_the_same_trees_give_the_same_bytes_and_read_aloud_what_is_drawn():
    rows = site_sections(a_site_report(), AS_OF).year
    made = pictures._drawings()
    svg = str(made.year(rows, AS_OF))
    assert svg == str(made.year(rows, AS_OF))
    assert len(rows) < ROWS
    for row in rows:
        assert row.name in svg and row.sentence.replace("'", "&#39;") in svg
    assert "<title>The year ahead, tree by tree</title>" in svg
    assert not re.search("nan|inf|None", svg)
