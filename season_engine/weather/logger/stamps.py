"""When each row of a logger's table was read, from whatever columns say it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

import numpy as np

from season_engine.files.text import shortened
from season_engine.weather.logger.clocks import ClockTime, clock_time, of_longitude, solar_minutes
from season_engine.weather.logger.dates import (
    FORMAT_HINT,
    Ambiguous,
    DateOrder,
    mixed,
    order_of,
    parts_of,
)
from season_engine.weather.logger.form import DateForm
from season_engine.weather.logger.iso_stamps import iso_midnights, iso_seconds
from season_engine.weather.logger.number_stamps import calendar_midnights, days_number, epochs, time_of_day
from season_engine.weather.logger.stamp_rows import (
    UNREAD,
    Clock,
    IntArray,
    Read,
    Stamps,
    Texts,
    each,
    laid,
    rows_of,
    together,
)
from season_engine.weather.logger.swapped_dates import (
    all_seem_swapped,
    days_by_form,
    put_right,
    seems_swapped,
)
from season_engine.weather.logger.told_format import formatted

_MINUTE_SLACK_SECONDS = 5  # numbers of days are cut to four decimals: within as much


# As computers tell the time: "Sat Mar 15 14:30:00 CET 2025"
_YEAR_LAST = re.compile(
    r"(?:[^\W\d_]+,? )?([^\W\d_]+ +\d{1,2}) (\d{1,2}:\d\d(?::\d\d)?)(?: ([A-Z]{2,5}))? (\d{4})"
)
_COMPACT_HOUR = re.compile(r"((?:19|20)\d\d(?:0[1-9]|1[0-2])(?:0[1-9]|[12]\d|3[01]))([01]\d|2[0-4])")
ORDER_WORDS: dict[str, DateForm] = {"ymd": "year first", "dmy": "day first", "mdy": "month first"}


def read_stamps(texts: Texts, clock: Clock) -> Stamps:
    """When each row was read; raises Ambiguous where the dates may be read in several ways.

    ValueError where times name a zone and no longitude is known, or some name one and others don't.
    """
    if clock.date_format is not None and set(texts) & {"date", "stamp"}:
        return _zoned(formatted(texts, clock.date_format), clock)
    if "epoch" in texts:
        return _in_sun_time(epochs(texts["epoch"]), clock)
    if "days" in texts:
        return _zoned(_day_numbers(texts), clock)
    if "stamp" in texts and (quick := iso_seconds(texts["stamp"])) is not None:
        return _zoned(_of_iso(*quick, texts["stamp"][0]), clock)
    return _zoned(_of_parts(_halved(texts), clock), clock)


def _of_iso(seconds: IntArray, zone: str, first: str) -> Read:
    """Seconds of stamps that all name the same zone, or none; `first` stands for them in an error."""
    read = Read(Stamps(seconds, ORDER_WORDS["ymd"], order="ymd"))
    if zone:
        time = first[len("2026-03-31 ") :]
        read.times[time] = clock_time(time)
    return read


def _zoned(read: Read, clock: Clock) -> Stamps:
    """The same on the yard's clock: its own, or where a zone is known, the sun's."""
    stamps = read.stamps
    named = {text: one for text, one in read.times.items() if one.zone}
    if clock.dates_only or (not named and clock.zone_minutes is None):
        return stamps
    if clock.longitude_deg is None:
        example = next(iter(named), None) or "of the header"
        raise ValueError(
            f'the time "{example.strip()}" names a time zone.', "Export the file in local clock time."
        )
    if named and len(named) < len(read.times) and clock.zone_minutes is None:
        dated = {read.clocks[row] for row in np.flatnonzero(stamps.seconds != UNREAD).tolist()}
        if bare := next((text for text in dated if not read.times[text].zone), None):
            raise ValueError(f'the time "{bare.strip()}" names no time zone, and others do.')
    sun = solar_minutes(clock.longitude_deg)
    behind = {text: (sun - _ahead(text, one, clock)) * 60 for text, one in read.times.items()}
    rest = (sun - (clock.zone_minutes or 0)) * 60
    if len(set(behind.values())) > 1:
        shift: IntArray | int = np.fromiter((behind.get(text, rest) for text in read.clocks), np.int64)
    else:
        shift = next(iter(behind.values()), rest)
    stamps.seconds = np.where(stamps.seconds == UNREAD, UNREAD, stamps.seconds + shift)
    stamps.zones = tuple(dict.fromkeys(one.zone_name for one in named.values()))
    stamps.zoned = True
    return stamps


def _ahead(text: str, time: ClockTime, clock: Clock) -> int:
    if not time.zone:
        return clock.zone_minutes or 0
    ahead = of_longitude(time.zone, clock.longitude_deg or 0.0)
    if ahead is None:
        raise ValueError(f'the zone of "{text.strip()}" has several meanings.', "Export the file in UTC.")
    return ahead


def _in_sun_time(stamps: Stamps, clock: Clock) -> Stamps:
    if clock.dates_only:
        return stamps
    if clock.longitude_deg is None:
        raise ValueError("these are seconds since 1970 in UTC.", "Export the file in local clock time.")
    moved = stamps.seconds + solar_minutes(clock.longitude_deg) * 60
    stamps.seconds = np.where(stamps.seconds == UNREAD, UNREAD, moved)
    stamps.zones, stamps.zoned = ("UTC",), True
    return stamps


# One cell, and its halves


def _halved(texts: Texts) -> Texts:
    """A cell that holds date and time as two columns."""
    if "stamp" not in texts:
        return texts
    dates, times = _cut_alike(texts["stamp"]) or _cut_each(texts["stamp"])
    different = list(dict.fromkeys(dates))
    whole = iso_midnights(different) is not None
    odd = set() if whole else {date for date in different if not _whole_date(date)}
    if odd:
        known: dict[str, tuple[str, str]] = {}
        for row, date in enumerate(dates):
            if date in odd:
                text = texts["stamp"][row]
                if text not in known:
                    known[text] = halves(text)
                dates[row], times[row] = known[text]
    return {"date": dates, "clock": times}


def _cut(text: str) -> int:
    """Where the time starts: behind the last blank, or T, before the first colon; -1 where there is none."""
    colon = text.find(":")
    return max(text.rfind(" ", 0, colon), text.rfind("T", 0, colon)) if colon > 0 else -1


def _cut_each(texts: Sequence[str]) -> tuple[list[str], list[str]]:
    cuts = list(map(_cut, texts))
    dates = [text if cut < 0 else text[:cut] for text, cut in zip(texts, cuts, strict=True)]
    return dates, ["" if cut < 0 else text[cut + 1 :] for text, cut in zip(texts, cuts, strict=True)]


def _cut_alike(texts: Sequence[str]) -> tuple[list[str], list[str]] | None:
    """The same where all texts are cut at one place, as in a million rows of one form; else None."""
    cut = _cut(texts[0])
    if cut < 0 or any(char in " T" for char in texts[0][cut + 1 :].partition(":")[0]):
        return None
    colon = texts[0].find(":")
    if {text[cut] + text[colon] for text in texts if len(text) > colon} != {texts[0][cut] + ":"}:
        return None
    if any(len(text) <= colon for text in texts) or not _digits_only(texts, cut, colon):
        return None
    known: dict[str, str] = {}  # the same text is kept once
    dates = [known.setdefault(date, date) for date in (text[:cut] for text in texts)]
    return dates, [known.setdefault(time, time) for time in (text[cut + 1 :] for text in texts)]


def _digits_only(texts: Sequence[str], cut: int, colon: int) -> bool:
    """Whether nothing but hours stands between the cut and the first colon."""
    return all(map(str.isdigit, {text[cut + 1 : colon] for text in texts})) and not any(
        ":" in date for date in {text[:cut] for text in texts}
    )


def _whole_date(text: str) -> bool:
    parts = parts_of(text)
    return parts is not None and not parts.rest


def halves(text: str) -> tuple[str, str]:
    """A stamp's date and its time, whichever stands first; the whole and nothing where it has no date."""
    said = text.strip()
    if compact := re.fullmatch(r"(\d{8})[T_ ]?(\d\d)(\d\d)(\d\d)?(?:\.\d+)?(Z|[+-]\d\d:?\d\d)?", said):
        return compact[1], f"{compact[2]}:{compact[3]}:{compact[4] or '00'}{compact[5] or ''}"
    if compact := _COMPACT_HOUR.fullmatch(said):
        return compact[1], f"{compact[2]}:00"
    if counted := _YEAR_LAST.fullmatch(said):
        return f"{counted[1]} {counted[4]}", f"{counted[2]} {counted[3] or ''}".strip()
    parts = parts_of(said)
    if parts is not None:
        date = said
        if parts.rest:
            rest = len(parts.rest)
            date, tail = said[:-rest], said[-rest:]
            return date.rstrip(" ,;Tt-_"), tail
        return date, ""
    words = said.split()
    for cut in range(1, len(words)):
        date = " ".join(words[cut:])
        if _whole_date(date):
            return date, " ".join(words[:cut])
    return said, ""


def _of_parts(texts: Texts, clock: Clock) -> Read:
    """From columns of dates or parts of them, with times or parts of them."""
    rows = len(next(iter(texts.values())))
    wrong: dict[int, ValueError] = {}
    if "date" in texts:
        days, form, order, changed = _dates(texts, clock, wrong)
    else:
        days, form, order, changed = (
            calendar_midnights(texts, wrong),
            "day of year" if "doy" in texts else "year first",
            None,
            set(),
        )
    read = Read(Stamps(days, form, order=order, wrong=wrong))
    if changed:
        read.stamps.swapped = [row for row, text in enumerate(texts["date"]) if text in changed]
    if "half" in texts:
        clocks = zip(texts["clock"], texts["half"], strict=True)
        texts = {**texts, "clock": [f"{time} {half}" for time, half in clocks]}
    if "clock" in texts:
        faults: dict[str, ValueError] = {}
        for text in set(texts["clock"]):
            try:
                read.times[text] = clock_time(text)
            except ValueError as error:
                faults[text] = error
        seconds = {text: one.seconds for text, one in read.times.items()} | dict.fromkeys(faults, UNREAD)
        read.clocks = texts["clock"]
        wrong |= rows_of(texts["clock"], faults)
        day_time = laid(texts["clock"], seconds)
    else:
        day_time = time_of_day(texts, rows, wrong)
    read.stamps.seconds = together(days, day_time)
    return read


_SWAPPED_HINT = (
    "A spreadsheet does that to days up to the twelfth: name the logger's own file, as it was before one "
    "opened it."
)


def _no_date(text: str) -> ValueError:
    return ValueError(
        f'"{shortened(text)}" is not a date I can read.' if text.strip() else "no date.", FORMAT_HINT
    )


def _dates(
    texts: Texts, clock: Clock, wrong: dict[int, ValueError]
) -> tuple[IntArray, DateForm, str, set[str]]:
    """Each row's midnight, the dates' form and order, and the texts whose day and month were changed back."""
    dates = texts["date"]
    different = list(dict.fromkeys(dates))
    if (quick := iso_midnights(different)) is not None:
        known = dict(zip(different, quick.tolist(), strict=True))
        return laid(dates, known), ORDER_WORDS["ymd"], "ymd", set()
    within_day = len(different) * 3 <= len(dates)
    way = order_of(different, told=clock.told, within_day=within_day, order=clock.order)
    mix = mixed(different, way)
    by_form = days_by_form(different, way)
    verdict, days = put_right(by_form) if by_form else ("unclear", {})
    if len(days) >= 0.9 * len(different) and (verdict == "swapped" or (mix and verdict == "as written")):
        known = {text: days.get(text, UNREAD) for text in different}
        changed = {text for text in days if days[text] != by_form[text]}
        wrong |= rows_of(dates, {text: _no_date(text) for text in different if text not in days})
        return laid(dates, known), ORDER_WORDS[way.order], way.order, changed
    if mix is None and way.order == "ymd" and all_seem_swapped(by_form):
        problem = f'"{different[0].strip()}" and all others seem to have day and month changed about.'
        raise ValueError(
            problem, 'Write date_format = "%Y-%d-%m" under [site.weather] if so, else "%Y-%m-%d".'
        )
    if mix is None and by_form and seems_swapped(by_form):
        problem = f'"{different[0].strip()}" and others seem to have day and month changed about.'
        raise ValueError(problem, _SWAPPED_HINT)
    if mix:
        first = {text: row for row, text in reversed(list(enumerate(dates))) if text in mix}
        raise MixedOrders(mix, first, way)
    faults: dict[str, ValueError] = {}
    values = each(different, way.seconds, faults)
    wrong |= rows_of(dates, faults)
    return laid(dates, values), ORDER_WORDS[way.order], way.order, set()


class MixedOrders(Ambiguous):
    """Dates of a file that are written in two orders."""

    def __init__(self, pair: tuple[str, str], rows: Mapping[str, int], way: DateOrder) -> None:
        self.pair, self.rows, self.way = pair, rows, way
        super().__init__(pair[0], "", "")


# Numbers of days


def _day_numbers(texts: Texts) -> Read:
    """From a spreadsheet's numbers of days, to the minute where all are minutes; the time may stand apart."""
    faults: dict[str, ValueError] = {}
    values = each(texts["days"], days_number, faults)
    seconds = laid(texts["days"], values)
    wrong = rows_of(texts["days"], faults)
    read = seconds != UNREAD
    off = (seconds[read] + 30) % 60 - 30
    if off.size and (np.abs(off) <= _MINUTE_SLACK_SECONDS).all():
        seconds[read] -= off
    stamps = Stamps(seconds, "day numbers", wrong=wrong)
    if "clock" not in texts:
        stamps.seconds = together(seconds, time_of_day(texts, len(seconds), wrong))
        return Read(stamps)
    rest = _of_parts({"date": ["1970-01-01"] * len(seconds), "clock": texts["clock"]}, Clock())
    stamps.seconds = together(seconds, rest.stamps.seconds)
    stamps.wrong |= rest.stamps.wrong
    return Read(stamps, rest.clocks, rest.times)
