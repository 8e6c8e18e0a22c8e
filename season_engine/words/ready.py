"""Whether all is in place for the next report, a line a thing; as all that is said of files, in English."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from season_engine.errors import GrowerError
from season_engine.words.prose import counted, listing
from season_engine.words.timing import full_day

Subject = Literal[
    "workspace", "catalogue", "weather", "forecast", "folders", "mail", "outbox", "timer", "clock"
]
State = Literal["fine", "look", "wrong"]


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that was looked at. `look` is worth a look, and keeps nothing from working."""

    subject: Subject
    state: State
    text: str
    mend: str = ""  # what to do about it
    line: str = ""  # to write somewhere, as it stands
    site: str | None = None
    exit_code: int = 0  # where it is wrong


def wrong(subject: Subject, error: GrowerError, site: str | None = None) -> list[Finding]:
    """A grower's error as a thing to mend, each of several by itself."""
    several: Sequence[GrowerError] = getattr(error, "errors", ()) or (error,)
    told = (str(one).removeprefix(f"{site}: ") for one in several)  # it stands before the line
    return [Finding(subject, "wrong", one, site=site, exit_code=error.exit_code) for one in told]


def headline(findings: Iterable[Finding], monday: dt.date) -> str:
    """The answer in a line."""
    count = sum(one.state == "wrong" for one in findings)
    if not count:
        return f"All is in place for the report of {full_day(monday)}."
    return f"Before the report of {full_day(monday)}: {counted(count, 'thing')} to mend."


def files_read(folder: str, *, sites: int, trees: int, notes: int) -> str:
    """What a workspace holds."""
    held = listing(
        [counted(sites, "site"), counted(trees, "tree"), counted(notes, "line") + " in the journal"]
    )
    return f"{folder} holds {held}, all read without a fault."


def species_known(count: int, own: Sequence[str]) -> str:
    """How many species there are, and whose files have a say in them."""
    files = f", with your own {listing(own)}" if own else ", without a file of your own"
    return f"{counted(count, 'species', 'species')}{files}."


def strangers(names: Sequence[str]) -> str:
    """Trees that no report can cover."""
    return f"The catalogue has no {listing(names)}: nothing is said of {'such trees' if names[1:] else 'it'}."


def readings(last: dt.date, age_days: int, missing: int, of_days: int) -> str:
    """How fresh a site's temperatures are, and what is missing lately."""
    old = {0: "of today", 1: "of yesterday"}.get(age_days, f"{counted(age_days, 'day')} old")
    gaps = (
        f"{counted(missing, 'day')} of the last {of_days} missing"
        if missing
        else f"none of the last {of_days} days missing"
    )
    return f"The last reading is of {full_day(last)}, {old}; {gaps}."


def room(names: Sequence[str], free_bytes: int) -> str:
    """That folders can be written."""
    return f"{listing(names)} can be written, with {free_bytes / 1e9:.1f} GB free."


def readers(addresses: Sequence[str]) -> str:
    """Who gets the report."""
    return f"It goes to {listing(addresses)}."
