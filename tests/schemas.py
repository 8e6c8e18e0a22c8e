"""JSON documents held against their schemas."""

from __future__ import annotations

from functools import cache
from typing import Any

from jsonschema import Draft202012Validator, FormatChecker
from referencing import Registry, Resource

from season_engine.documents.document import SchemaName, schema


@cache
def validator(name: SchemaName) -> Draft202012Validator:
    """The schema's own validator, dates checked; made once, as are the places its references lead to."""
    document = schema(name)
    Draft202012Validator.check_schema(document)
    places = Registry().with_resource("", Resource.from_contents(document)).crawl()
    return Draft202012Validator(document, format_checker=FormatChecker(), registry=places)


def assert_valid(document: Any, name: SchemaName) -> None:
    """Fail, naming the place, unless `document` keeps to the schema of that name."""
    validator(name).validate(document)
