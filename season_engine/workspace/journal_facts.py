"""What a line of the journal says beside stage and job, in its column `facts`: "amount heavy; weak"."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from types import MappingProxyType
from typing import Any, get_args

from season_engine.errors import GrowerError
from season_engine.files.text import closest, listed, shortened
from season_engine.note import NO_DETAILS, Amount, Details, Off, Sign, State
from season_engine.pot import Pot
from season_engine.workspace.pots import pot_in

NOTHING = "none"
_APART = ";"
_PLAIN_PARTS = (2, 3, 4, 5, 6, 8)  # a share of so many parts is told as a fraction
_FRACTION = re.compile(r"([0-9]{1,4})\s*/\s*([0-9]{1,4})")
_PERCENT = re.compile(r"([0-9]{1,3}(?:[.,][0-9]{1,400})?)\s*%")
_SEASONS = {"good season": "good", "bad season": "bad"}
_OUTCOMES = {"went well": "well", "went badly": "badly"}
_AMOUNTS = {f"amount {amount}": amount for amount in get_args(Amount)}
_OFF = {f"{off} off": off for off in get_args(Off)}
# Of the parts that are always the same words: the field each fills, and with what.
_FIXED: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        **{words: ("amount", value) for words, value in _AMOUNTS.items()},
        **{sign: ("signs", sign) for sign in get_args(Sign)},
        **{state: ("states", state) for state in get_args(State)},
        **{words: ("off", value) for words, value in _OFF.items()},
        **{words: ("season", value) for words, value in _SEASONS.items()},
        **{words: ("went", value) for words, value in _OUTCOMES.items()},
    }
)
_OPEN = ("share", "side", "pot", "moved to")  # what follows these words is the grower's own
_SETS = ("signs", "states", "off")
_KNOWN = (
    'Known are "amount light", "amount medium" and "amount heavy"; "share 1/3" or "share 30%"; "side north"; '
    '"pot grey oval"; "moved to" and a site; '
    f"{listed((words for words in _FIXED if not words.startswith('amount')), 'and')}; with ; between them, "
    f'or "{NOTHING}" alone.'
)


def facts_text(details: Details) -> str:
    """What `read_facts` reads as the same; words of the grower's lose their semicolons and line breaks."""
    share = "" if details.share is None else f"share {_share_text(details.share)}"
    side, pot = _clean(details.side), _pot_text(_clean(details.pot), details.pot_size)
    moved_to = " ".join(details.moved_to.split())
    parts = (
        *_fixed(details, "amount"),
        share,
        side and f"side {side}",
        *(words for field in _SETS for words in _fixed(details, field)),
        pot and f"pot {pot}",
        moved_to and f"moved to {moved_to}",
        *_fixed(details, "season"),
        *_fixed(details, "went"),
    )
    return f"{_APART} ".join(filter(None, parts)) or NOTHING


def read_facts(text: str, sites: Iterable[str]) -> Details:
    """What the column says; `sites` are the names in season.toml.

    Raises GrowerError that names the first part which isn't understood, and what is known.
    """
    known = {_folded(site): site for site in sites}
    parts = _parts(text, known)
    if [part.casefold() for part in parts] == [NOTHING]:
        return NO_DETAILS
    found = NO_DETAILS
    for part in parts:
        found = _with(found, part, known)
    return found


def _parts(text: str, sites: Mapping[str, str]) -> list[str]:
    """The parts of the text; a site may have a semicolon in its name."""
    pieces = [" ".join(piece.split()) for piece in text.split(_APART)]
    parts: list[str] = []
    while pieces:
        joined, count = pieces[0], 1
        while (
            count < len(pieces) and joined.casefold().startswith("moved to ") and not _site_of(joined, sites)
        ):
            joined, count = f"{joined}{_APART} {pieces[count]}", count + 1
        if count > 1 and not _site_of(joined, sites):
            joined, count = pieces[0], 1
        parts += [joined] if joined else []
        del pieces[:count]
    return parts


def _with(found: Details, part: str, sites: Mapping[str, str]) -> Details:
    """The details with one more part; raises GrowerError where it is unknown, or there already."""
    lead = next((lead for lead in _OPEN if part.casefold().startswith(f"{lead} ")), None)
    own = part[len(lead) :].strip() if lead else ""
    if fixed := _FIXED.get(part.casefold()):
        field, value = fixed
        told: Any = getattr(found, field) | {value} if field in _SETS else value
    elif lead == "share":
        field, told = "share", _share(own)
    elif lead == "moved to":
        field, told = "moved_to", _site(part, sites)
    elif lead is not None:
        field, told = lead, own
    else:
        raise _unknown(part)
    if field not in _SETS and getattr(found, field) not in (None, ""):
        raise GrowerError(
            f'"{shortened(part)}" says again what another part has said.', hint="Leave one of them."
        )
    found = replace(found, **{field: told})
    return replace(found, pot_size=pot_in(own)) if field == "pot" else found


def _unknown(part: str) -> GrowerError:
    known = [*_FIXED, *(f"{lead} ..." for lead in _OPEN), NOTHING]
    meant = closest(part, known)
    return GrowerError(
        f'"{shortened(part)}" is no fact known here.',
        hint=" ".join(filter(None, (meant and f'Did you mean "{meant}"?', _KNOWN))),
    )


def _site(part: str, sites: Mapping[str, str]) -> str:
    if site := _site_of(part, sites):
        return site
    raise GrowerError(
        f'"{shortened(part)}" names no site of season.toml.',
        hint=f"The sites are {listed(sites.values(), 'and')}.",
    )


def _site_of(part: str, sites: Mapping[str, str]) -> str | None:
    return sites.get(_folded(part[len("moved to ") :]))


def _folded(name: str) -> str:
    """A site's name without regard to case and spaces, those at semicolons too."""
    return re.sub(r"\s*;\s*", ";", " ".join(name.split())).casefold()


def _share(text: str) -> float:
    share = None
    if found := _FRACTION.fullmatch(text):
        part, whole = map(int, found.groups())
        share = part / whole if whole else None
    elif found := _PERCENT.fullmatch(text):
        share = float(Decimal(found.group(1).replace(",", ".")) / 100)
    if share is None or not 0 < share <= 1:
        problem = f'"share {shortened(text)}" is no part of a whole.'
        raise GrowerError(problem, hint="Write it like share 1/3 or share 30%.")
    return share


def _share_text(share: float) -> str:
    for whole in _PLAIN_PARTS:
        near = Fraction(round(share * whole), whole)
        if near.denominator == whole and near.numerator / near.denominator == share:
            return f"{near.numerator}/{near.denominator}"
    return f"{(Decimal(repr(share)) * 100).normalize():f}%"


def _pot_text(words: str, size: Pot | None) -> str:
    """The words of a pot, with its width and depth where its size isn't among them."""
    if size is None or pot_in(words) == size:
        return words
    return f"{words} {size.diameter_m * 100:.6g}x{size.depth_m * 100:.6g} cm".strip()


def _clean(words: str) -> str:
    return " ".join(words.replace(_APART, ",").split())


def _fixed(details: Details, field: str) -> list[str]:
    value = getattr(details, field)
    there = value if field in _SETS else {value}
    return [words for words, (one, meant) in _FIXED.items() if one == field and meant in there]
