"""JSON documents held against their schemas: the models' own, and those that were fixed before."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

from jsonschema import Draft202012Validator, FormatChecker
from referencing import Registry, Resource

from season_engine.documents.schemas import SchemaName, schema

CONTRACT = Path(__file__).parent / "contract"
_USED_BY: dict[SchemaName, tuple[SchemaName, ...]] = {"compare": ("check",), "report": ("check", "weather")}
_CLOSED = ("additionalProperties", "unevaluatedProperties")  # to other keys, where these are false


@cache
def contract(name: SchemaName) -> Any:
    """What the outside was promised, with the schemas it refers to."""
    document = _read(name)
    bundled = {used: _read(used) for used in _USED_BY.get(name, ())}
    return {**document, "$defs": {**document.get("$defs", {}), **bundled}}


def _read(name: SchemaName) -> Any:
    return json.loads((CONTRACT / f"{name}.json").read_text("utf-8"))


@cache
def validator(name: SchemaName) -> Draft202012Validator:
    """The document's own validator, dates checked; made once, as are the places its references lead to."""
    return _validator(schema(name))


@cache
def contract_validator(name: SchemaName) -> Draft202012Validator:
    """The contract's own, which lets keys be added to what was promised."""
    return _validator(_open(contract(name)))


def _validator(document: Any) -> Draft202012Validator:
    Draft202012Validator.check_schema(document)
    places = Registry().with_resource("", Resource.from_contents(document)).crawl()
    return Draft202012Validator(document, format_checker=FormatChecker(), registry=places)


def _open(document: Any) -> Any:
    if isinstance(document, dict):
        kept = (key for key, value in document.items() if key not in _CLOSED or value is not False)
        return {key: _open(document[key]) for key in kept}
    return [*map(_open, document)] if isinstance(document, list) else document


def assert_valid(document: Any, name: SchemaName) -> None:
    """Fail, naming the place, unless `document` keeps to both schemas of that name."""
    validator(name).validate(document)
    contract_validator(name).validate(document)
