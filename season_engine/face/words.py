"""What `Weather` and `Assessment` hold as facts, in words."""

from __future__ import annotations

from season_engine.weather.faults import Fault
from season_engine.weather.notices import Notice
from season_engine.weather.sources.origins import SourceFact
from season_engine.windows.assessment import OwnNumber
from season_engine.words.own_numbers import own_number_text
from season_engine.words.speech import for_programs
from season_engine.words.weather_faults import fault_text
from season_engine.words.weather_notices import notice_text
from season_engine.words.weather_sources import source_text


def in_words(fact: Fault | SourceFact | Notice | OwnNumber) -> str:
    """One of the `faults`, `warnings`, `notes` or `sources` in English and degC, as JSON has it."""
    with for_programs("degC"):
        if isinstance(fact, Fault):
            return fault_text(fact)
        if isinstance(fact, OwnNumber):
            return own_number_text(fact)
        return source_text(fact) if isinstance(fact, SourceFact) else notice_text(fact)
