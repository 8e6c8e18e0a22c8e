"""What `Weather` and `Assessment` hold as facts, in words."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, get_args

from season_engine.weather.faults import Fault
from season_engine.weather.notices import Notice
from season_engine.weather.sources.origins import SourceFact
from season_engine.windows.assessment import LearntSummary, OwnNumber, Reason
from season_engine.windows.hazard import Hazard
from season_engine.windows.why_today import WhyToday
from season_engine.windows.window_notes import WindowNote
from season_engine.words.learnt import learnt_sentence
from season_engine.words.markers import reason_text
from season_engine.words.one_hazard import hazard_text
from season_engine.words.own_numbers import own_number_text
from season_engine.words.speech import for_programs
from season_engine.words.today import today_why
from season_engine.words.weather_faults import fault_text
from season_engine.words.weather_notices import notice_text
from season_engine.words.weather_sources import source_text
from season_engine.words.window_notes import note_text

Fact = Fault | SourceFact | Notice | OwnNumber | WhyToday | Hazard | WindowNote | LearntSummary | Reason
_SAY: dict[type, Callable[[Any], str]] = {
    Fault: fault_text,
    OwnNumber: own_number_text,
    Hazard: hazard_text,
    LearntSummary: learnt_sentence,
    Reason: reason_text,
    **dict.fromkeys(get_args(SourceFact), source_text),
    **dict.fromkeys(get_args(Notice), notice_text),
    **dict.fromkeys(get_args(WhyToday), today_why),
    **dict.fromkeys(get_args(WindowNote), note_text),
}


def in_words(fact: Fact) -> str:
    """One of the facts that weather or an assessment lists, in English and degC, as JSON has it.

    Raises TypeError for anything else.
    """
    if type(fact) not in _SAY:
        raise TypeError(f"{type(fact).__name__} is no fact of weather or of an assessment")
    with for_programs("degC"):
        return _SAY[type(fact)](fact)
