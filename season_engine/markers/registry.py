"""The kinds of marker there are: whatever stands in `markers/kinds` under a name of its own."""

from __future__ import annotations

import pkgutil
from collections.abc import Iterator
from functools import cache, reduce
from importlib import import_module
from operator import or_
from types import ModuleType
from typing import Annotated, Any, get_args

from pydantic import Field, GetCoreSchemaHandler, GetPydanticSchema
from pydantic_core import CoreSchema

from season_engine.markers import kinds as room
from season_engine.markers.base import Marker


@cache
def kinds() -> dict[str, type[Marker]]:
    """Every kind by its name, in the order of the alphabet."""
    modules = (import_module(f"{room.__name__}.{one.name}") for one in pkgutil.iter_modules(room.__path__))
    return dict(sorted(found for module in modules for found in _kinds_in(module)))


def _kinds_in(module: ModuleType) -> Iterator[tuple[str, type[Marker]]]:
    """The markers made in a module that name their kind; what several share names none."""
    for one in vars(module).values():
        if isinstance(one, type) and issubclass(one, Marker) and one.__module__ == module.__name__:
            for name in get_args(one.model_fields["kind"].annotation):
                yield name, one


def _by_kind(_type: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
    return handler(Annotated[reduce(or_, kinds().values()), Field(discriminator="kind")])


AnyMarker = Annotated[Marker, GetPydanticSchema(_by_kind)]  # a table of any kind, told by its `kind`
