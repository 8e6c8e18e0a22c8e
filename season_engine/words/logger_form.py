"""How a logger's file was read, and which of its lines are no readings, in words."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal, assert_never

from season_engine.facts import Text
from season_engine.weather.logger.form import Column, LinesLeft, LoggerForm
from season_engine.words.speech import said, say, say_count

_DATES = {
    "year first": Text("dates with the year first"),
    "day first": Text("dates with the day first"),
    "month first": Text("dates with the month first"),
    "day of year": Text("years with days counted from 1"),
    "epoch": Text("times counted in seconds since 1970"),
    "day numbers": Text("dates as a spreadsheet's day numbers"),
    "date_format": Text("dates as date_format says"),
    "grid": Text("days by lines and columns"),
}
_UNITS = {"degC": Text("in Celsius"), "degF": Text("in Fahrenheit")}
_UNITS_FROM = {
    "settings": Text("{unit}, as season.toml says"),
    "header": Text("{unit}, as its header says"),
    "cells": Text("{unit}, as its cells say"),
    "about": Text("{unit}, as the lines above the readings say"),
    "nothing": Text("{unit}, which nothing says"),
}
_ZONE_FROM = {
    "settings": Text("times in {zone}, as season.toml says"),
    "stamps": Text("times with their zone"),
    "header": Text("times in {zone}, as its header says"),
    "about": Text("times in {zone}, as the lines above the readings say"),
}


def form_sentence(form: LoggerForm) -> str:
    """How the file was read, as a sentence."""
    return say(
        "Read: {column}, {unit}; {dates}, {step}, {clock}.",
        column=_columns(form),
        unit=say(_UNITS_FROM[form.units_from], unit=said(_UNITS[form.units])),
        dates=said(_DATES[form.dates]),
        step=_step(form),
        clock=_clock(form),
    )


def form_sentences(form: LoggerForm) -> Iterator[str]:
    """How the file was read, which sensors were left aside, and which lines are no readings."""
    yield form_sentence(form)
    if form.sensor is not None and form.sensors_left:
        others = ", ".join(_quoted(name) for name in form.sensors_left)
        yield say(
            "Of its sensors {sensor} is read, and not {others}.", sensor=_quoted(form.sensor), others=others
        )
    for left in form.left:
        yield left_sentence(left)


def left_sentence(left: LinesLeft) -> str:
    """Which lines of a kind are no readings; the text of the first beside them."""
    named = {"file": left.file.rpartition("/")[2], "text": _left(left)}
    if left.text and left.kind not in ("twice", "order", "header again"):
        return say("{file}: {text} ({shown}).", **named, shown=left.text)
    return say("{file}: {text}.", **named)


def _left(left: LinesLeft) -> str:
    n, line = left.lines, left.first_line
    match left.kind:
        case "no value":
            return say_count(
                "line {line} has a time and no temperature",
                "{n} lines have a time and no temperature, line {line} first",
                n,
                line=line,
            )
        case "code":
            return say_count(
                "the temperature on line {line} is far from all others, as of a fault, and left out",
                "{n} temperatures are far from all others, as of a fault, and left out, line {line} first",
                n,
                line=line,
            )
        case "flag":
            return say_count(
                "the temperature on line {line} is marked as bad, and left out",
                "{n} temperatures are marked as bad, and left out, line {line} first",
                n,
                line=line,
            )
        case "order":
            return say("its lines are not in order of time, and were put in order")
        case "clock lost" | "swapped" | "twice":
            return _of_time(left.kind, n, line)
        case "header again" | "summary" | "remark" | "other kind" | "cut short":
            return _no_reading(left.kind, n, line)
    assert_never(left.kind)


def _of_time(kind: Literal["clock lost", "swapped", "twice"], n: int, line: int) -> str:
    match kind:
        case "clock lost":
            return say_count(
                "line {line} is of a clock that had lost the time, and left out",
                "{n} lines are of a clock that had lost the time, and left out, line {line} first",
                n,
                line=line,
            )
        case "swapped":
            return say_count(
                "the date on line {line} had day and month changed about, and was put right",
                "{n} dates had day and month changed about, and were put right, line {line} first",
                n,
                line=line,
            )
        case "twice":
            return say_count(
                "line {line} says again what another says",
                "{n} lines say again what others say, line {line} first",
                n,
                line=line,
            )
    assert_never(kind)


def _no_reading(
    kind: Literal["header again", "summary", "remark", "other kind", "cut short"], n: int, line: int
) -> str:
    match kind:
        case "header again":
            return say_count(
                "the header is there again on line {line}",
                "the header is there again {n} times, first on line {line}",
                n,
                line=line,
            )
        case "summary":
            return say_count(
                "line {line} holds means, sums or extremes",
                "{n} lines hold means, sums or extremes, line {line} first",
                n,
                line=line,
            )
        case "remark":
            return say_count(
                "line {line} holds a remark and no reading",
                "{n} lines hold remarks and no readings, line {line} first",
                n,
                line=line,
            )
        case "other kind":
            return say_count(
                "line {line} is of another kind than the readings",
                "{n} lines are of another kind than the readings, line {line} first",
                n,
                line=line,
            )
        case "cut short":
            return say_count(
                "line {line} is cut short and left out",
                "{n} lines are cut short and left out, line {line} first",
                n,
                line=line,
            )
    assert_never(kind)


def _columns(form: LoggerForm) -> str:
    low, high, temp = form.column("tmin"), form.column("tmax"), form.column("temp")
    if low is not None and high is not None:
        return say("columns {low} and {high}", low=_name(low), high=_name(high))
    return say("column {name}", name="" if temp is None else _name(temp))


def _name(column: Column) -> str:
    return _quoted(column.name) if column.name else str(column.number)


def _quoted(text: str) -> str:
    return say("“{text}”", text=text)


def _step(form: LoggerForm) -> str:
    if form.step_minutes is None:
        return say("a line a day")
    if form.on_change:
        return say("whenever the temperature changes")
    minutes = max(round(form.step_minutes), 1)
    if minutes % 60 == 0:
        return say_count("every hour", "every {n} hours", minutes // 60)
    return say_count("every minute", "every {n} minutes", minutes)


def _clock(form: LoggerForm) -> str:
    if form.step_minutes is None:
        return say("each day as it is written")
    if form.clock_from == "own":
        return say("the yard's own clock")
    zone = form.zone or ""
    return say(_ZONE_FROM[form.clock_from], zone=zone)
