"""Reading the grower's text files, and guessing what a misspelt word was meant to be."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from season_engine.errors import GrowerError
from season_engine.files.packed import Readable, unpacked

# Below this share of like letters (0..100) a guess confuses more than it helps; our judgement.
LEAST_LIKENESS = 60
LONGEST_SHOWN = 40  # characters of a typed value repeated in a message


def read_content(path: Readable) -> bytes:
    """Bytes of a file; raises GrowerError where it can't be opened."""
    try:
        return path.read_bytes() if isinstance(path, Path) else unpacked(path)
    except FileNotFoundError:
        raise GrowerError("This file does not exist.", file=path) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise GrowerError(f"This file can't be read: {reason}.", file=path) from None


def read_text(path: Readable) -> str:
    """Text of a UTF-8 file, with or without a byte order mark.

    Raises GrowerError where the file can't be opened or isn't UTF-8.
    """
    return decoded(read_content(path), path)


def decoded(data: bytes, path: Readable) -> str:
    """UTF-8 text, with or without a byte order mark; raises GrowerError where it isn't."""
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise GrowerError(
            "This file is not UTF-8 text.",
            hint='Save it again as "UTF-8" or "CSV UTF-8".',
            file=path,
            line=data.count(b"\n", 0, error.start) + 1,
        ) from None


def closest(word: str, known: Iterable[str]) -> str | None:
    """The known word closest to `word`, where one is close."""
    from rapidfuzz import fuzz, process  # only a mistake needs it

    best = process.extractOne(
        word, list(known), scorer=fuzz.ratio, processor=str.casefold, score_cutoff=LEAST_LIKENESS
    )
    return best[0] if best else None


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """A sentence offering the known word closest to `word`, or nothing where none is close."""
    meant = closest(word, known)
    return "" if meant is None else f'Did you mean "{meant}"?'


def shortened(text: str) -> str:
    """Typed text made fit for a message: one line, not too long, nothing a terminal would obey."""
    line = "".join(letter if letter.isprintable() else "?" for letter in " ".join(text.split()))
    return line if len(line) <= LONGEST_SHOWN else line[:LONGEST_SHOWN] + "..."


def listed(words: Iterable[str], last: str = "or") -> str:
    """Words in quotes as a list in prose: "a", "b" or "c"."""
    quoted = [f'"{shortened(word)}"' for word in words]
    if len(quoted) < 2:
        return "".join(quoted)
    return f"{', '.join(quoted[:-1])} {last} {quoted[-1]}"
