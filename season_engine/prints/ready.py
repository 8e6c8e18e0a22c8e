"""Whether all is in place, a line a thing: fine, worth a look, or wrong with what mends it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from season_engine.prints.layout import wrapped
from season_engine.words.prose import plain
from season_engine.words.ready import Finding, headline

_INDENT = " " * 7


def ready_text(findings: Sequence[Finding], monday: dt.date) -> str:
    """The answer, then what was looked at in its order."""
    lines = [*wrapped(headline(findings, monday), ""), ""]
    for one in findings:
        lines += _finding(one)
    return "\n".join(lines) + "\n"


def _finding(one: Finding) -> Iterator[str]:
    about = f"{one.subject} of {plain(one.site)}" if one.site else one.subject
    yield from wrapped(f"{about}: {plain(one.text)}", f"{one.state:<{len(_INDENT)}}", _INDENT)
    if one.mend:
        yield from wrapped(one.mend, _INDENT)
    yield from (f"{_INDENT}  {line}" for line in one.line.splitlines())  # to be copied: never wrapped
