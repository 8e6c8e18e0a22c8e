"""Dates that stand only on the first line of a day or month, and hold for the lines below."""

from __future__ import annotations

from season_engine.weather.logger.cells import is_number
from season_engine.weather.logger.number_stamps import month_number
from season_engine.weather.logger.vocabulary import plain

_DITTO = frozenset(
    {"", '"', '""', "''", ",,", "”", "“", "″", "〃", "do", "dto", "id", "idem", '-"-', "-”-", "ditto"}
)
_PARTS = ("year", "month", "day")
_TIMES = ("clock", "hhmm", "hour", "decimal_hour", "fraction")
_DISTINCT = 0.9  # share of dates that are written once, where the first line of each has it
_TURN_MONTHS = 6


def is_ditto(text: str) -> bool:
    """Whether a cell is empty, or says "as above"."""
    return plain(text).strip(" .'") in _DITTO or plain(text).strip() in _DITTO


def carry(texts: dict[str, list[str]]) -> None:
    """Fill cells of dates, by role, with what holds from above, but on lines without the finer part."""
    if "date" in texts:
        finer = next((role for role in _TIMES if role in texts), None)
        if finer is not None and _once_each(texts["date"]):
            texts["date"] = _filled(texts["date"], texts[finer])
        return
    for at, role in enumerate(_PARTS):
        finer = next((one for one in (*_PARTS[at + 1 :], "doy", *_TIMES) if one in texts), None)
        if role in texts and finer is not None and any(map(is_ditto, texts[role])):
            finest = texts["day"] if role != "day" and "day" in texts else texts[finer]
            texts[role] = _filled(texts[role], finest)
    if "year" in texts and "month" in texts:
        _turn_years(texts["year"], texts["month"])


def _once_each(dates: list[str]) -> bool:
    told = [text.strip() for text in dates if not is_ditto(text)]
    return 0 < len(told) * 2 < len(dates) and len(set(told)) >= _DISTINCT * len(told)


def _filled(texts: list[str], finer: list[str]) -> list[str]:
    held = ""
    filled = []
    for text, beside in zip(texts, finer, strict=True):
        if not is_ditto(text):
            held = text
        carried = is_ditto(text) and any(letter.isdigit() for letter in beside)
        filled.append(held if carried else text)
    return filled


def _turn_years(years: list[str], months: list[str]) -> None:
    """After December the next year begins, where the year is told once for all lines."""
    if len({text.strip() for text in years if is_number(text)}) != 1:
        return
    last, more = None, 0
    for row, text in enumerate(months):
        month = month_number(text) or (int(text) if text.strip().isdigit() else None)
        if month is None or not is_number(years[row]):
            continue
        more += last is not None and last - month > _TURN_MONTHS
        last = month
        years[row] = str(int(years[row]) + more)
