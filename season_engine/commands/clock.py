"""The clock: nothing else in the package reads it, and `SEASON_ENGINE_NOW` sets it.

What a run says hangs on `on` alone. The moment decides what is due to be fetched, which report goes out, and
the day that counts as today where no `--on` is given.
"""

from __future__ import annotations

import datetime as dt
import os

from season_engine.errors import GrowerError

VARIABLE = "SEASON_ENGINE_NOW"


def now() -> dt.datetime:
    """The moment, with the machine's time zone; raises GrowerError where the variable holds none."""
    set_to = os.environ.get(VARIABLE)
    if not set_to:
        return dt.datetime.now().astimezone()
    try:
        return dt.datetime.fromisoformat(set_to).astimezone()
    except (ValueError, OverflowError, OSError):
        hint = "Unset it, or write it as 2026-08-24T06:17:00+00:00."
        raise GrowerError(f"the variable {VARIABLE} holds no moment.", hint=hint) from None


def today() -> dt.date:
    """The day by the machine's time zone."""
    return now().date()
