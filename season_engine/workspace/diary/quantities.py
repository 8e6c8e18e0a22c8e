"""How much, which part, which side and which pot, in the words of a clause."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from season_engine.note import Amount
from season_engine.pot import Pot
from season_engine.workspace.diary.tokens import Token
from season_engine.workspace.diary.tongue import folded_set
from season_engine.workspace.pots import pot_in

# Three tenths of the foliage and more is heavy: common practice, no source.
HEAVY_SHARE = 0.3
CUTS = frozenset({"structural-pruning", "cut-back", "after-bloom-pruning", "trimming"})

_SHARES: Mapping[str, float] = {
    "third": 1 / 3, "half": 1 / 2, "quarter": 1 / 4, "fifth": 1 / 5, "tenth": 1 / 10, "halves": 1 / 2, "quarters": 3 / 4, "thirds": 2 / 3,
    "drittel": 1 / 3, "haelfte": 1 / 2, "halben": 1 / 2, "halbe": 1 / 2, "viertel": 1 / 4, "fuenftel": 1 / 5, "ballendrittel": 1 / 3,
    "ballenhaelfte": 1 / 2, "ballenviertel": 1 / 4,
}  # fmt: skip
_TWO, _THREE = folded_set("two zwei"), folded_set("three drei")
_HOW: Mapping[str, Amount] = {
    **dict.fromkeys(folded_set("heavy heavily hard severe severely drastic drastically brutal brutally ruthlessly hart stark radikal kräftig heftig"), "heavy"),
    **dict.fromkeys(folded_set("light lightly slight slightly gentle gently barely leicht vorsichtig sachte sanft"), "light"),
    **dict.fromkeys(folded_set("moderate moderately mässig mittel"), "medium"),
}  # fmt: skip
CROWN = folded_set(
    "branches branch crown canopy foliage shoots twigs green growth top krone äste zweige laub grün triebe"
)
_MOST: Mapping[str, Amount] = {"most": "heavy", "few": "light", "meisten": "heavy"}
_TIPS = folded_set("tips tip ends spitzen triebspitzen")
_JUST = folded_set("just only nur bloss bit little bisschen")
_DENIED = folded_set(
    "no not isn't wasn't weren't without never nicht kein keine ohne left kept keep remain remains remaining"
)
_NOT_HOW = folded_set(
    "candle candles shoots needles growth leaves pot pots wood lift frost day wind"
)  # "hard shoots"

_SIDES = folded_set(
    """north south east west northern southern eastern western left right front back top bottom inside outside inner outer upper lower rear
    nordseite südseite westseite ostseite links rechts vorn vorne hinten oben unten außen innen rückseite vorderseite spitze"""
)
_SAME_SIDE: Mapping[str, str] = {
    "northern": "north", "southern": "south", "eastern": "east", "western": "west", "nordseite": "north", "suedseite": "south",
    "ostseite": "east", "westseite": "west",
}  # fmt: skip
_SIDE, _HALVES = folded_set("side seite"), folded_set("half third bits part")
_BY = folded_set("by against facing towards toward near next away zur zum an am gegen")
_SHORT = 4  # words of a side by something

_POTS = folded_set("pot box container tray basket pond crate tub schale topf kasten kiste kübel container")
_INTO = folded_set("into in is in")
_POT_STOPS = folded_set("with and now today because so on with mit und for from roots")
_FILL = folded_set("the a an der die das den dem eine einen einem ein is it's")


def share_of(words: Sequence[str]) -> float | None:
    """What part of something a clause speaks of; None where it names none, or more than one."""
    found = []
    for at, word in enumerate(words):
        before = words[at - 1] if at else ""
        number = _fraction(word)
        if number is None and word in _SHARES:
            number = _SHARES[word]
            if word in ("thirds", "quarters", "drittel", "viertel") and (before in _TWO or before in _THREE):
                parts = 3 if word in ("thirds", "drittel") else 4
                number = (2 if before in _TWO else 3) / parts
            if word == "third" and words[at + 1 : at + 2] and words[at + 1] in _SHARES:
                continue  # "the third third"
        if number is not None and 0 < number < 1:
            found.append(number)
    return found[0] if len(set(found)) == 1 else None


def _fraction(word: str) -> float | None:
    if word.endswith("%"):
        text = word[:-1].strip().replace(",", ".")
        return float(text) / 100 if text.replace(".", "", 1).isdecimal() else None
    above, mark, below = word.partition("/")
    if mark and above.isdecimal() and below.isdecimal() and int(below):
        return int(above) / int(below)
    return None


def amount_of(job: str, words: Sequence[str], said: Amount | None, share: float | None) -> Amount | None:
    """How much a job took: by a word for it, by the share of the crown that went, or by what else was said."""
    found = {_HOW[word] for at, word in enumerate(words) if word in _HOW and not _of_something(words, at)}
    if job in CUTS:
        crown = not CROWN.isdisjoint(words)
        if share is not None and (crown or job != "trimming"):
            found.add("heavy" if share >= HEAVY_SHARE else "light")
        found |= {_MOST[word] for word in words if word in _MOST and crown}
    if not _TIPS.isdisjoint(words) and not _JUST.isdisjoint(words):
        found.add("light")
    if not _DENIED.isdisjoint(words):
        return said
    return next((one for one in ("heavy", "medium", "light") if one in found), None) or said


def _of_something(words: Sequence[str], at: int) -> bool:
    near = words[max(0, at - 1) : at + 2]
    return not _NOT_HOW.isdisjoint(near)


def side_of(words: Sequence[str]) -> str:
    """Which side of a tree or its roots, in the grower's words without the article."""
    for at, word in enumerate(words):
        if word in _SIDE:
            behind = words[at + 1 : at + 1 + _SHORT]
            if behind and behind[0] in _BY:
                return " ".join(behind)
    for at, word in enumerate(words):
        if word in _SIDES and _is_place(words, at):
            return _SAME_SIDE.get(word, word)
    return ""


def _is_place(words: Sequence[str], at: int) -> bool:
    """Whether "back", "top" and their like tell a place here, and not the way: "cut back", "topped off"."""
    word = words[at]
    if word not in ("back", "top", "front", "right", "left", "bottom", "unten", "oben"):
        return True
    before = words[at - 1] if at else ""
    after = words[at + 1] if at + 1 < len(words) else ""
    return before in (
        "the",
        "top",
        "at",
        "only",
        "just",
        "nur",
        "on",
        "up",
        "down",
    ) or after in _SIDE | _HALVES | {"only"}


def pot_of(tokens: Sequence[Token]) -> tuple[str, Pot | None]:
    """The new pot in the grower's words, and its size where they give one."""
    words = [token if isinstance(token, str) else "" for token in tokens]
    for at, word in enumerate(words):
        if word in _POTS and at + 1 < len(words) and words[at + 1] in ("is", "ist"):
            return _tidied(words[at + 2 :])
    ends = [at for at, word in enumerate(words) if word in _POTS]
    for end in reversed(ends):
        starts = [at for at in range(max(0, end - 6), end) if words[at] in _INTO]
        if starts:
            return _tidied(words[starts[-1] + 1 : end + 1])
    for at, word in enumerate(words):
        if word == "into":
            return _tidied(words[at + 1 :])
    return "", None


def _tidied(words: Sequence[str]) -> tuple[str, Pot | None]:
    kept = []
    for word in words:
        if word in _POT_STOPS or not word:
            break
        if word not in _FILL:
            kept.append(word)
    text = " ".join(kept)
    return text, pot_in(text)
