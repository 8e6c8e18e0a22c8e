"""Kinds of text that the documents hold, each said in the context of programs."""

from __future__ import annotations

from typing import Annotated

from pydantic import BeforeValidator

from season_engine.facts import HeatUnit
from season_engine.markers.base import Figure
from season_engine.trees.need import Need
from season_engine.weather.logger.form import LinesLeft, LoggerForm
from season_engine.weather.notices import Notice as WeatherNotice
from season_engine.weather.sources.origins import ForecastOrigin
from season_engine.windows.cautions import Caution
from season_engine.windows.window_notes import WindowNote
from season_engine.words.cautions import caution_in_english
from season_engine.words.harm import harm_text
from season_engine.words.learnt import learnt_sentence
from season_engine.words.logger_form import form_sentence, left_sentence
from season_engine.words.need import need_text
from season_engine.words.speech import said
from season_engine.words.today import today_why
from season_engine.words.tree_notes import tree_note
from season_engine.words.warnings import warning_texts
from season_engine.words.weather_notices import notice_text
from season_engine.words.weather_sources import forecast_source, source_text
from season_engine.words.window_notes import note_text

_Told = Annotated[str, BeforeValidator(said)]

# Of a window and a tree
TodayWhy = Annotated[str, BeforeValidator(today_why)]
TreeNoteText = Annotated[str, BeforeValidator(tree_note)]
NeedText = Annotated[str, BeforeValidator(need_text)]


def _left(need: Need | None) -> str:
    return "" if need is None else need_text(need.why)


RefusedText = Annotated[str, BeforeValidator(_left)]
LearntText = Annotated[str, BeforeValidator(learnt_sentence)]
ReasonText = str
HazardName = str
HazardText = str
School = _Told
Aftercare = _Told
OriginText = str
Reach = _Told
NoteText = _Told  # what one of the grower's notes said

FollowUpText = _Told

# Of a site and its weather
SiteRefusal = _Told


def _notice(notice: WeatherNotice | LoggerForm | LinesLeft) -> str:
    match notice:
        case LoggerForm():
            return form_sentence(notice)
        case LinesLeft():
            return left_sentence(notice)
    return notice_text(notice)


Notice = Annotated[str, BeforeValidator(_notice)]
WarningTexts = Annotated[tuple[str, ...], BeforeValidator(warning_texts)]
SourceText = Annotated[str, BeforeValidator(source_text)]
FaultText = str
ForecastText = _Told
StationName = _Told
HarmText = Annotated[str, BeforeValidator(harm_text)]  # such as "a night of -2 degC or colder"
StageLabel = _Told  # words that follow "whether"
StageName = _Told
UnitText = Annotated[str, BeforeValidator(str)]  # as the catalogue writes it: in degC, as its numbers are


def _forecast_source(origin: ForecastOrigin | None) -> str | None:
    return None if origin is None else forecast_source(origin)


ForecastSource = Annotated[str | None, BeforeValidator(_forecast_source)]


def _figure(value: Figure) -> int | float | str:
    return str(value) if isinstance(value, HeatUnit) else value


CatalogueNumber = Annotated[int | float | str, BeforeValidator(_figure)]


def _caution(what: Caution | WindowNote) -> str:
    return caution_in_english(what) if isinstance(what, Caution) else note_text(what)


CautionText = Annotated[str, BeforeValidator(_caution)]  # or a note of the window
