"""Checking a TOML text against a model, every fault told in the grower's words with its line."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Iterator
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails, PydanticCustomError

from season_engine.errors import GrowerError, InputErrors
from season_engine.files.text import did_you_mean, listed, shortened
from season_engine.files.toml_lines import Location, TomlText, line_of, syntax_fault

Model = TypeVar("Model", bound=BaseModel)
Schema = dict[str, Any]

LARGEST = 2**63  # the range of whole numbers that the standard (TOML 1.0) asks for


def checked(toml: TomlText, model: type[Model]) -> Model:
    """The values of a TOML text.

    Raises GrowerError where it isn't TOML, InputErrors with all faults of its values.
    """
    try:
        data = tomllib.loads(toml.text)
    except RecursionError:
        raise GrowerError("This is not valid TOML: brackets are nested too deeply.", file=toml.file) from None
    except ValueError as error:
        line, problem = syntax_fault(error, toml.text)
        raise GrowerError(f"This is not valid TOML: {problem}.", file=toml.file, line=line) from None
    if huge := list(_huge(data)):
        raise InputErrors([toml.fault("This number is far too large.", location) for location in huge])
    try:
        return model.model_validate(data)
    except ValidationError as error:
        schema = model.model_json_schema()
        faults = [_fault(toml, schema, details) for details in error.errors(include_url=False)]
    raise InputErrors(sorted(faults, key=lambda fault: fault.line or 0))


def _huge(data: Schema) -> Iterator[Location]:
    """Where whole numbers stand that TOML has no room for, which pydantic and Python trip over."""
    waiting: list[tuple[Any, Location]] = [(data, ())]  # no recursion: tables may be nested without end
    while waiting:
        node, location = waiting.pop()
        if isinstance(node, int) and not -LARGEST <= node < LARGEST:
            yield location
        elif isinstance(node, dict | list):
            steps = node.items() if isinstance(node, dict) else enumerate(node)
            waiting += [(value, (*location, step)) for step, value in steps]


def _fault(toml: TomlText, schema: Schema, details: ErrorDetails) -> GrowerError:
    context = details.get("ctx", {})
    location = (*details["loc"], *context.get("at", ()))
    if details["type"].startswith("union_tag"):
        location = (*location, context["discriminator"].strip("'"))
    place = _Place(schema, location)
    problem, hint = _WORDS.get(details["type"], _otherwise)(place, details)
    return GrowerError(
        problem,
        hint=hint,
        file=toml.file,
        line=line_of(toml.text, place.location),
        field=place.field or None,
    )


class _Place:
    """Where a fault is: its location in the file, and what the schema allows there and around it."""

    def __init__(self, schema: Schema, location: Location) -> None:
        self._definitions: Schema = schema.get("$defs", {})
        self.node: Schema = schema
        self.parent: Schema = {}
        self.choice: Schema = {}  # the tagged union that the parent is one variant of
        self.location: Location = ()
        for step in location:
            self._go(step)

    def _go(self, step: str | int) -> None:
        mapping = self.node.get("discriminator", {}).get("mapping", {})
        if step in mapping:  # pydantic names the variant; the file doesn't
            self.choice = self.node
            self.node = self._resolved({"$ref": mapping[step]})
            return
        self.parent = self.node
        if isinstance(step, int):
            below = self.node.get("items", {})
        else:
            others = self.node.get("additionalProperties")
            below = self.node.get("properties", {}).get(step, others if isinstance(others, dict) else {})
        self.node = self._resolved(below)
        self.location = (*self.location, step)

    def _resolved(self, node: Schema) -> Schema:
        """The node without references, and without the "or nothing" of an optional key."""
        choices = [choice for choice in node.get("anyOf", ()) if choice.get("type") != "null"]
        if len(choices) == 1:
            node = choices[0]
        if "$ref" in node:
            return self._resolved(self._definitions[node["$ref"].rpartition("/")[2]])
        return node

    @property
    def key(self) -> str:
        """The name of the key at fault."""
        return next(
            (shortened(step) for step in reversed(self.location) if isinstance(step, str)), "this file"
        )

    @property
    def field(self) -> str:
        """Dotted path of the key at fault, without counting along lists."""
        return ".".join(shortened(step) for step in self.location if isinstance(step, str))

    @property
    def table(self) -> str:
        """The header of the table around the key, as the grower writes it."""
        *around, _ = self.location or ("",)
        names = ".".join(shortened(step) for step in around if isinstance(step, str))
        if not names:
            return "this file"
        return f"[[{names}]]" if isinstance(around[-1], int) else f"[{names}]"

    def is_list_of_tables(self) -> bool:
        """Whether the value at fault should be written with ``[[double brackets]]``."""
        return "properties" in self._resolved(self.node.get("items", {}))

    def belongs_to(self) -> list[str]:
        """Names of the sibling variants that know the key at fault; none inside a table of a variant."""
        mapping = self.choice.get("discriminator", {}).get("mapping", {})
        siblings = {name: self._resolved({"$ref": reference}) for name, reference in mapping.items()}
        if self.parent not in siblings.values():
            return []
        return [name for name, sibling in siblings.items() if self.key in sibling.get("properties", {})]


Words = tuple[str, str]  # problem, hint


def _missing(place: _Place, _: ErrorDetails) -> Words:
    if place.node.get("type") == "object" or "discriminator" in place.node:
        header = f"[{place.field}]"
        return f"The table {header} is missing.", f"Add it to {place.table}."
    if place.is_list_of_tables():
        return f"There is no [[{place.field}]].", "Add at least one."
    return f'"{place.key}" is missing.', f"Add it to {place.table}."


def _unknown_key(place: _Place, _: ErrorDetails) -> Words:
    """The value is not repeated: it may be a password."""
    variants = place.belongs_to()
    if variants:
        which = f"{place.choice['discriminator']['propertyName']} = {listed(variants)}"
        return f'"{place.key}" goes with {which} only.', "Take it out, or change the other."
    known = list(place.parent.get("properties", {}))
    hint = did_you_mean(place.key, known) or f"Known here: {', '.join(known)}."
    return f'"{place.key}" is not a key of {place.table}.', hint


def _one_of(place: _Place, details: ErrorDetails) -> Words:
    # a key of a table has no schema of its own
    known = place.node.get("enum") or ([place.node["const"]] if "const" in place.node else None)
    allowed = known or re.findall(r"'([^']+)'", str(details.get("ctx", {}).get("expected", "")))
    given = details["input"]
    hint = did_you_mean(given, allowed) if isinstance(given, str) else ""
    return f"{place.key} must be {listed(allowed)}; got {_shown(given)}.", hint


def _variant(place: _Place, details: ErrorDetails) -> Words:
    context = details.get("ctx", {})
    allowed = context["expected_tags"].replace("'", "").split(", ")
    given = context["tag"]
    return f'{place.key} must be {listed(allowed)}; got "{shortened(given)}".', did_you_mean(given, allowed)


def _bounds(place: _Place, details: ErrorDetails) -> Words:
    low, high = place.node.get("minimum"), place.node.get("maximum")
    if low is None or high is None:
        return _otherwise(place, details)
    return f"{place.key} must lie between {low:g} and {high:g}; got {_shown(details['input'])}.", ""


def _length(place: _Place, details: ErrorDetails) -> Words:
    low, high = place.node.get("minLength", 0), place.node.get("maxLength")
    if high is None:
        return _otherwise(place, details)
    return f"{place.key} must be {low} to {high} characters long; got {len(details['input'])}.", ""


def _not_a(kind: str, advice: str = "") -> Callable[[_Place, ErrorDetails], Words]:
    def words(place: _Place, details: ErrorDetails) -> Words:
        given = details["input"]
        if isinstance(given, dict) and place.is_list_of_tables():
            return (
                f"[{place.field}] is a single table where a list of them is wanted.",
                f"Write [[{place.field}]] with two brackets.",
            )
        hint = "Write it without quotes." if kind.endswith("number") and isinstance(given, str) else advice
        return f"{place.key} must be {kind}; got {_shown(given)}.", hint

    return words


def _own_words(place: _Place, details: ErrorDetails) -> Words:
    return details["ctx"]["text"].replace("{key}", place.key) + ".", details["ctx"].get("hint", "")


def _otherwise(place: _Place, details: ErrorDetails) -> Words:
    message = details["msg"].removeprefix("Value error, ").removeprefix("Input ")
    return f"{place.key} {message[:1].lower()}{message[1:]}.", ""


def _shown(value: Any) -> str:
    if isinstance(value, str):
        return f'"{shortened(value)}"'
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, dict | list):
        return "a table" if isinstance(value, dict) else "a list"
    return shortened(str(value))


_WORDS: dict[str, Callable[[_Place, ErrorDetails], Words]] = {
    "wrong": _own_words,
    "missing": _missing,
    "union_tag_not_found": _missing,
    "union_tag_invalid": _variant,
    "extra_forbidden": _unknown_key,
    "literal_error": _one_of,
    "greater_than_equal": _bounds,
    "less_than_equal": _bounds,
    "string_too_short": _length,
    "string_too_long": _length,
    "float_type": _not_a("a number"),
    "finite_number": _not_a("a finite number"),
    "int_type": _not_a("a whole number"),
    "int_from_float": _not_a("a whole number"),
    "bool_type": _not_a("true or false", "Write it without quotes."),
    "string_type": _not_a("text", "Put it in quotes."),
    "tuple_type": _not_a("a list"),
    "list_type": _not_a("a list"),
    "model_type": _not_a("a table"),
    "model_attributes_type": _not_a("a table"),
    "dict_type": _not_a("a table"),
}


def wrong(text: str, at: tuple[str | int, ...] = (), hint: str = "") -> PydanticCustomError:
    """A fault in the grower's words with ``{key}`` for the key; `at` leads from the value to the fault."""
    return PydanticCustomError("wrong", "{text}", {"text": text, "at": at, "hint": hint})
