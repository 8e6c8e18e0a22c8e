"""What was wrong with readings, in words: when, what, and what was done about it."""

from __future__ import annotations

import datetime as dt

from season_engine.facts import Day, Degrees, Extremes, Text
from season_engine.weather.faults import (
    BothNought,
    BothStoodStill,
    Crossed,
    Dropped,
    FarOff,
    Fault,
    Flagged,
    Missing,
    MixedUnits,
    NeverReached,
    NoRange,
    OneStoodStill,
    Repeated,
    Shifted,
)
from season_engine.words.speech import say, say_count

_EXTREMES = {"lowest": Text("lowest"), "highest": Text("highest")}
_READS_LIKE = {"degF": "degF", "degC": Text("degC among degF")}
_FAR_OFF = {
    "its month": Text("the {name} reading, {reading}, is {apart} or more off all others of that month"),
    "the time of year": Text("the {name} reading, {reading}, is {apart} off what is usual then"),
    "the days beside": Text("the {name} reading, {reading}, is {apart} off the days before and after"),
    "the second source": Text(
        "the {name} reading, {reading}, is {apart} off what the second source makes likely"
    ),
}
_LEFT_OUT = {  # both extremes? more than a day?
    (False, False): Text("it is left out{mended}"),
    (False, True): Text("those readings are left out{mended}"),
    (True, False): Text("that day is left out{mended}"),
    (True, True): Text("those days are left out{mended}"),
}
_MENDED = {
    "filled": Text(" and filled"),
    "from second source": Text(" and taken from the second source"),
    "not replaced": Text(""),
}


def fault_text(fault: Fault) -> str:
    """A sentence, such as ``11 Mar 2019: both readings are nought, as a blank field may become; ...``."""
    return say("{days}: {what}", days=_span(fault.first_day, fault.last_day), what=_told(fault))


def _span(first: dt.date, last: dt.date) -> str:
    """Days as a grower writes them: "14-22 Mar 2019"."""
    end = Day(last, year=True)
    if first == last:
        return say("{date}", date=end)
    if (first.year, first.month) == (last.year, last.month):
        return say("{day}-{last}", day=first.day, last=end)
    return say("{first} - {last}", first=Day(first, year=first.year != last.year), last=end)


def _told(fault: Fault) -> str:
    match found := fault.found:
        case Missing():
            return _missing(found, from_second=fault.done == "from second source")
        case Dropped():
            return say("left out{mended}, as season.toml says.", mended=_MENDED[fault.done])
        case _:
            return say("{reason}; {done}.", reason=_flagged(found), done=_done(fault))


def _missing(missing: Missing, *, from_second: bool) -> str:
    taken, filled = Text("taken from the second source, adjusted to this yard"), Text("filled")
    done = taken if from_second else filled
    if missing.since_last:
        return say_count(
            "readings are missing since the last one for a day; {done}.",
            "readings are missing since the last one for {n} days; {done}.",
            missing.days,
            done=done,
        )
    return say_count(
        "readings are missing for a day; {done}.",
        "readings are missing for {n} days; {done}.",
        missing.days,
        done=done,
    )


def _done(fault: Fault) -> str:
    if fault.done == "kept":
        return say("kept, as season.toml says")
    if fault.done == "told":
        return say("if the sensor was moved, drop the days before, or compare the years with care")
    left_out = _LEFT_OUT[len(fault.extremes) > 1, fault.first_day != fault.last_day]
    return say(left_out, mended=_MENDED[fault.done])


def _flagged(found: Flagged) -> str:
    match found:
        case BothNought():
            return say("both readings are nought, as a blank field may become")
        case NeverReached(extreme, reading_c):
            never = Text("the {name} reading, {reading}, was never reached on Earth")
            return say(never, name=_EXTREMES[extreme], reading=Degrees(reading_c, 1))
        case Crossed(low_c, high_c):
            above = Text("the lowest reading, {low}, is above the highest, {high}")
            return say(above, low=Degrees(low_c, 1), high=Degrees(high_c, 1))
        case Repeated(original):
            return say("the readings repeat those from {date} on", date=Day(original, year=True))
        case NoRange():
            return say("the lowest and the highest reading are the same")
        case BothStoodStill() | OneStoodStill():
            return _stood_still(found)
        case MixedUnits(low_c, high_c, reads_like):
            mixed = Text("{reading} is unlikely here and reads like {units}: a mix-up of units")
            return say(mixed, reading=Extremes(low_c, high_c), units=_READS_LIKE[reads_like])
        case FarOff(extreme, reading_c, apart_c, held_against):
            return say(
                _FAR_OFF[held_against],
                name=_EXTREMES[extreme],
                reading=Degrees(reading_c, 1),
                apart=Degrees(apart_c, 0, apart=True),
            )
        case Shifted():
            return _shifted(found)


def _stood_still(found: BothStoodStill | OneStoodStill) -> str:
    match found:
        case BothStoodStill(low_c, high_c, days):
            still = Text("the sensor stood still at {reading} for {days} days")
            return say(still, reading=Extremes(low_c, high_c), days=days)
        case OneStoodStill(extreme, reading_c, days):
            still = Text("the {name} reading stood still at {reading} for {days} days")
            return say(still, name=_EXTREMES[extreme], reading=Degrees(reading_c, 1), days=days)


def _shifted(found: Shifted) -> str:
    higher = Text("from here on the {name} readings are {apart} higher {against}")
    lower = Text("from here on the {name} readings are {apart} lower {against}")
    before, beside = Text("than before"), Text("than before, against the second source")
    return say(
        higher if found.shift_c > 0 else lower,
        name=_EXTREMES[found.extreme],
        apart=Degrees(abs(found.shift_c), 1, apart=True),
        against=beside if found.beside_second else before,
    )
