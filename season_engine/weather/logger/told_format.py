"""Dates and times by the one `strptime` format that a grower gave."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence

from season_engine.files.foreign_values import FIRST_YEAR, LAST_YEAR
from season_engine.files.text import shortened
from season_engine.weather.logger.clocks import ClockTime, clock_time
from season_engine.weather.logger.dates import midnight
from season_engine.weather.logger.number_stamps import time_of_day
from season_engine.weather.logger.stamp_rows import UNREAD, Read, Stamps, Texts, each, laid, rows_of, together

_FORMAT_CLOCK_STARTS = re.compile(r"[T ,;]\s*(?=%[HITRX])")
_ZONE_TAIL = re.compile(r"\s*(?:Z|(?:UTC|GMT)?[+-]\d\d?(?::?\d\d)?|UTC|GMT)$")


def formatted(texts: Texts, date_format: str) -> Read:
    """By one `strptime` format; its time part may be left out."""
    date_part, *clock_part = _FORMAT_CLOCK_STARTS.split(date_format, maxsplit=1)
    texts = _as_told(texts, date_format, bool(clock_part))
    wrong: dict[int, ValueError] = {}
    faults: dict[str, ValueError] = {}
    days = each(texts["date"], lambda text: _strptime(text, date_part.strip(), date_format), faults)
    wrong |= rows_of(texts["date"], faults)
    seconds = laid(texts["date"], days)
    read = Read(Stamps(seconds, "date_format", wrong=wrong))
    if "clock" not in texts:
        stamps = together(seconds, time_of_day(texts, len(seconds), wrong))
        read.stamps.seconds = stamps
        return read
    clock_faults: dict[str, ValueError] = {}
    for text in set(texts["clock"]):
        try:
            read.times[text] = _clock_by(text, clock_part[0].strip() if clock_part else "", date_format)
        except ValueError as error:
            clock_faults[text] = error
    wrong |= rows_of(texts["clock"], clock_faults)
    values = {text: one.seconds for text, one in read.times.items()} | dict.fromkeys(clock_faults, UNREAD)
    read.clocks = texts["clock"]
    read.stamps.seconds = together(seconds, laid(texts["clock"], values))
    return read


def _as_told(texts: Texts, date_format: str, has_clock: bool) -> Texts:
    """One cell in two where the format, or what stands there, has a time."""
    if "stamp" not in texts:
        return texts
    if not has_clock and re.search(r"%[HIT]", date_format):  # such as %Y%m%d%H%M: in one piece
        return {"date": texts["stamp"]}
    return _halved_at_colon(texts["stamp"])


def _halved_at_colon(stamps: Sequence[str]) -> Texts:
    dates, times = [], []
    for text in stamps:
        colon = text.find(":")
        cut = max(text.rfind(" ", 0, colon), text.rfind("T", 0, colon)) if colon > 0 else -1
        dates.append(text if cut < 0 else text[:cut])
        times.append("" if cut < 0 else text[cut + 1 :])
    return {"date": dates, "clock": times}


def _strptime(text: str, part: str, date_format: str) -> int:
    try:
        moment = dt.datetime.strptime(text.strip(), part)
    except ValueError as error:
        raise ValueError(f'"{shortened(text)}" does not fit the date_format "{date_format}".') from error
    if not FIRST_YEAR <= moment.year <= LAST_YEAR:
        raise ValueError(f'"{shortened(text)}" lies outside the years {FIRST_YEAR} to {LAST_YEAR}.')
    return midnight(moment.year, moment.month, moment.day, text) + _since_midnight(moment)


def _clock_by(text: str, part: str, date_format: str) -> ClockTime:
    zone = _ZONE_TAIL.search(text) if ":" in text else None
    if part and "%z" not in part:
        try:
            moment = dt.datetime.strptime((text[: zone.start()] if zone else text).strip(), part)
        except ValueError as error:
            try:
                return clock_time(text)
            except ValueError:
                raise ValueError(
                    f'"{shortened(text)}" does not fit the date_format "{date_format}".'
                ) from error
        ahead = clock_time("00:00" + zone[0]) if zone else ClockTime(0)
        return ClockTime(_since_midnight(moment), ahead.zone, ahead.zone_name)
    return clock_time(text)


def _since_midnight(moment: dt.datetime) -> int:
    return moment.hour * 3600 + moment.minute * 60 + moment.second
