"""Every window of a report as a table, for a spreadsheet."""

from __future__ import annotations

import csv
import datetime as dt
import io

from season_engine.report.contents import Report, SiteReport, name_of_tree
from season_engine.windows.assessment import Assessment
from season_engine.words.prose import plain

COLUMNS = (
    "site", "species", "job", "window", "tree", "tree_name", "season", "verdict", "today",
    "opens_p10", "opens_p50", "opens_p90", "closes_p10", "closes_p50", "closes_p90", "chance_open_now",
    "by", "opens_by", "closes_by", "weather",
)  # fmt: skip
_FORMULA = ("=", "+", "-", "@")


def windows_csv(report: Report) -> str:
    """One row a window of a species (no tree) and one a tree, as UTF-8 text; dates are ISO 8601.

    `by` tells what sets the dates, weather or the calendar, and the last column real weather from invented.
    """
    table = io.StringIO()
    writer = csv.writer(table, lineterminator="\n")
    writer.writerow(COLUMNS)
    for site in report.sites:
        writer.writerows(_row(site, a) for a in (*site.windows, *site.trees))
    return table.getvalue()


def _row(site: SiteReport, a: Assessment) -> tuple[str, ...]:
    dates = (a.opens.p10, a.opens.p50, a.opens.p90, a.closes.p10, a.closes.p50, a.closes.p90)
    names = (a.site, a.species, a.job, a.window, a.tree or "", name_of_tree(site, a.tree) if a.tree else "")
    return (
        *(_as_text(name) for name in names),
        a.season,
        a.verdict,
        a.today,
        *(_day(date) for date in dates),
        f"{a.chance_open_now:.3f}",
        *(a.by, a.opens.by, a.closes.by),
        "invented" if site.invented else "real",
    )


def _day(date: dt.date | None) -> str:
    return "" if date is None else date.isoformat()


def _as_text(name: str) -> str:
    """One line that no spreadsheet takes for a formula."""
    name = plain(name)
    return f"'{name}" if name.startswith(_FORMULA) else name
