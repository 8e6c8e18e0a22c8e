"""The week's small care: changes in words, the rest in one line."""

from __future__ import annotations

import datetime as dt

from season_engine.windows.care import Care
from season_engine.words.care import care_lines

ON = dt.date(2026, 4, 1)


def care(job: str, opens: int | None, closes: int | None, verdict="open", name="larch") -> Care:
    dates = [None if days is None else ON + dt.timedelta(days) for days in (opens, closes)]
    return Care("Larix decidua", name, job, "spring", verdict, *dates)


def test_what_starts_and_stops_is_told_with_its_day() -> None:
    lines = care_lines(
        [
            care("feeding", 3, 90, "soon"),
            care("feeding", 3, 90, "soon", "elm"),
            care("wiring", -90, 8, "last-call"),
        ],
        ON,
    )
    assert lines == (
        ("Feeding", "Starts about 4 Apr on larch and elm."),
        ("Wiring", "Stops about 9 Apr on larch."),
    )


def test_what_goes_on_is_one_line_and_what_rests_is_none() -> None:
    lines = care_lines(
        [
            care("shade", -30, 60),
            care("wire-check", -30, 60),
            care("wire-check", -31, 60, name="elm"),
            care("feeding", 40, 90, "wait"),
            care("cuttings", -90, -20, "closed"),
            care("winter-shelter", None, None, "not-here"),
        ],
        ON,
    )
    assert lines == (("Going on", "Shade and wire check."),)


def test_nothing_to_say() -> None:
    assert care_lines([], ON) == ()
