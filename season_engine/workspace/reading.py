"""Reading the grower's text files, and guessing what a misspelt word was meant to be."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from season_engine.errors import GrowerError

# Below this share of like letters (0..100) a guess confuses more than it helps; our judgement.
LEAST_LIKENESS = 60


def read_text(path: Path, shown: str | None = None) -> str:
    """Text of a UTF-8 file, with or without a byte order mark; `shown` is its name in messages.

    Raises GrowerError where the file can't be opened or isn't UTF-8.
    """
    name = shown or path.name
    try:
        data = path.read_bytes()
    except FileNotFoundError:
        raise GrowerError("this file does not exist.", file=name) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise GrowerError(f"this file can't be read: {reason}.", file=name) from None
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise GrowerError(
            "this file is not UTF-8 text.",
            hint='Save it again as "UTF-8" or "CSV UTF-8".',
            file=name,
            line=data.count(b"\n", 0, error.start) + 1,
        ) from None


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """A sentence offering the known word closest to `word`, or nothing where none is close."""
    from rapidfuzz import fuzz, process  # only a mistake needs it

    best = process.extractOne(
        word, list(known), scorer=fuzz.ratio, processor=str.casefold, score_cutoff=LEAST_LIKENESS
    )
    return f'Did you mean "{best[0]}"?' if best else ""


def listed(words: Iterable[str], last: str = "or") -> str:
    """Words in quotes as a list in prose: "a", "b" or "c"."""
    quoted = [f'"{word}"' for word in words]
    if len(quoted) < 2:
        return "".join(quoted)
    return f"{', '.join(quoted[:-1])} {last} {quoted[-1]}"
