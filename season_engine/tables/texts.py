"""Texts of the catalogue, read once into words and values: temperatures stand in them in a checked form.

``{3 degC}`` or ``{37 degF}`` is a temperature, ``{3..5 degC}`` a range, ``{2 K}`` and ``{2..4 K}`` are
differences, ``{250 degree days}`` is a sum of heat. So each is told by its own rule in the reader's units.
"""

from __future__ import annotations

import re
from typing import Annotated

from pydantic import AfterValidator, GetPydanticSchema

from season_engine.facts import DEGREE_F, DegreeDays, Degrees, DegreesRange, Text
from season_engine.files.text import shortened
from season_engine.files.toml_faults import wrong

COLDEST_C, HOTTEST_C = -60.0, 60.0  # a tree in a pot meets nothing beyond
FORMS = (
    "Write {3 degC} for a temperature, {3..5 degC} for a range, {2 K} or {2..4 K} for a difference "
    "and {250 degree days} for heat."
)
ANGLES = 'An angle is written "an angle of 45 degrees".'
Value = Degrees | DegreesRange | DegreeDays

_NUMBER = r"-?\d+(?:\.\d)?"
_FORM = re.compile(rf"\{{(?P<low>{_NUMBER})(?:\.\.(?P<high>{_NUMBER}))? (?P<unit>degC|degF|K)\}}")
_HEAT_FORM = re.compile(r"\{(?P<sum>\d{1,3}(?:,\d{3})+|\d+) degree days\}")
_IN_BRACES = re.compile(r"\{[^{}]*\}")
_A_VALUE = "\0"  # stands for each character of a form that is read

_WORD = (
    r"(?:zero|nought|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|thirteen|fourteen|fifteen"
    r"|sixteen|seventeen|eighteen|nineteen|twenty|thirty|forty|fifty)"
)
_ANY = rf"(?:(?<![\d.,])\d+(?:[.,]\d+)?|\b{_WORD}(?:[ -]{_WORD})?\b)"
_SIGN = r"(?:(?:minus|plus)\s+|(?<!\d)[-+\u2212])"
_MARK = r"(?:°|º|˚|degrees?\b|deg\b|deg(?=[cf]\b)|Grad\b)"
_PLACE_OR_ANGLE = r"[NSEW]\b|(?:of\s+)?(?:angle|arc|slope|latitude|longitude)|north|south|east|west"
_NO_HEAT = rf"(?!\s*(?:{_PLACE_OR_ANGLE}))"
_NO_UNIT = re.compile(rf"{_MARK}$", re.IGNORECASE)
# Temperatures and heat outside braces. Angles and places on the map have degrees as well.
_BARE = re.compile(
    "|".join(
        (
            rf"{_SIGN}?{_ANY}\s*[-]?{_MARK}\s*(?:[CF]\b|Celsius|Fahrenheit|centigrade)",
            rf"{_SIGN}?\d+(?:[.,]\d+)?\s?(?-i:[CFK])\b",
            rf"{_SIGN}?{_ANY}\s*[℃℉]",
            rf"{_ANY}\s+(?:growing\s+)?degree[ -]days?",
            rf"(?<!angle of )(?<!angles of ){_SIGN}?{_ANY}\s*[-]?{_MARK}{_NO_HEAT}",
            rf"(?:minus|plus)\s+{_ANY}",
            rf"{_ANY}\s+(?:below|under|above|over)\s+(?:zero|nought|freezing)",
            r"(?<![\w.,\d)-])[-\u2212]\d+(?:[.,]\d+)?",
            rf"{_ANY}\s*(?:to|and|or|-|\u2013|/|\.\.)\s*{_A_VALUE}+",
            rf"{_A_VALUE}+\s*(?:to|-|\u2013|/|\.\.)\s*{_ANY}(?=\s*(?:[.,;:)]|$))",
        )
    ),
    re.IGNORECASE,
)

# What any of these has in it: most texts have none, and are done with sooner.
_HINT = re.compile(r"[\d°º˚℃℉]|deg|grad|minus|plus|zero|nought|freezing", re.IGNORECASE)


def with_values(text: str) -> Text:
    """A text with its values read; raises an error that names the form to use.

    A temperature outside braces is an error, and so are braces that hold anything else.
    """
    values: dict[str, Value] = {}

    def put_in(found: re.Match[str]) -> str:
        value = _value(found[0])
        name = "heat" if isinstance(value, DegreeDays) else "degrees"
        others = sum(known.startswith(name) for known in values)
        name = f"{name}_{others + 1}" if others else name
        values[name] = value
        return f"{{{name}}}"

    template = _IN_BRACES.sub(put_in, text)
    if stray := re.search(r"[{}]", _IN_BRACES.sub("", text)):
        raise wrong(f'{{key}} has a "{stray[0]}" that belongs to no temperature', hint=FORMS)
    if bare := bare_temperature(text):
        said = f'{{key}} says "{shortened(bare)}" outside braces, where it can\'t be told in other units'
        raise wrong(said, hint=f"{FORMS} {ANGLES}" if _NO_UNIT.search(bare) else FORMS)
    return Text(template, tuple(values.items()))


def bare_temperature(text: str) -> str:
    """The first temperature, difference or sum of heat that stands in a text outside braces; else nothing."""
    if not _HINT.search(text):
        return ""
    found = _BARE.search(_IN_BRACES.sub(lambda form: _A_VALUE * len(form[0]), text))
    return text[found.start() : found.end()].strip() if found else ""


def _value(form: str) -> Value:
    if heat := _HEAT_FORM.fullmatch(form):
        return DegreeDays(float(heat["sum"].replace(",", "")))
    found = _FORM.fullmatch(form)
    if not found:
        raise wrong(f'{{key}} has "{shortened(form)}" in it, which is no form of a temperature', hint=FORMS)
    low = _degrees(form, found["low"], found["unit"])
    if found["high"] is None:
        return low
    high = _degrees(form, found["high"], found["unit"])
    if low.value_c >= high.value_c:
        raise wrong(f'{{key}} has "{form}" in it: a range goes from the lower to the higher', hint=FORMS)
    return DegreesRange(low, high)


def _degrees(form: str, number: str, unit: str) -> Degrees:
    decimals, value = len(number.partition(".")[2]), float(number)
    if unit == "K":
        if value <= 0:
            raise wrong(f'{{key}} has "{form}" in it: a difference is more than nought', hint=FORMS)
        return Degrees(value, decimals, apart=True)
    value_c = (value - 32) / DEGREE_F if unit == "degF" else value
    if not COLDEST_C <= value_c <= HOTTEST_C:
        limits = f"{COLDEST_C:g} to {HOTTEST_C:g} degC"
        raise wrong(f'{{key}} has "{form}" in it, beyond what a tree in a pot meets ({limits})', hint=FORMS)
    return Degrees(value_c, decimals)


def _a_name(text: str) -> str:
    """A name is told as it is, so that nothing in it can be turned into other units."""
    if bare := bare_temperature(text):
        raise wrong(f'{{key}} says "{shortened(bare)}"; a name must hold no temperature')
    return text


AS_A_STRING = GetPydanticSchema(lambda _, handler: handler(str))  # what is checked before it is read
WrittenText = Annotated[Text, AS_A_STRING, AfterValidator(with_values)]
Name = Annotated[str, AfterValidator(_a_name)]
