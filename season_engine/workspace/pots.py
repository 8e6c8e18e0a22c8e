"""The pot of a tree as trees.csv has it: litres, or width and depth."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

from season_engine.files.csv_rows import Row
from season_engine.files.text import shortened
from season_engine.pot import LITRES, Pot

_SIDES = re.compile(r"(.+?)\s*[x×*]\s*(.+?)(?:\s*[x×*]\s*(.+?))?\s*(cm|in)?", re.IGNORECASE)  # noqa: RUF001
_LITRES = re.compile(r"(.+?)\s*(?:l|litres?|liters?)", re.IGNORECASE)
_NUMBER = r"(\d{1,4}(?:[.,]\d{1,9})?)"
_CROSS = r"\s*[x×*]\s*"  # noqa: RUF001
_SIDES_IN = re.compile(
    rf"(?<![\w.,]){_NUMBER}{_CROSS}{_NUMBER}(?:{_CROSS}{_NUMBER})?(?:\s*(cm|in)\b)?", re.IGNORECASE
)
_LITRES_IN = re.compile(rf"(?<![\w.,]){_NUMBER}[\s-]*(?:l|litres?|liters?)\b", re.IGNORECASE)
_CM = {"cm": 1.0, "in": 2.54}
_HINT = "Write length x width x depth, like 60x40x12 cm, or of a round one width x depth, like 14x6 in."


def read_pot(row: Row) -> Pot | None:
    """The pot of one line; None where nothing is said of it, or a fault was noted."""
    litres, measured = row.words("pot_l"), row.words("pot")
    if litres and measured:
        row.fault("pot", "pot and pot_l both say how large the pot is.", "Leave one of them empty.")
        return None
    if litres:
        return _of_litres(row, "pot_l", litres)
    if found := _LITRES.fullmatch(measured):
        return _of_litres(row, "pot", found.group(1))
    return _of_sides(row, measured) if measured else None


def pot_in(words: str) -> Pot | None:
    """The pot whose litres or sides stand somewhere in a grower's words; None where none does that may be."""
    if found := _SIDES_IN.search(words):
        length, width, depth, unit = found.groups()
        return _likely(
            _of_box([float(side.replace(",", ".")) for side in (length, width, depth) if side], unit)
        )
    if found := _LITRES_IN.search(words):
        litres = float(found.group(1).replace(",", "."))
        return _likely(Pot.of_tree(litres) if litres > 0 else None)
    return None


def _likely(pot: Pot | None) -> Pot | None:
    least, most = LITRES
    return pot if pot is not None and least <= pot.litres <= most else None


def _of_box(sides: Sequence[float], unit: str | None) -> Pot | None:
    """A pot of its sides, or of a round one's width and depth; None where one of them is nought."""
    cm = [side * _CM[(unit or "cm").casefold()] for side in sides]
    if not cm or min(cm) <= 0:
        return None
    length_cm, width_cm, depth_cm = cm if len(cm) == 3 else (cm[0], math.pi / 4.0 * cm[0], cm[1])
    return Pot.of_box_cm(length_cm, width_cm, depth_cm)


def _of_litres(row: Row, column: str, text: str) -> Pot | None:
    litres = _number(text)
    if litres is None:
        row.fault(
            column, f'{column} must be a number of litres; got "{shortened(text)}".', "Write it like 12.5."
        )
        return None
    return Pot.of_tree(litres) if _holds(row, column, litres) else None


def _of_sides(row: Row, text: str) -> Pot | None:
    found = _SIDES.fullmatch(text)
    sides = [_number(side) for side in found.groups()[:3] if side is not None] if found else []
    told = [side for side in sides if side is not None]
    pot = _of_box(told, found and found.group(4)) if len(told) == len(sides) else None
    if pot is None:
        row.fault("pot", f'pot is no measure of a pot: "{shortened(text)}".', _HINT)
        return None
    return pot if _holds(row, "pot", pot.litres) else None


def _holds(row: Row, column: str, litres: float) -> bool:
    """Whether a pot may hold so much; a fault where not."""
    least, most = LITRES
    inside = least <= litres <= most
    if not inside:
        problem = f"a pot holds from {least:g} to {most:g} litres here, not {litres:.3g}."
        row.fault(column, problem, "Litres in pot_l; in pot centimetres, or inches with in behind them.")
    return inside


def _number(text: str) -> float | None:
    try:
        number = float(text.strip().replace(",", "."))
    except ValueError:
        return None
    return number if math.isfinite(number) else None
