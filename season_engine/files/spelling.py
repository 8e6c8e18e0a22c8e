"""Names of trees and species, however they are spelt."""

from __future__ import annotations

import re

Tokens = tuple[str, ...]

_TOKEN = re.compile(r"[^\W_]+(?:'[^\W_]+)*")
_QUOTES = "'\"`\u2018\u2019\u201c\u201d"
# 'Deshojo', or with the curled marks a text program makes of them; at the end, after a name.
_CULTIVAR = re.compile(rf"(?<=\S)\s+(?:cv\.?\s+)?[{_QUOTES}][^{_QUOTES}]+[{_QUOTES}]\s*$")


def tokens_of(text: str) -> Tokens:
    """The words of a text without regard to case, hyphens and punctuation."""
    return tuple(_TOKEN.findall(text.casefold().replace("\N{RIGHT SINGLE QUOTATION MARK}", "'")))


def plain_name(name: str) -> str:
    """A name without differences of case, spaces, hyphens and the sign of a hybrid."""
    spaced = name.replace("_", " ").replace("-", " ").replace("\N{MULTIPLICATION SIGN}", " x ")
    return " ".join(spaced.casefold().split())


def without_cultivar(name: str) -> str:
    """The name without a cultivar's in quotes after it: `Acer palmatum 'Deshojo'` is an Acer palmatum."""
    return _CULTIVAR.sub("", name)
