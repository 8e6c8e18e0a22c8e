"""Which column of a logger's table says when, and which holds the yard's temperature."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from season_engine.errors import GrowerError
from season_engine.files.text import listed, shortened
from season_engine.weather.logger.cells import DEGREES
from season_engine.weather.logger.flag_columns import flag_columns
from season_engine.weather.logger.head import Head
from season_engine.weather.logger.how import ReadAs, Role
from season_engine.weather.logger.kinds import Kinds, cell_unit, is_other, numbers_in
from season_engine.weather.logger.sensors import outdoor_among, place_of
from season_engine.weather.logger.vocabulary import plain, says, tokens
from season_engine.weather.logger.when import when_columns

_UNIT_WORDS = ("c", "f", "degc", "degf", "deg", "celsius", "fahrenheit")
_FEWEST_DAYS = 10  # from which on two columns without names can be told apart
_MOST_RIVALS = 6  # columns named where each could be the one
MOST_NAMES = 20  # columns named in a message
_FEW = 30  # different texts: names of sensors or quantities are no more


@dataclass(frozen=True)
class Plan:
    """The columns that are read, by position from 0."""

    when: dict[str, int]  # roles of `stamps.WHOLE` and `stamps.PARTS`
    temps: dict[str, int]  # "temp", or "tmin" and "tmax"
    sensor: int | None = None  # names of sensors, where rows are of several
    quantity: int | None = None  # names of quantities, likewise
    unit: int | None = None  # units of each row
    hours: tuple[int, ...] = ()  # columns of hours, where a line is a day
    flags: dict[str, int] = field(default_factory=dict)  # marks of readings, by the role of what they mark
    suspects: tuple[int, ...] = ()  # columns that may name sensors, though nothing says so

    @property
    def needed(self) -> dict[str, int]:
        """Every column that is read, by role."""
        extra = {"sensor": self.sensor, "quantity": self.quantity, "unit": self.unit}
        suspects = {f"suspect {at}": at for at in self.suspects} | {f"hour {at}": at for at in self.hours}
        suspects |= {f"flag {role}": at for role, at in self.flags.items()}
        return self.when | self.temps | {role: at for role, at in extra.items() if at is not None} | suspects

    @property
    def daily(self) -> bool:
        """Whether rows are days with their extremes."""
        return "tmin" in self.temps


def plan_of(head: Head, rows: Sequence[Sequence[str]], how: ReadAs, file: str) -> Plan:
    """The columns to read; raises GrowerError where they can't be told, with what to write."""
    kinds = Kinds(head, rows, 0)
    given = {role: _named(kinds, role, name, file) for role, name in how.columns.items()}
    when = when_columns(kinds, given, how)
    if not when:
        raise _lacking(kinds, ["date"], file)
    free = [at for at in range(kinds.width) if at not in when.values()]
    quantity, sensor, unit = long_form(kinds, free, given)
    free = [at for at in free if at not in (quantity, sensor, unit)]
    temps = _temps(kinds, free, given, when, how, quantity, file)
    if sensor in temps.values():
        sensor = None
    flags = flag_columns(kinds, temps, given.get("flag"))
    suspects = [] if sensor is not None else [at for at in free if at not in temps.values()]
    suspects = [at for at in suspects if at not in flags.values()]
    named = tuple(at for at in suspects if _may_name(kinds, at))
    return Plan(when, temps, sensor, quantity, unit, flags=flags, suspects=named)


def _named(kinds: Kinds, role: Role, name: str | int, file: str) -> int:
    """The position of a column that the settings name."""
    head = kinds.head
    number = (
        name if isinstance(name, int) else int(name) if name.isdigit() and not _there(kinds, name) else None
    )
    if number is not None:
        width = kinds.width - head.columns_more
        if 1 <= number <= width:
            return number - 1 + head.columns_more
        problem = f"there is no column {number}; the table has {width}."
        raise GrowerError(problem, hint="Mend columns under [site.weather].", file=file, line=head.line)
    found = _there(kinds, str(name))
    if len(found) == 1:
        return found[0]
    if found:
        found_numeric = [at for at in found if kinds.kinds[at] == "number" and not is_other(kinds, at)]
        if role in ("temp", "tmin", "tmax") and len(found_numeric) == 1:
            return found_numeric[0]
        numbers = " and ".join(str(head.number(at)) for at in found)
        problem = f'columns {numbers} are both called "{shortened(str(name))}".'
        hint = f"Write the number of the one that is meant: columns = {{ {role} = {head.number(found[0])} }}."
        raise GrowerError(problem, hint=hint, file=file, line=head.line)
    problem = f'no column is called "{shortened(str(name))}".'
    raise GrowerError(
        problem, hint=f"{_columns_found(kinds)} Mend columns under [site.weather].", file=file, line=head.line
    )


def _there(kinds: Kinds, name: str) -> list[int]:
    """Positions of the columns of that name, alone or with their group, or else of that group."""
    wanted = " ".join(plain(name).split())
    for spelt in (kinds.head.name, kinds.name, lambda at: (kinds.head.groups + [""] * kinds.width)[at]):
        found = [at for at in range(kinds.width) if wanted and " ".join(plain(spelt(at)).split()) == wanted]
        if found:
            return found
    return []


# Rows of several sensors or quantities


def long_form(
    kinds: Kinds, free: list[int], given: dict[Role, int]
) -> tuple[int | None, int | None, int | None]:
    """Columns with names of quantities, of sensors, and with units, where rows are of several."""
    few = [
        at for at in free if 1 <= len(set(filter(None, kinds.texts(at)))) <= max(_FEW, len(kinds.rows) // 10)
    ]
    texts = [at for at in few if kinds.kinds[at] in ("word", "slip", "mixed", "number")]
    quantity = next(
        (at for at in texts if kinds.kinds[at] == "word" and _names_quantities(set(kinds.texts(at)))), None
    )
    unit = next((at for at in texts if kinds.kinds[at] != "number" and says(kinds.name(at), "unit")), None)
    sensors = [
        at
        for at in texts
        if at not in (quantity, unit)
        and (says(kinds.name(at), "sensor") or (quantity is None and _names_channels(kinds, at)))
        and not says(kinds.name(at), "temperature", "other", "time", "date")
        and not kinds.head.unit(at)
    ]
    sensors.sort(key=lambda at: (kinds.kinds[at] == "number", -len(set(kinds.texts(at)))))
    sensor = given.get("sensor", sensors[0] if sensors else None)
    return quantity, sensor, unit


def _names_channels(kinds: Kinds, at: int) -> bool:
    """Whether a column of quantities tells places with them: "Outdoor temperature", "Indoor temperature"."""
    return (
        kinds.kinds[at] == "word"
        and says(kinds.name(at), "quantity")
        and any(says(text, "temperature") for text in set(kinds.texts(at)))
    )


def _may_name(kinds: Kinds, at: int) -> bool:
    """Whether a column's texts are few and come again and again, as names of sensors do."""
    filled = [text for text in kinds.texts(at) if text]
    name, different = kinds.name(at), set(filled)
    if len(filled) * 2 < len(kinds.rows):
        return False
    if kinds.kinds[at] not in ("word", "slip", "mixed", "number") or not 1 <= len(different) <= _FEW:
        return False
    if kinds.kinds[at] == "number" and (kinds.head.unit(at) or not all(text.isdigit() for text in different)):
        return False
    if kinds.kinds[at] == "number" and says(name, "row"):
        return False
    return not says(
        name,
        "temperature",
        "other",
        "note",
        "flag",
        "unit",
        "date",
        "time",
        "hour",
        "minute",
        "second",
    )


def _names_quantities(texts: set[str]) -> bool:
    """Whether a column's texts are names of quantities, temperature among them."""
    return any(names_temperature(text) or says(text, "minimum", "maximum") for text in texts if text)


def names_temperature(text: str) -> bool:
    """Whether a text is a name for temperature, and not for a place where one is measured."""
    return says(text, "temperature") and not says(text, "other") and place_of(text) in ("general", "air")


# What holds the temperature


def _temps(
    kinds: Kinds,
    free: list[int],
    given: dict[Role, int],
    when: dict[str, int],
    how: ReadAs,
    quantity: int | None,
    file: str,
) -> dict[str, int]:
    if {"tmin", "tmax"} <= given.keys():
        return {"tmin": given["tmin"], "tmax": given["tmax"]}
    if "temp" in given:
        return {"temp": given["temp"]}
    numeric = [at for at in free if kinds.kinds[at] == "number" or _to_be_numeric(kinds, at)]
    likely = _likely(kinds, numeric)
    if quantity is not None:
        values = [at for at in numeric if says(kinds.name(at), "value", "temperature")] or numeric
        if len(values) == 1:
            return {"temp": values[0]}
    if how.sensor is not None and (named := _there(kinds, how.sensor)):
        likely = [at for at in named if at in numeric and not is_other(kinds, at)] or likely
    if daily := _extremes(kinds, likely, when, given, file) or _nameless_extremes(kinds, numeric, when):
        return daily
    current = [at for at in likely if not says(kinds.name(at), "minimum", "maximum")]
    if not current:
        raise _lacking(kinds, _lack(kinds, likely), file)
    if len(current) > 1:
        means = [at for at in current if says(kinds.name(at), "mean")]
        current = means if len(means) == 1 and len(current) == 2 and _same_place(kinds, current) else current
    current = _without_twins(kinds, current)
    at = outdoor_among([kinds.told(one) for one in current])
    if at is None:
        raise _unclear(kinds, current, "temp", file)
    return {"temp": current[at]}


def _without_twins(kinds: Kinds, columns: list[int]) -> list[int]:
    """The columns without those in degF that are there in degC as well."""

    def bare(at: int) -> tuple[str, ...]:
        return tuple(token for token in tokens(kinds.name(at)) if token not in _UNIT_WORDS)

    celsius = {bare(at) for at in columns if kinds.head.unit(at) == "C"}
    return [at for at in columns if kinds.head.unit(at) != "F" or bare(at) not in celsius]


def _to_be_numeric(kinds: Kinds, at: int) -> bool:
    """Whether a column that holds no numbers in the first rows is a temperature by its name."""
    name, kind = kinds.name(at), kinds.kinds[at]
    if kind == "word" and all(DEGREES.fullmatch(plain(text)) for text in kinds.texts(at) if text):
        return False  # the unit of the column before it
    if kind not in ("empty", "mixed", "slip", "word") or says(name, "note", "row", "date", "time"):
        return False
    return kinds.head.unit(at) in ("C", "F") or (
        place_of(name) == "general" and says(name, "temperature", "minimum", "maximum")
    )


def _same_place(kinds: Kinds, columns: Sequence[int]) -> bool:
    return len({place_of(kinds.told(at)) for at in columns}) == 1


def _likely(kinds: Kinds, numeric: list[int]) -> list[int]:
    """Columns that may be temperatures: by name or unit; else those named by a place; else all others."""
    possible = [at for at in numeric if not is_other(kinds, at) and not says(kinds.name(at), "note", "flag")]
    told = [
        at
        for at in possible
        if kinds.head.unit(at) in ("C", "F")
        or cell_unit(kinds, at) in ("C", "F")
        or says(kinds.told(at), "temperature")
    ]
    extremes = [
        at
        for at in possible
        if says(kinds.name(at), "minimum", "maximum") and not says(kinds.name(at), "row", "note")
    ]
    if told:
        return sorted(set(told) | set(extremes))
    if extremes:
        return sorted({*extremes, *(at for at in possible if says(kinds.name(at), "mean"))})
    named = [at for at in possible if place_of(kinds.told(at)) not in ("general", "unknown")]
    left = [
        at
        for at in possible
        if not says(kinds.name(at), "row", "note", "sensor", "year", "month", "day", "hour")
    ]
    value = [at for at in left if says(kinds.name(at), "value")]
    return named if any(place_of(kinds.told(at)) != "elsewhere" for at in named) else value or left


def _extremes(
    kinds: Kinds, likely: Sequence[int], when: dict[str, int], given: dict[Role, int], file: str
) -> dict[str, int] | None:
    """The day's lowest and highest where rows are days; None where they aren't, or lack one."""
    lows = [at for at in likely if says(kinds.name(at), "minimum") and not says(kinds.name(at), "maximum")]
    highs = [at for at in likely if says(kinds.name(at), "maximum") and not says(kinds.name(at), "minimum")]
    if "tmin" in given:
        lows = [given["tmin"]]
    if "tmax" in given:
        highs = [given["tmax"]]
    if not lows or not highs or not one_a_day(kinds, when):
        return None
    low, high = (
        outdoor_among([kinds.told(at) for at in lows]),
        outdoor_among([kinds.told(at) for at in highs]),
    )
    if low is None or high is None:
        raise _unclear(kinds, lows if low is None else highs, "tmin" if low is None else "tmax", file)
    return {"tmin": lows[low], "tmax": highs[high]}


def _nameless_extremes(kinds: Kinds, numeric: Sequence[int], when: dict[str, int]) -> dict[str, int] | None:
    """The two columns of a table of days without a header, of which one is never above the other."""
    if kinds.head.line is not None or len(numeric) != 2 or not one_a_day(kinds, when):
        return None
    one, other = (np.array(numbers_in(kinds.texts(at))) for at in numeric)
    if one.size != other.size or one.size < _FEWEST_DAYS:
        return None
    if (one < other).all():
        return {"tmin": numeric[0], "tmax": numeric[1]}
    return {"tmin": numeric[1], "tmax": numeric[0]} if (one > other).all() else None


def one_a_day(kinds: Kinds, when: dict[str, int]) -> bool:
    """Whether each of the first rows is of another day, or they have no time of day."""
    if "date" in when and len(when) == 1:
        return True
    if {"hour", "hhmm", "fraction", "epoch"} & when.keys():
        return "epoch" in when and _far_apart(kinds, when["epoch"])
    at = when.get("stamp", when.get("date"))
    if at is None:
        return True
    from season_engine.weather.logger.stamps import halves

    dates = [halves(text)[0] for text in kinds.texts(at) if text]
    return len(set(dates)) * 2 > len(dates)


def _far_apart(kinds: Kinds, at: int) -> bool:
    values = sorted(numbers_in(kinds.texts(at)))
    day = 86_400 * (1 if len(kinds.texts(at)[0]) < 12 else 1000)
    return len(values) > 1 and (values[-1] - values[0]) / (len(values) - 1) > 0.9 * day


# What to say where columns can't be told


def _columns_found(kinds: Kinds) -> str:
    named = [kinds.name(at) for at in range(kinds.width) if kinds.head.name(at)]
    return (
        f"Found: {listed(named[:MOST_NAMES], 'and')}."
        if named
        else f"Found: {kinds.width} columns without names."
    )


def _lack(kinds: Kinds, likely: Sequence[int]) -> list[str]:
    low = any(says(kinds.name(at), "minimum") for at in likely)
    high = any(says(kinds.name(at), "maximum") for at in likely)
    if low == high:
        return ["tmin", "tmax"] if not low else ["temp"]
    return ["tmax"] if low else ["tmin"]


def _lacking(kinds: Kinds, lacking: list[str], file: str) -> GrowerError:
    role = "time" if "date" in lacking else "temp"
    hint = (
        f"Needed are date, tmin and tmax, or time and temp. {_columns_found(kinds)} If one of them is meant, "
        f'write it under [site.weather]: columns = {{ {role} = "..." }}, its header or its number from 1.'
    )
    return GrowerError(
        f"there is no {listed(lacking, 'and no')} column.", hint=hint, file=file, line=kinds.head.line or 1
    )


def _unclear(kinds: Kinds, columns: Sequence[int], role: str, file: str) -> GrowerError:
    names = [kinds.head.name(at) for at in columns]
    shown = [kinds.name(at) or f"column {kinds.head.number(at)}" for at in columns]
    twins = len(set(map(plain, names))) < len(names) or not all(names)
    value = str(kinds.head.number(columns[0])) if twins else f'"{names[0]}"'
    hint = f"Write which it is under [site.weather], such as columns = {{ {role} = {value} }}."
    if len(columns) == 1:
        problem = f"the only temperature is {listed(shown)}, which doesn't sound like the air outdoors."
        return GrowerError(problem, hint=hint, file=file, line=kinds.head.line)
    if len(shown) > _MOST_RIVALS:
        some = f"{len(shown)} columns, {listed([shown[0], shown[-1]], 'and')} among them,"
        problem = f"{some} could all be the {role} column."
        return GrowerError(problem, hint=hint, file=file, line=kinds.head.line)
    problem = f"{listed(shown, 'and')} could {'both' if len(shown) == 2 else 'all'} be the {role} column."
    return GrowerError(problem, hint=hint, file=file, line=kinds.head.line)
