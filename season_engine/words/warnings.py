"""What to mind about weather and numbers, in sentences."""

from __future__ import annotations

from collections.abc import Iterable

from season_engine.messages import said
from season_engine.windows.assessment import OwnNumber
from season_engine.words.own_numbers import own_number_text


def warning_texts(warnings: Iterable[str | OwnNumber]) -> list[str]:
    """Warnings of the weather's, and of numbers of the grower's own."""
    return [_text(one) for one in warnings]


def _text(warning: str | OwnNumber) -> str:
    return own_number_text(warning) if isinstance(warning, OwnNumber) else said(warning)
