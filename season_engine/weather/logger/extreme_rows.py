"""Tables with a line for each of the day's extremes, told by a word: "2024-01-01,TMAX,5.1"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from season_engine.errors import GrowerError
from season_engine.files.text import listed
from season_engine.weather.logger.logger_table import LoggerTable
from season_engine.weather.logger.sensors import outdoor_among
from season_engine.weather.logger.vocabulary import says

_OTHER_TIMES = ("clock", "hhmm", "hour", "fraction", "decimal_hour", "epoch")


def paired(table: LoggerTable) -> LoggerTable:
    """The table with a row a day, where its rows are of lowest and of highest temperatures; else as it is."""
    if "temp" not in table.texts or any(role in table.texts for role in _OTHER_TIMES):
        return table
    for role in [
        role for role in table.texts if role in ("quantity", "sensor") or role.startswith("suspect")
    ]:
        kinds = sorted({text.strip() for text in table.texts[role]})
        lows, highs = _of(kinds, "minimum", "maximum"), _of(kinds, "maximum", "minimum")
        if lows and highs:
            return _paired(table, role, _one(table, role, lows), _one(table, role, highs))
    return table


def _of(kinds: Sequence[str], wanted: str, unwanted: str) -> list[str]:
    return [one for one in kinds if says(one, wanted) and not says(one, unwanted) and not says(one, "other")]


def _one(table: LoggerTable, role: str, kinds: Sequence[str]) -> str:
    at = outdoor_among(kinds)
    if at is not None:
        return kinds[at]
    hint = "Export the lowest and highest temperature of the air outdoors alone."
    raise GrowerError(
        f"{listed(list(kinds), 'and')} could all be the air outdoors.",
        hint=hint,
        file=table.file,
        line=table.head.line,
        field=table.name(role),
    )


def _paired(table: LoggerTable, role: str, low: str, high: str) -> LoggerTable:
    when = [one for one in table.plan.when if one in table.texts]
    rows: dict[tuple[str, ...], dict[str, int]] = {}
    for row, kind in enumerate(table.texts[role]):
        kind = kind.strip()
        if kind not in (low, high):
            continue
        day = tuple(table.texts[one][row] for one in when)
        extreme = "tmin" if kind == low else "tmax"
        old = rows.setdefault(day, {}).setdefault(extreme, row)
        if table.texts["temp"][old].strip() != table.texts["temp"][row].strip():
            first = table.lines[old]
            problem = (
                f'"{" ".join(day).strip()}" is there twice, first on line {first}, with other temperatures.'
            )
            raise GrowerError(problem, file=table.file, line=table.lines[row], field=table.when_name)
    at = table.plan.temps["temp"]
    texts = {one: [day[place] for day in rows] for place, one in enumerate(when)}
    for extreme in ("tmin", "tmax"):
        found = [table.texts["temp"][pair[extreme]] if extreme in pair else "" for pair in rows.values()]
        texts[extreme] = found
    plan = replace(
        table.plan, temps={"tmin": at, "tmax": at}, sensor=None, quantity=None, suspects=(), flags={}
    )
    lines = [table.lines[min(pair.values())] for pair in rows.values()]
    return replace(table, texts=texts, plan=plan, lines=lines)
