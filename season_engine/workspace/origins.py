"""From which side of the equator a tree came, by a grower's words: where these are plain, else not at all.

Which countries lie on one side is from memory; those that the equator crosses are left out.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from season_engine.files.spelling import Tokens, tokens_of
from season_engine.site import Hemisphere

_LATITUDE = re.compile(r"([+-]?)([0-9]{1,2}(?:[.,][0-9]+)?)\s*°?\s*([NS]?)", re.IGNORECASE)
_MOST_DEG = 90.0
_SIDES: dict[str, Hemisphere] = {
    **dict.fromkeys(
        ("north", "northern", "northern hemisphere", "north hemisphere", "nordhalbkugel"), "north"
    ),
    **dict.fromkeys(
        ("south", "southern", "southern hemisphere", "south hemisphere", "südhalbkugel"), "south"
    ),
}
_OTHER = ("other hemisphere", "opposite hemisphere", "other side of the equator", "andere halbkugel")
_SOUTHERN = (
    "Angola, Argentina, Argentinien, Australia, Australien, Bolivia, Bolivien, Botswana, Chile, "
    "Eswatini, Fiji, Lesotho, Madagascar, Madagaskar, Malawi, Mauritius, Mozambique, Mosambik, "
    "Namibia, New South Wales, New Zealand, Neuseeland, Papua New Guinea, Paraguay, Peru, South "
    "Africa, Südafrika, Tanzania, Tansania, Tasmania, Tasmanien, Uruguay, Zambia, Sambia, Zimbabwe, "
    "Simbabwe"
)
_NORTHERN = (
    "Algeria, Austria, Österreich, Belgium, Belgien, Bulgaria, Bulgarien, Canada, Kanada, China, "
    "Croatia, Kroatien, Cuba, Kuba, Cyprus, Zypern, Czechia, Czech Republic, Tschechien, Denmark, "
    "Dänemark, Egypt, Ägypten, England, Estonia, Estland, Finland, Finnland, France, Frankreich, "
    "Germany, Deutschland, Great Britain, Greece, Griechenland, Holland, Hong Kong, Hungary, Ungarn, "
    "Iceland, India, Indien, Ireland, Irland, Israel, Italy, Italien, Japan, Korea, Latvia, Lettland, "
    "Lebanon, Libanon, Lithuania, Litauen, Luxembourg, Luxemburg, Malaysia, Malta, Mexico, Mexiko, "
    "Morocco, Marokko, Nepal, Netherlands, Niederlande, North Korea, Northern Ireland, Norway, "
    "Norwegen, Pakistan, Philippines, Philippinen, Poland, Polen, Portugal, Romania, Rumänien, "
    "Russia, Russland, Scotland, Schottland, Serbia, Serbien, Singapore, Singapur, Slovakia, "
    "Slowakei, Slovenia, Slowenien, South Korea, Südkorea, Spain, Spanien, Sri Lanka, Sweden, "
    "Schweden, Switzerland, Schweiz, Taiwan, Thailand, Tunisia, Tunesien, Turkey, Türkei, UK, "
    "Ukraine, United Kingdom, United States, USA, Vietnam, Wales"
)
# What may stand before a country and leaves it on its side of the equator.
_BESIDE = {
    *("from", "the", "in", "of", "a", "nursery", "garden", "grower", "imported", "import", "central"),
    *(
        "north",
        "northern",
        "south",
        "southern",
        "west",
        "western",
        "east",
        "eastern",
        "aus",
        "der",
        "den",
        "die",
    ),
}


def _tokens(names: Iterable[str]) -> set[Tokens]:
    return {tokens_of(name) for name in names}


_COUNTRIES: dict[Tokens, Hemisphere] = {
    **dict.fromkeys(_tokens(_SOUTHERN.split(", ")), "south"),
    **dict.fromkeys(_tokens(_NORTHERN.split(", ")), "north"),
}
_BARE: dict[Tokens, Hemisphere] = {tokens_of(words): side for words, side in _SIDES.items()}
_ACROSS = _tokens(_OTHER)


def from_other_hemisphere(words: str, here: Hemisphere) -> bool:
    """Whether a tree plainly came from the other hemisphere than `here`.

    By a side of the equator, a latitude or a country, which may stand behind a comma: "Osaka, Japan".
    """
    if latitude := _LATITUDE.fullmatch(words.strip()):
        return _side(*latitude.groups()) not in (None, here)
    tokens = tokens_of(words.rpartition(",")[2])
    without_article = tuple(token for token in tokens if token not in ("the", "from", "aus", "der"))
    if tokens in _ACROSS or without_article in _ACROSS:
        return True
    side = _BARE.get(without_article) or _country(tokens)
    return side is not None and side != here


def _side(sign: str, degrees: str, letter: str) -> Hemisphere | None:
    """The side of a latitude; None where it is none, or told in two ways that differ."""
    value = float(degrees.replace(",", "."))
    sides = {"south"} if sign == "-" else {"north"} if sign else set[str]()
    sides |= {"south" if letter in "Ss" else "north"} if letter else set[str]()
    if value > _MOST_DEG or value == 0 or len(sides) > 1:
        return None
    return "south" if sides == {"south"} else "north"


def _country(tokens: Tokens) -> Hemisphere | None:
    while tokens:
        if tokens in _COUNTRIES:
            return _COUNTRIES[tokens]
        if tokens[0] not in _BESIDE:
            return None
        tokens = tokens[1:]
    return None
