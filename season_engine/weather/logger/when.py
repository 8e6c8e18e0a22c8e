"""Which columns of a logger's table say when a row was read."""

from __future__ import annotations

import re

from season_engine.weather.logger.arrivals import taken_at
from season_engine.weather.logger.carried import is_ditto
from season_engine.weather.logger.clocks import zone_said
from season_engine.weather.logger.date_parts import date_test, is_minutes_name
from season_engine.weather.logger.how import ReadAs, Role
from season_engine.weather.logger.kinds import Kinds, numbers_in
from season_engine.weather.logger.layout import DAY_NUMBER, EPOCH, YEAR
from season_engine.weather.logger.nameless_dates import nameless_parts
from season_engine.weather.logger.number_stamps import month_number
from season_engine.weather.logger.vocabulary import cell_words, plain, says

_MONTHS, _LONGEST_MONTH = 12, 31
_EXTREMES = ("minimum", "maximum")


def when_columns(kinds: Kinds, given: dict[Role, int], how: ReadAs) -> dict[str, int]:
    """The columns that say when a row was read."""
    if "year" in given:
        return _given_parts(kinds, given)
    at = given.get("time", given.get("date"))
    if at is not None and not {"time", "date"} <= given.keys():
        kind = kinds.kinds[at]
        if how.date_format or kind in ("stamp", "mixed", "word"):
            return {"stamp": at}
        if kind == "date" and "date" not in given:
            return {"stamp": at}
        if kinds.all_match(at, EPOCH):
            return {"epoch": at}
        if kind == "number" and kinds.all_match(at, DAY_NUMBER):
            return {"days": at}
        return {"date": at} | _time_of_day(kinds, at)
    if {"time", "date"} <= given.keys():
        return {"date": given["date"]} | _clock_column(kinds, given["time"])
    if stamps := kinds.of("stamp"):
        stamps = taken_at(kinds, stamps) if len(stamps) > 1 else stamps
        utc = [at for at in stamps if zone_said(kinds.name(at))]
        return {"stamp": (utc or stamps)[0]}
    if dates := kinds.of("date"):
        return {"date": dates[0]} | _time_of_day(kinds, dates[0])
    return _formatted(kinds, how) or _counted(kinds) or _parts(kinds) or nameless_parts(kinds)


def _formatted(kinds: Kinds, how: ReadAs) -> dict[str, int]:
    """A column whose dates only the settings' format can tell from numbers, and the time beside it."""
    if how.date_format is None:
        return {}
    fits = date_test(how.date_format)
    for at in range(kinds.width):
        texts = [text for text in kinds.texts(at) if text]
        if texts and all(map(fits, texts)):
            return {"date": at} | _time_of_day(kinds, at)
    return {}


def _given_parts(kinds: Kinds, given: dict[Role, int]) -> dict[str, int]:
    """The columns of parts of a date, and of the time, as the settings name them."""
    found: dict[str, int] = {
        role: at for role, at in given.items() if role in ("year", "month", "day", "hour", "minute")
    }
    if "day_of_year" in given:
        found["doy"] = given["day_of_year"]
    if "time" in given:
        found |= _clock_column(kinds, given["time"])
    return found


def _time_of_day(kinds: Kinds, date: int) -> dict[str, int]:
    """The columns with the time of day that go with a date; none where the table is of days."""
    clocks = [at for at in kinds.of("clock") if not _of_extreme(kinds, at)]
    numbers = [at for at, kind in enumerate(kinds.kinds) if kind == "number" and at != date]
    named = [at for at in clocks if says(kinds.name(at), "time", "hour")]
    beside = [at for at in clocks if at == date + 1 or at == date - 1]
    if named or beside:
        return {"clock": (named or beside)[0]} | _half_of_day(kinds)
    found: dict[str, int] = {}
    for at in numbers:
        name, values = kinds.name(at), numbers_in(kinds.texts(at))
        if not values or kinds.head.unit(at) in ("C", "F", "%"):
            continue
        if says(name, "hour_minute") and max(values) <= 2400:
            return {"hhmm": at}
        if says(name, "hour", "time") and not says(name, "temperature", "other"):
            column = _clock_column(kinds, at)
            if "hour" not in column:
                return column
            found.setdefault("hour", at)
        elif (
            "hour" in found
            and at != found["hour"]
            and "minute" not in found
            and _is_minutes(kinds, at, values)
        ):
            found["minute"] = at
        elif says(name, "second") and max(values) <= 59 and "minute" in found:
            found["second"] = at
    return found


def _of_extreme(kinds: Kinds, at: int) -> bool:
    """Whether a column holds the times of a day's extremes, beside them: "Low", "Time", "High", "Time"."""
    beside = [one for one in kinds.of("clock") if says(kinds.name(one - 1 if one else 0), *_EXTREMES)]
    own = [one for one in kinds.of("clock") if says(kinds.name(one), *_EXTREMES)]
    return at in own or (at in beside and len(beside) > 1)


def _is_minutes(kinds: Kinds, at: int, values: list[float]) -> bool:
    """Whether a column beside one of hours holds minutes; "min" may also stand for the lowest."""
    return is_minutes_name(kinds.name(at)) and all(
        value == int(value) and 0 <= value <= 59 for value in values
    )


def _half_of_day(kinds: Kinds) -> dict[str, int]:
    """A column that says morning or afternoon, if there is one."""
    halves = cell_words("morning") | cell_words("afternoon")
    for at in range(kinds.width):
        said = {re.sub(r"[.\s]", "", plain(text)) for text in kinds.texts(at) if text}
        if said and said <= halves:
            return {"half": at}
    return {}


def _clock_column(kinds: Kinds, at: int) -> dict[str, int]:
    """How a column tells the time of day: as a clock does, as a share of a day, as 1230 or as hours."""
    values = numbers_in(kinds.texts(at))
    if kinds.kinds[at] != "number" or not values:
        return {"clock": at}
    if max(values) <= 1 and any(value != int(value) for value in values):
        return {"fraction": at}
    if any(value != int(value) for value in values):
        return {"decimal_hour" if _is_decimal(values) else "clock": at}  # 8.5 or 8.30
    return {"hhmm" if max(values) > 24 else "hour": at}


def _is_decimal(hours: list[float]) -> bool:
    """Whether what stands behind the points is a share of an hour, and not minutes."""
    behind = {round(hour * 100) % 100 for hour in hours}
    return max(behind) >= 60 or behind <= {0, 25, 50, 75}


def _counted(kinds: Kinds) -> dict[str, int]:
    """A column of seconds since 1970, or of a spreadsheet's numbers of days."""
    numbers = kinds.of("number")
    for at in numbers:
        if kinds.all_match(at, EPOCH) and len(set(kinds.texts(at))) > 1:
            return {"epoch": at}
    for at in numbers:
        named = says(kinds.name(at), "date", "time", "day")
        broken = any(re.search(r"[.,]\d{2,}", text) for text in kinds.texts(at))
        if kinds.all_match(at, DAY_NUMBER) and (named or broken):
            clock = kinds.of("clock")
            return {"days": at} | (
                {"clock": clock[0]} if clock else {} if broken else _time_of_day(kinds, at)
            )
    return {}


def _parts(kinds: Kinds) -> dict[str, int]:
    """Columns of years, months, days and times."""
    numbers = [at for at, kind in enumerate(kinds.kinds) if kind == "number"]
    named = (at for at in numbers if says(kinds.name(at), "year") and not says(kinds.name(at), "day_of_year"))
    year = next(named, next((at for at in numbers if kinds.all_match(at, YEAR)), None))
    found = {} if year is None else {"year": year}
    for at in numbers:
        role = _part_of_date(kinds, at) if at != year else None
        if role:
            found.setdefault(role, at)
    if "month" not in found and (months := [at for at in range(kinds.width) if _names_months(kinds, at)]):
        found["month"] = months[0]
    told = any(says(kinds.name(at), "month") for at in range(kinds.width))
    if "doy" not in found and "month" not in found and "day" in found and not told:
        found["doy"] = found.pop("day")
    if not ({"month", "day"} <= found.keys() or {"year", "doy"} <= found.keys()):
        return {}
    if clocks := kinds.of("clock"):
        return found | {"clock": clocks[0]}
    rest = {role: at for role, at in _time_of_day(kinds, -9).items() if at not in found.values()}
    return found | ({} if "hhmm" in found else rest)


def _names_months(kinds: Kinds, at: int) -> bool:
    texts = {text for text in kinds.texts(at) if not is_ditto(text)}
    return bool(texts) and all(month_number(text) for text in texts)


def _part_of_date(kinds: Kinds, at: int) -> str | None:
    """Which part of a date a column of whole numbers holds, by its name and what can be in it."""
    name, values = kinds.name(at), numbers_in(kinds.texts(at))
    if not values or min(values) < 0:
        return None
    if any(value != int(value) for value in values):
        return "doy" if says(name, "day_of_year") and max(values) < 367 else None  # with its share of the day
    if says(name, "hour_minute"):
        return "hhmm"
    if says(name, "day_of_year") or (says(name, "day") and max(values) > _LONGEST_MONTH):
        return "doy"
    if says(name, "month") and max(values) <= _MONTHS:
        return "month"
    return "day" if says(name, "day") and max(values) <= _LONGEST_MONTH else None
