"""The alphabet a logger's file is written in, settled by what makes sense when it is read so."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from functools import cache, partial

from season_engine.errors import GrowerError
from season_engine.weather.logger.vocabulary import words

_SAVE_AS = 'Save it again as "CSV UTF-8".'
_BINARY = re.compile(rb"[\x00-\x08\x0e-\x19\x1c-\x1f]")
_HOLES = re.compile(
    rb"(?:(?<=\n)|(?<=\r))\x00+(?=[\r\n]|\Z)|\x00+\Z"
)  # whole lines, which a power cut leaves
_END_MARK = b"\x1a"  # old programs end a file with it
_OLD = (
    "cp1252",
    "cp932",
    "cp1250",
    "mac_roman",
    "cp1251",
    "gb18030",
    "cp949",
    "big5",
    "cp1253",
    "cp1254",
    "cp1257",
)
_MOST_LINES = 300  # with odd letters, that are looked at
_DEGREE = re.compile(r"[°˚](?:\s?[CFK]\b)|℃|℉")
_USUAL_SIGNS = (
    "°º²³µ…℃℉、。・\N{EN DASH}—\N{LEFT SINGLE QUOTATION MARK}\N{RIGHT SINGLE QUOTATION MARK}“”\N{MINUS SIGN}"
    "\uff05\uff08\uff09\uff3b\uff3d\uff1a\u301c\uff5e\u3000\xa0"  # as wide as a letter of Japanese
)
_LETTER_KINDS = ("Lu", "Ll", "Lt", "Lo", "Lm")


def alphabet_of(content: bytes, file: str) -> tuple[str, Callable[[], str]]:
    """The alphabet of a file, and what decodes it; raises GrowerError for what is no text."""
    content = content.rstrip(_END_MARK + b"\x00") if content.endswith(_END_MARK) else content
    if not content.strip():
        raise GrowerError("this file is empty.", hint="It needs a header and a line a day.", file=file)
    if wide := _wide(content):
        _check_whole(content, wide, file)
        return "UTF-16", lambda: content.decode(wide, "ignore").removeprefix("\ufeff")
    content = _HOLES.sub(b"", content) if b"\x00" in content else content
    if binary := _BINARY.search(content):
        line = content.count(b"\n", 0, binary.start()) + 1
        raise GrowerError("this is not a text file.", hint=_SAVE_AS, file=file, line=line)
    try:
        content.decode("utf-8-sig")
        if b"\xef\xbb\xbf" in content[3:]:  # files put one behind another
            return "UTF-8", lambda: content.decode("utf-8").replace("\ufeff", "")
        return "UTF-8", partial(content.decode, "utf-8-sig")
    except UnicodeDecodeError as error:
        first_odd = content.count(b"\n", 0, error.start) + 1
    for alphabet in _by_sense(content):
        try:
            content.decode(alphabet)
            return alphabet, partial(content.decode, alphabet)
        except UnicodeDecodeError:
            continue
    raise _unreadable(file, first_odd)


def _wide(content: bytes) -> str | None:
    """UTF-16 by its mark, or by its every other byte being nought."""
    if content[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return "utf-16"
    start = content[:400]
    if len(start) < 8 or len(content) % 2:
        return None
    low, high = start[1::2].count(0), start[0::2].count(0)
    if low > 0.8 * len(start) / 2 and not high:
        return "utf-16-le"
    return "utf-16-be" if high > 0.8 * len(start) / 2 and not low else None


def _check_whole(content: bytes, alphabet: str, file: str) -> None:
    try:
        content.decode(alphabet)
    except UnicodeDecodeError as error:
        before = content[: error.start].decode(alphabet, "replace")
        if error.start < len(content) - 3:  # else it is cut short in the middle of a letter
            raise _unreadable(file, before.count("\n") + 1) from None


def _unreadable(file: str, line: int) -> GrowerError:
    problem = "a character on this line can't be read, in UTF-8 or in any alphabet I know."
    return GrowerError(problem, hint=_SAVE_AS, file=file, line=line)


def _by_sense(content: bytes) -> list[str]:
    """Alphabets, the one first in which the lines with odd letters say most that is known."""
    lines = [line for line in re.split(rb"[\r\n]+", content) if not line.isascii()]
    sample = b"\n".join(dict.fromkeys(lines[: _MOST_LINES * 10]).keys())[:60_000]
    scored = []
    for place, alphabet in enumerate(_OLD):
        try:
            text = sample.decode(alphabet, "strict" if len(sample) < 60_000 else "ignore")
        except UnicodeDecodeError:
            continue
        scored.append((-_sense(text), place, alphabet))
    return [alphabet for _, _, alphabet in sorted(scored)]


def _sense(text: str) -> float:
    """Known words and degree signs speak for a reading of odd letters, what no one writes against it."""
    known = _known_words()
    score = 0.0
    for word in set(re.findall(r"[^\W\d_]+", text)):
        if not word.isascii():
            score += 6 if word.casefold() in known else 0
    score += 4 * min(5, len(_DEGREE.findall(text)))
    odd = [letter for letter in set(text) if not letter.isascii()]
    for letter in odd:
        category = unicodedata.category(letter)
        if category in ("Cc", "Co", "Cn") or "HALFWIDTH" in unicodedata.name(letter, ""):
            score -= 8
        elif category not in _LETTER_KINDS and letter not in _USUAL_SIGNS:
            score -= 3
    score -= 2 * len(re.findall(r"[a-z][^\x00-\x7f\W\d](?=[a-z])", "".join(map(_capital_as_mark, text))))
    return score


def _capital_as_mark(letter: str) -> str:
    """Only a capital in the middle of a small word is odd."""
    return letter if letter.isascii() else ("É" if letter.isupper() else " ")


@cache
def _known_words() -> frozenset[str]:
    found: set[str] = set()
    for section in words().values():
        for many in section.values():
            for one in many if isinstance(many, list) else ():
                if isinstance(one, str) and not one.isascii():
                    found |= {word.casefold() for word in re.findall(r"[^\W\d_]+", one)}
    return frozenset(found)
