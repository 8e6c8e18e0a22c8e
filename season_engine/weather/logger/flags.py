"""Columns that mark how good a reading is: which marks are good, as the file explains or the settings say."""

from __future__ import annotations

import re
from collections import Counter

import numpy as np

from season_engine.errors import GrowerError
from season_engine.files.text import listed, shortened
from season_engine.weather.logger.how import ReadAs
from season_engine.weather.logger.legends import legend
from season_engine.weather.logger.logger_table import LoggerTable
from season_engine.weather.logger.no_readings import Left
from season_engine.weather.logger.values import Values
from season_engine.weather.logger.verdicts import Verdict, verdict_of
from season_engine.weather.logger.vocabulary import plain, words

_MOST_SHOWN = 8


def drop_flagged(table: LoggerTable, role: str, values: Values, how: ReadAs, left: Left) -> None:
    """Take out the readings that are marked as bad.

    Raises GrowerError where marks differ and nothing says which are good.
    """
    for column in [one for one in table.texts if one.startswith(f"flag {role} ")]:
        _drop_marked(table, role, column, values, how, left)


def _drop_marked(table: LoggerTable, role: str, column: str, values: Values, how: ReadAs, left: Left) -> None:
    texts = table.texts[column]
    counted: Counter[str] = Counter()
    for row in np.flatnonzero(~np.isnan(values.celsius)).tolist() + list(values.impossible):
        counted[_bare(texts[row])] += 1
    verdicts = _verdicts(table, column, counted, how)
    unclear = [mark for mark in counted if verdicts[mark] == "unclear"]
    if unclear and len(counted) > 1:
        raise _ask(table, column, counted, verdicts)
    bad = {mark for mark, verdict in verdicts.items() if verdict == "bad"}
    for row, text in enumerate(texts) if bad else ():
        if _bare(text) in bad and (not np.isnan(values.celsius[row]) or row in values.impossible):
            left.add("flag", table.lines[row], f"{table.texts[role][row].strip()} {text.strip()}")
            values.drop(row)


def _bare(text: str) -> str:
    """A mark without blanks and quotes; 0.0 is 0."""
    return re.sub(r"^(\d+)\.0+$", r"\1", text.strip().strip("\"'"))


def _verdicts(table: LoggerTable, column: str, counted: Counter[str], how: ReadAs) -> dict[str, Verdict]:
    if how.flags is not None:
        kept = {plain(_bare(mark)) for mark in how.flags}
        if not any(plain(mark) in kept for mark in counted):
            problem = f"no reading is marked {listed(how.flags, 'or')}; the marks are {_shown(counted)}."
            hint = "Mend flags under [site.weather]."
            raise GrowerError(problem, hint=hint, file=table.file, field=table.name(column))
        return {mark: "good" if plain(mark) in kept else "bad" for mark in counted}
    lines = [line for _, line in table.head.about]
    lines += [line for kind, _, line in table.left if kind in ("remark", "summary")]
    name = table.head.name(table.plan.needed[column])
    explained = legend(lines, name, [mark for mark in counted if mark], _column_words())
    verdicts = {mark: verdict_of(explained.get(mark, mark)) for mark in counted}
    if "" in counted and all(verdict != "unclear" for mark, verdict in verdicts.items() if mark):
        verdicts[""] = "good"
    return verdicts


def _column_words() -> list[str]:
    return [plain(word) for word in words()["header"]["flag"]]


def _shown(counted: Counter[str]) -> str:
    shown = [f'"{shortened(mark)}" ({times:,})' for mark, times in counted.most_common(_MOST_SHOWN)]
    return ", ".join(shown)


def _ask(table: LoggerTable, column: str, counted: Counter[str], verdicts: dict[str, Verdict]) -> GrowerError:
    good = [mark for mark in counted if verdicts[mark] == "good"] or [counted.most_common(1)[0][0]]
    problem = f"its readings are marked {_shown(counted)}, and nothing says clearly which of them are good."
    shown = ", ".join(f'"{mark}"' for mark in good)
    hint = f"Write the marks of those to keep under [site.weather], such as flags = [{shown}]."
    return GrowerError(problem, hint=hint, file=table.file, line=table.head.line, field=table.name(column))
