"""The schemas of the models promise all that the contract does."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, get_args

import pytest

from season_engine.documents.schemas import SchemaName, schema
from tests.schemas import contract

NAMES = get_args(SchemaName)
Promise = tuple[str, str, object]


class Promises:
    """What a schema promises, place by place, through all that it refers to."""

    def __init__(self, top: Any) -> None:
        self._top = top

    def all(self) -> set[Promise]:
        """Each key that may be there, each that always is, and each value of those that are listed."""
        return set(self._of(self._top, self._top, ""))

    def _of(self, node: Any, whole: Any, place: str) -> Iterator[Promise]:
        if not isinstance(node, dict):
            return
        yield from ((place, "always", key) for key in node.get("required", ()))
        listed = node.get("enum", [node["const"]] if "const" in node else ())
        yield from ((place, "value", value) for value in listed if value is not None)
        for key, one in node.get("properties", {}).items():
            if one is not False:
                yield place, "key", key
                yield from self._of(one, whole, f"{place}.{key}")
        yield from self._of(node.get("items"), whole, f"{place}[]")
        yield from self._of(node.get("additionalProperties"), whole, f"{place}.*")
        conditional = (node.get("then"), node.get("else"))
        for one in (*node.get("anyOf", ()), *node.get("oneOf", ()), *conditional):
            yield from self._of(one, whole, place)
        if "$ref" in node:
            yield from self._of(*self._referred(node["$ref"], whole), place)

    def _referred(self, reference: str, whole: Any) -> tuple[Any, Any]:
        """What is referred to, and the document that it is part of."""
        name, _, path = reference.partition("#")
        if name:
            whole = self._top["$defs"][name.rpartition(":")[2]]
        found = whole
        for key in path.split("/")[1:]:
            found = found[key]
        return found, whole


@pytest.mark.parametrize("name", NAMES)
def test_every_key_and_value_of_the_contract_is_in_the_models_schema(name: SchemaName) -> None:
    promised = Promises(contract(name)).all()
    assert len(promised) > 25
    assert promised - Promises(schema(name)).all() == set()


@pytest.mark.parametrize("name", NAMES)
def test_it_is_known_by_what_it_was_known_by(name: SchemaName) -> None:
    for key in ("$schema", "$id", "title"):
        assert schema(name)[key] == contract(name)[key]


def test_a_value_and_a_key_that_are_missing_are_found() -> None:
    whole = schema("report")
    of_all = Promises(whole).all()
    assert (".sites[].windows[].verdict", "value", "last-call") in of_all
    verdicts = whole["$defs"]["Check"]["properties"]["verdict"]
    verdicts["enum"].remove("last-call")
    whole["$defs"]["Check"]["required"].remove("season")
    left = Promises(whole).all()
    assert {kind for _, kind, _ in of_all - left} == {"value", "always"}
    assert Promises(contract("report")).all() - left == {
        (f".sites[].{part}[]{place}", kind, what)
        for part in ("windows", "trees")
        for place, kind, what in ((".verdict", "value", "last-call"), ("", "always", "season"))
    }


@pytest.mark.parametrize("name", NAMES)
def test_no_object_takes_keys_that_nobody_knows(name: SchemaName) -> None:
    whole = schema(name)
    for one in (whole, *whole["$defs"].values()):
        assert "properties" not in one or one["additionalProperties"] is False
