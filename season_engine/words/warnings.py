"""What to mind about weather and numbers, in sentences."""

from __future__ import annotations

from collections.abc import Iterable

from season_engine.weather.notices import Warned
from season_engine.windows.assessment import OwnNumber
from season_engine.words.own_numbers import own_number_text
from season_engine.words.weather_notices import notice_text


def warning_texts(warnings: Iterable[Warned | OwnNumber]) -> list[str]:
    """Warnings of the weather's, and of numbers of the grower's own."""
    return [_text(one) for one in warnings]


def _text(warning: Warned | OwnNumber) -> str:
    return own_number_text(warning) if isinstance(warning, OwnNumber) else notice_text(warning)
