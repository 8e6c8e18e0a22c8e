"""What the JSON documents are made of: models whose fields are the keys, in their order."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel, ConfigDict


class Document(BaseModel):
    """An object of JSON, read from the attributes of what it tells of.

    A key that has a default and was not given is left out.
    """

    model_config = ConfigDict(
        frozen=True, from_attributes=True, extra="forbid", allow_inf_nan=False, defer_build=True
    )


class Facts:
    """Several objects read as one: a value given by name, else the attribute of the first that has it."""

    def __init__(self, *objects: object, **named: object) -> None:
        self._objects = objects
        vars(self).update(named)

    def __getattr__(self, name: str) -> object:
        for one in self._objects:
            if hasattr(one, name):
                return getattr(one, name)
        raise AttributeError(name)


def json_values(document: Document) -> dict[str, Any]:
    """The document as plain values: texts, numbers, lists, and dicts by key."""
    return document.model_dump(mode="json", by_alias=True, exclude_unset=True)


def json_text(document: Document) -> str:
    """The document as UTF-8 text; a number that isn't finite is an error, never ``NaN``."""
    return document.model_dump_json(indent=1, by_alias=True, exclude_unset=True) + "\n"
