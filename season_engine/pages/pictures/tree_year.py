"""The year ahead, one row a tree: each job as a span that is soft where its dates are."""

from __future__ import annotations

import datetime as dt
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from season_engine.pages.pictures.charts import (
    LETTER,
    MARGIN,
    WIDTH,
    Anchor,
    Scale,
    Tick,
    box_path,
    month_starts,
    month_ticks,
)
from season_engine.pages.pictures.keys import KeyItem, laid_out
from season_engine.report.year_ahead import DAYS, Span
from season_engine.species.jobs import JOBS
from season_engine.windows.bud_stage import BudStage
from season_engine.words import timing
from season_engine.words.speech import said, say
from season_engine.words.year_ahead import STAGES, SpanWord, YearRow

ROWS = 20  # trees in a drawing at the most
TALL = 800.0  # and of its rows, so that it fits a printed page
HEAD, FOOT = 34.0, 18.0
NAME, LANE, GAP = 19.0, 16.0, 6.0  # heights of a row's parts
DUE, POSSIBLE = 11.0, 7.0  # heights of bars
STEPS = 4  # of fading
LETTERS = 46  # of a name in a line
BUD = 24.0  # width of a bud's mark, with its gap
# Buds that are drawn; one at rest was read as an arrow or a pin by three readers of three.
MARKED: frozenset[BudStage] = frozenset({"swelling", "opening", "hardened"})
APART = 5.0  # between a bar and its word, and between two in a lane

Kind = Literal["roots", "cut", "green", "tidy"]
KINDS: tuple[Kind, ...] = ("roots", "cut", "green", "tidy")
GREEN = ("decandling", "candle-shortening", "needle-work", "defoliation")


@dataclass(frozen=True, slots=True)
class Shade:
    """A part of a bar, and how strongly it is drawn, up to 1."""

    path: str
    strength: float


@dataclass(frozen=True, slots=True)
class Bar:
    """One job's span: `shades` from its sure part to its ends, and its word."""

    kind: Kind
    due: bool
    shades: tuple[Shade, ...]
    word: str
    word_x: float
    word_y: float
    anchor: Anchor


@dataclass(frozen=True, slots=True)
class Row:
    """One tree's bars below its name."""

    name: str
    kind: str
    stage: BudStage | None
    name_x: float
    name_y: float
    top: float
    bars: tuple[Bar, ...]


@dataclass(frozen=True, slots=True)
class Fill:
    """What is drawn alike of all bars, as one shape: a path for each part doubles a large yard's page."""

    kind: Kind
    due: bool
    shade: Shade


@dataclass(frozen=True, slots=True)
class TreeYearDrawing:
    """Rows along one axis of months, and a key to what is drawn in them."""

    view_box: str
    left: float
    right: float
    foot: float  # of the rows
    today: float
    date: str
    months: tuple[Tick, ...]
    starts: tuple[float, ...]
    rows: tuple[Row, ...]
    fills: tuple[Fill, ...]
    key: tuple[KeyItem, ...]
    key_top: float
    alt: str


@dataclass(frozen=True, slots=True)
class _Placed:
    """A span's dates as places, in order, cut off nowhere."""

    word: SpanWord
    opens: tuple[float, float]  # p10, p50
    closes: tuple[float, float]  # p50, p90


def tree_years(rows: Sequence[YearRow], today: dt.date) -> list[list[YearRow]]:
    """The rows in parts, each for a drawing of its own."""
    parts: list[list[YearRow]] = []
    height = 0.0
    for row in rows:
        tall = _height(_row_lanes(row, today))
        if not parts or len(parts[-1]) == ROWS or height + tall > TALL:
            parts.append([])
            height = 0.0
        parts[-1].append(row)
        height += tall
    return parts


def tree_year(rows: Sequence[YearRow], today: dt.date) -> TreeYearDrawing | None:
    """Draw some trees' twelve months from today on; None where there is no tree."""
    if not rows:
        return None
    last, scale = _axis(today)
    drawn: list[Row] = []
    top = HEAD
    for row in rows:
        lanes = _row_lanes(row, today)
        drawn.append(_row(row, lanes, top))
        top += _height(lanes)
    key, key_height = laid_out(_key_words(drawn))
    return TreeYearDrawing(
        view_box=f"0 0 {WIDTH:g} {top + FOOT + key_height:g}",
        left=MARGIN,
        right=WIDTH - MARGIN,
        foot=top,
        today=MARGIN,
        date=timing.day(today, today),
        months=month_ticks(today, last, scale),
        starts=month_starts(today, last, scale),
        rows=tuple(drawn),
        fills=_fills([bar for row in drawn for bar in row.bars]),
        key=key,
        key_top=top + FOOT,
        alt=" ".join(row.sentence for row in rows),
    )


def _axis(today: dt.date) -> tuple[dt.date, Scale]:
    last = today + dt.timedelta(days=DAYS)
    return last, Scale(today.toordinal(), last.toordinal(), MARGIN, WIDTH - MARGIN)


def _row_lanes(row: YearRow, today: dt.date) -> list[list[_Placed]]:
    last, scale = _axis(today)
    return _lanes([_placed(word, scale, last) for word in row.spans])


def _height(lanes: Sequence[object]) -> float:
    return NAME + LANE * len(lanes) + GAP


def _placed(word: SpanWord, scale: Scale, last: dt.date) -> _Placed:
    """A span's places; an end that has no middle date lies beyond the drawing."""
    opens, closes = word.span.opens, word.span.closes
    beyond = (last + dt.timedelta(days=1)).toordinal()
    middle = opens.p50.toordinal() if opens.p50 else beyond
    first = min(opens.p10.toordinal(), middle) if opens.p10 else middle
    ends = closes.p50.toordinal() if closes.p50 else beyond
    if closes.p90:
        over = max(closes.p90.toordinal(), ends)
    else:  # too often there is none: as far beyond the middle as its early dates lie before
        over = 2 * ends - closes.p10.toordinal() if closes.p10 else ends
    return _Placed(word, (scale(first), scale(middle)), (scale(ends), scale(over)))


def _lanes(spans: Sequence[_Placed]) -> list[list[_Placed]]:
    """Spans in as few lines as keep bars and words apart; the sooner the higher."""
    lanes: list[list[_Placed]] = []
    ends: list[float] = []
    for one in sorted(spans, key=lambda one: (one.opens, one.closes, one.word.word)):
        left, right = _extent(one)
        place = next((n for n, end in enumerate(ends) if end + APART <= left), len(lanes))
        if place == len(lanes):
            lanes.append([])
            ends.append(0.0)
        lanes[place].append(one)
        ends[place] = right
    return lanes


def _extent(one: _Placed) -> tuple[float, float]:
    """Where a bar and its word begin and end."""
    left, right = _seen(one.opens[0]), _seen(one.closes[1])
    word_x, anchor, wide = _word_place(one)
    return (
        min(left, word_x - {"start": 0.0, "middle": wide / 2, "end": wide}[anchor]),
        max(right, word_x + {"start": wide, "middle": wide / 2, "end": 0.0}[anchor]),
    )


def _seen(place: float) -> float:
    return min(max(place, MARGIN), WIDTH - MARGIN)


def _word_place(one: _Placed) -> tuple[float, Anchor, float]:
    """After the bar, else before it, else upon it; and how wide it is."""
    left, right = _seen(one.opens[0]), _seen(one.closes[1])
    wide = LETTER * len(one.word.word)
    if right + APART + wide <= WIDTH - MARGIN:
        return right + APART, "start", wide
    if left - APART - wide >= MARGIN:
        return left - APART, "end", wide
    return round((left + right) / 2, 1), "middle", wide


def _row(row: YearRow, lanes: Sequence[Sequence[_Placed]], top: float) -> Row:
    (name, *_) = textwrap.wrap(row.name, LETTERS, max_lines=1, placeholder=" …") or [""]
    left = LETTERS - len(name) - 2
    kind = f", {row.kind}" if row.kind and row.kind != row.name and len(row.kind) <= left else ""
    stage = row.stage if row.stage in MARKED else None
    return Row(
        name=name,
        kind=kind,
        stage=stage,
        name_x=MARGIN + (BUD if stage else 4.0),
        name_y=top + 14,
        top=top,
        bars=tuple(_bar(one, top + NAME + LANE * (n + 0.5)) for n, lane in enumerate(lanes) for one in lane),
    )


def _fills(bars: Sequence[Bar]) -> tuple[Fill, ...]:
    paths: dict[tuple[Kind, bool, float], list[str]] = {}
    for bar in bars:
        for shade in bar.shades:
            paths.setdefault((bar.kind, bar.due, shade.strength), []).append(shade.path)
    return tuple(Fill(kind, due, Shade("".join(of), strength)) for (kind, due, strength), of in paths.items())


def _bar(one: _Placed, middle: float) -> Bar:
    span = one.word.span
    height = DUE if span.due else POSSIBLE
    x, anchor, _ = _word_place(one)
    return Bar(
        kind=kind_of(span),
        due=span.due,
        shades=shades(one.opens, one.closes, middle - height / 2, height),
        word=one.word.word,
        word_x=round(x, 1),
        word_y=middle + 4,
        anchor=anchor,
    )


def kind_of(span: Span) -> Kind:
    """What a job is done to: what tells its bar's pattern."""
    if JOBS[span.job].roots:
        return "roots"
    if span.job in GREEN:
        return "green"
    return "tidy" if JOBS[span.job].amount == "light" else "cut"


def shades(
    opens: tuple[float, float], closes: tuple[float, float], top: float, height: float
) -> tuple[Shade, ...]:
    """A bar's sure part at full strength, and its soft ends in steps, each within its range of dates."""
    found = [(1.0, [(opens[1], closes[0])])]
    for step in range(STEPS):
        here, there = step / STEPS, (step + 1) / STEPS
        strength = (step + 1) / (STEPS + 1)
        rising = _between(opens, here), _between(opens, there)
        falling = _between(closes, 1 - there), _between(closes, 1 - here)
        found.append((strength, [rising, falling]))
    drawn = []
    for strength, parts in found:
        seen = [(round(_seen(left), 1), round(_seen(right), 1)) for left, right in parts]
        path = "".join(box_path(left, right, top, height) for left, right in seen if right > left)
        if path:
            drawn.append(Shade(path, round(strength, 1)))
    return tuple(drawn)


def _between(ends: tuple[float, float], share: float) -> float:
    return ends[0] + share * (ends[1] - ends[0])


def _key_words(rows: Sequence[Row]) -> list[tuple[str, str]]:
    """What stands in the key: the kinds of bars there are, due and possible, and the buds."""
    bars = [bar for row in rows for bar in row.bars]
    kinds = {bar.kind for bar in bars}
    told = {
        "roots": say("roots"),
        "cut": say("cutting"),
        "green": say("needles, candles or leaves"),
        "tidy": say("tidying"),
    }
    items = [("due", say("due"))] if any(bar.due for bar in bars) else []
    items += [("possible", say("possible"))] if any(not bar.due for bar in bars) else []
    items += [(kind, told[kind]) for kind in KINDS if kind in kinds]
    stages = {row.stage for row in rows}
    return items + [(stage, said(words)) for stage, words in STAGES.items() if stage in stages]
