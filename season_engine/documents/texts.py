"""Kinds of text that the documents hold, each said in the context of programs."""

from __future__ import annotations

from typing import Annotated

from pydantic import BeforeValidator

from season_engine.facts import HeatUnit
from season_engine.markers.base import Figure
from season_engine.messages import said
from season_engine.windows.cautions import Caution
from season_engine.words.cautions import caution_in_english

_Told = Annotated[str, BeforeValidator(said)]

# Of a window and a tree
TodayWhy = _Told
RefusedText = _Told
LearntText = _Told
ReasonText = str
HazardName = _Told
HazardText = _Told
School = _Told
Aftercare = _Told
OriginText = str
NoteText = _Told  # what one of the grower's notes said

# Of a site and its weather
SiteRefusal = _Told
Notice = _Told  # a note beside a window or a site, or a site's weather
WarningText = _Told
SourceText = _Told
FaultText = _Told
ForecastText = _Told
StationName = _Told
ThreatText = _Told  # an event, such as "a night of -2 degC or colder"
StageLabel = _Told  # words that follow "whether"
StageName = _Told
UnitText = Annotated[str, BeforeValidator(str)]  # as the catalogue writes it: in degC, as its numbers are


def _figure(value: Figure) -> int | float | str:
    return str(value) if isinstance(value, HeatUnit) else value


CatalogueNumber = Annotated[int | float | str, BeforeValidator(_figure)]


def _caution(what: Caution | str) -> str:
    return caution_in_english(what) if isinstance(what, Caution) else said(what)


CautionText = Annotated[str, BeforeValidator(_caution)]  # or a note of the window
