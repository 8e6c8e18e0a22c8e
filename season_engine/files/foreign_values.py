"""Numbers and years that others wrote, in files or on the command line, held to one check each."""

from __future__ import annotations

import math
import re

FIRST_YEAR, LAST_YEAR = 1850, 2199  # the oldest records begin later; a year outside is a slip of the pen

_DECIMAL = re.compile(r"[+-]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)")
_EXPONENT = re.compile(r"[eE][+-]?[0-9]{1,3}$")
_WHOLE = re.compile(r"[0-9]{1,9}")


def decimal_number(text: str, *, exponents: bool = False) -> float | None:
    """A finite number, with a decimal point or comma and any kind of minus; None where it is none.

    Exponents are for what programs write: among a grower's readings ``1e1`` is a slip.
    """
    plain = text.strip().replace("\N{MINUS SIGN}", "-")
    if not _DECIMAL.fullmatch(_EXPONENT.sub("", plain) if exponents else plain):
        return None
    number = float(plain.replace(",", "."))
    return number if math.isfinite(number) else None


def whole_number(text: str, least: int, most: int) -> int | None:
    """A whole number in plain digits between two limits; None where it is none."""
    number = int(text) if _WHOLE.fullmatch(text) else least - 1
    return number if least <= number <= most else None


def year_served(year: int) -> bool:
    """Whether the engine reckons with that year."""
    return FIRST_YEAR <= year <= LAST_YEAR
