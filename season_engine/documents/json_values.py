"""Values as JSON has them."""

from __future__ import annotations

import datetime as dt
import math
from typing import Any

Document = dict[str, Any]


def date_text(date: dt.date | None) -> str | None:
    """ISO 8601, null for none."""
    return None if date is None else date.isoformat()


def finite(value: float | None) -> float | None:
    """To four places, so that the last bits of a sum never show as a change; null if not a number."""
    return None if value is None or not math.isfinite(value) else round(float(value), 4)
