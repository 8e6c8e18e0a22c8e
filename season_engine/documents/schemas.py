"""The JSON Schemas that the documents keep to."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import TypeAdapter
from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue

from season_engine.documents.backtest import Backtest, OwnBacktest
from season_engine.documents.check import Check
from season_engine.documents.comparison import ComparisonDocument
from season_engine.documents.journal import JournalDocument
from season_engine.documents.pooled_fit import PooledFit
from season_engine.documents.ready import ReadyDocument
from season_engine.documents.report import ReportDocument
from season_engine.documents.species import JobsDocument, SpeciesList
from season_engine.documents.weather import WeatherDocument

SchemaName = Literal[
    "backtest",
    "check",
    "compare",
    "fit-catalogue",
    "jobs",
    "journal",
    "ready",
    "report",
    "species",
    "weather",
]

_TITLES: dict[SchemaName, str] = {
    "backtest": "How good forecasts would have been, as backtest --json prints it; days throughout",
    "check": "One window, as check --json prints it",
    "compare": "Sites side by side, as compare --json prints them",
    "fit-catalogue": "Rules fitted on pooled notes, as fit-catalogue --json prints them; days throughout",
    "jobs": "The jobs, as jobs --json prints them",
    "journal": "Lines of the journal, as journal list --json prints them",
    "ready": "Whether all is in place for the next report, as ready --json prints it",
    "report": "The weekly report, as report --json prints it",
    "species": "Species and what is known of them, as species --json prints them",
    "weather": "The temperatures of each site, as weather --json prints them",
}
_DOCUMENTS: dict[SchemaName, Any] = {
    "backtest": Backtest | OwnBacktest,
    "check": Check,
    "compare": ComparisonDocument,
    "fit-catalogue": PooledFit,
    "jobs": JobsDocument,
    "journal": JournalDocument,
    "ready": ReadyDocument,
    "report": ReportDocument,
    "species": SpeciesList,
    "weather": WeatherDocument,
}


class _Untitled(GenerateJsonSchema):
    """Without a title for each field, which would only repeat its name."""

    def field_title_should_be_set(self, _schema: Any) -> bool:
        return False


def schema(name: SchemaName) -> JsonSchemaValue:
    """The JSON Schema (2020-12) of one document, with all that it refers to."""
    made = TypeAdapter(_DOCUMENTS[name]).json_schema(mode="serialization", schema_generator=_Untitled)
    about = {"$schema": _Untitled.schema_dialect, "$id": f"urn:season-engine:schema:{name}"}
    return {**about, **made, "title": _TITLES[name]}
