"""The page that links all weeks' reports and the calendars, made from whatever the folder holds."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass
from html.parser import HTMLParser
from pathlib import Path

from season_engine.documents.calendar_feed import FEED, WINDOWS
from season_engine.facts import Text
from season_engine.files.whole import write_whole
from season_engine.locale import ENGLISH
from season_engine.pages.page import page_template
from season_engine.words import prose, timing
from season_engine.words.speech import said, speaking

INDEX = "index.html"
WEEK_FOLDER = re.compile(r"(?P<year>\d{4,6})-W(?P<week>\d\d)")
_CALENDARS = {
    FEED: Text("Days to act on: openings, last calls, buds to look at, follow-ups, cover"),
    WINDOWS: Text("The windows, each on all of its days"),
}
_HEAD_BYTES = 8192  # the lines read here stand at a page's beginning


@dataclass(frozen=True, slots=True)
class WeekLine:
    """One week's report as it is listed."""

    folder: str
    date: str  # empty where the page doesn't say
    text: str
    invented: bool = False  # all of its weather
    month: str = ""  # by which weeks are put together, as 2026-08; empty where the page doesn't say its day
    month_words: str = ""


def write_index(out: Path, language: str = ENGLISH) -> None:
    """Write `out`/index.html whole; raises OSError where that fails."""
    with speaking(language):
        told = {name: said(text) for name, text in _CALENDARS.items() if (out / name).is_file()}
        write_whole(out / INDEX, page_template(INDEX).render(weeks=weeks_in(out), calendars=told))


def weeks_in(out: Path) -> list[WeekLine]:
    """The week folders that hold a page, the newest first; anything else is passed over.

    Weeks of invented weather were for trying things out: once there is one on real weather they are left out.
    """
    weeks = [
        WeekLine(
            folder.name,
            head.date,
            prose.plain(head.said.get("description", "")),
            invented=head.said.get("weather") == "invented",
            month=f"{head.day:%Y-%m}" if head.day else "",
            month_words=timing.month_and_year(head.day) if head.day else "",
        )
        for folder in week_folders(out)
        if (head := _head(folder / "report.html")) is not None
    ]
    real = any(week.date and not week.invented for week in weeks)
    return [week for week in weeks if not (real and week.invented)]


def _head(page: Path) -> _Head | None:
    """What a page says of itself; None where it can't be read."""
    if not page.is_file():  # a pipe would be waited for
        return None
    head = _Head()
    try:
        with page.open("rb") as file:
            head.feed(file.read(_HEAD_BYTES).decode("utf-8", errors="replace"))
    except OSError:
        return None
    except AssertionError:  # what the parser makes of some broken declarations
        pass
    return head


def week_folders(out: Path) -> list[Path]:
    """Folders named for a week, the newest first."""
    named = [(match, path) for path in out.iterdir() if (match := WEEK_FOLDER.fullmatch(path.name))]
    return [path for _, path in sorted(named, key=lambda pair: _week(pair[0]), reverse=True)]


def _week(match: re.Match[str]) -> tuple[int, int]:
    return int(match["year"]), int(match["week"])


class _Head(HTMLParser):
    """What the beginning of a page says of itself, by name."""

    def __init__(self) -> None:
        super().__init__()
        self.said: dict[str, str] = {}

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Keep a named line."""
        values = dict(attrs)
        if tag == "meta" and values.get("name"):
            self.said.setdefault(values["name"] or "", values.get("content") or "")

    @property
    def day(self) -> dt.date | None:
        """The day of the report; None where the page doesn't say."""
        try:
            return dt.date.fromisoformat(self.said.get("date", ""))
        except ValueError:
            return None

    @property
    def date(self) -> str:
        """The same in words; empty where the page doesn't say."""
        return timing.full_day(self.day) if self.day else ""
