"""The page that links the weeks: valid, in order, and made from whatever lies in the folder."""

from __future__ import annotations

import os
from dataclasses import replace

import html5lib
import pytest

from season_engine.advice.first_screen import FirstScreen
from season_engine.delivery.folder import write_report
from season_engine.pages.index_page import weeks_in, write_index
from season_engine.report.contents import SiteReport
from season_engine.words.headline import headline
from tests.factories import AS_OF, RIDGE, a_report, a_site_report, an_assessment, days, some_weather


def links(page: str) -> list[tuple[str, str]]:
    tree = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(page)
    return [(a.get("href"), "".join(a.itertext())) for a in tree.iter("a")]


def test_weeks_are_linked_the_newest_first_across_years(tmp_path):
    for as_of in (AS_OF, AS_OF.replace(year=2027, month=1, day=1), AS_OF.replace(year=2025)):
        write_report(a_report(as_of=as_of), tmp_path)
    page = (tmp_path / "index.html").read_text("utf-8")
    calendars = ["season-calendar.ics", "season-windows.ics"]
    weeks = [f"{week}/report.html" for week in ("2026-W53", "2026-W33", "2025-W33")]
    assert [href for href, _ in links(page)] == [*weeks, *calendars]
    assert all((tmp_path / href).is_file() for href, _ in links(page))
    assert [name for _, name in links(page)][:2] == ["Fri 1 Jan 2027", "Tue 11 Aug 2026"]
    months = [page.index(month) for month in ("January 2027", "August 2026", "August 2025")]
    assert months == sorted(months), "weeks stand under their month"
    assert "://" not in page and "<script" not in page, "it needs nothing else"


def test_a_week_is_told_by_its_headline(tmp_path):
    write_report(a_report(), tmp_path)
    (week,) = weeks_in(tmp_path)
    assert week.date == "Tue 11 Aug 2026"
    assert week.text == headline(a_report())
    assert week.text == "Cover P2 by Wed 12 Aug; repot Lantern by Tue 1 Sep; one bud to look at"


def test_invented_weather_a_refusal_and_nothing_to_do_are_said():
    refused = SiteReport(RIDGE, None, refusal="no readings")
    quiet = a_site_report(
        windows=(), trees=(), look_at=(), first=FirstScreen(), weather=some_weather(invented=True)
    )
    assert headline(a_report(sites=(refused, quiet))) == (
        "Ridge: the weather is too poor to say. Ridge (invented weather): nothing is due this week."
    )


def test_a_last_call_stands_in_the_headline_though_nothing_is_due():
    call = an_assessment(tree="M1", verdict="last-call", today="do")
    told = {"windows": (), "look_at": (), "first": FirstScreen()}
    assert headline(a_report(sites=(a_site_report(trees=(call,), **told),))) == (
        "Nothing is due; last call: repot Lantern by Tue 1 Sep"
    )
    held = an_assessment(tree="M1", verdict="last-call", today="hold")
    assert headline(a_report(sites=(a_site_report(trees=(held,), **told),))) == "Nothing is due this week"


def test_weeks_of_invented_weather_leave_once_there_is_a_real_one(tmp_path):
    tried = a_site_report(weather=some_weather(invented=True))
    write_report(a_report(as_of=AS_OF - days(14), sites=(tried,)), tmp_path)
    assert [week.folder for week in weeks_in(tmp_path)] == ["2026-W31"]
    assert "(invented weather)" in (tmp_path / "index.html").read_text("utf-8")
    (tmp_path / "2026-W30").mkdir()
    (tmp_path / "2026-W30" / "report.html").write_text("not one of ours")
    write_report(a_report(as_of=AS_OF - days(7), sites=(tried, tried)), tmp_path)
    assert [week.folder for week in weeks_in(tmp_path)] == ["2026-W32", "2026-W31", "2026-W30"]
    write_report(a_report(sites=(a_site_report(), tried)), tmp_path)  # one of its yards is real
    assert [week.folder for week in weeks_in(tmp_path)] == ["2026-W33", "2026-W30"]
    assert (tmp_path / "2026-W31" / "report.html").is_file(), "nothing is deleted"


@pytest.mark.parametrize(
    "content", [b"", b"\xff\x00", b"<![x]><!x", b"<meta name=date content=x>", b"<" * 9999]
)
def test_a_strange_page_is_linked_without_a_word_on_it(tmp_path, content):
    (tmp_path / "2026-W10").mkdir()
    (tmp_path / "2026-W10" / "report.html").write_bytes(content)
    write_index(tmp_path)
    assert links((tmp_path / "index.html").read_text("utf-8")) == [("2026-W10/report.html", "2026-W10")]


def test_whatever_else_lies_there_is_passed_over(tmp_path):
    (tmp_path / "2026-W01").write_text("a file")
    (tmp_path / "2026-W02").mkdir()
    (tmp_path / "2026-W03").symlink_to(tmp_path / "gone")
    (tmp_path / "2026-W04").mkdir()
    os.mkfifo(tmp_path / "2026-W04" / "report.html")
    (tmp_path / "2026-W5 <script>").mkdir()
    (tmp_path / "notes").mkdir()
    write_index(tmp_path)
    page = (tmp_path / "index.html").read_text("utf-8")
    assert links(page) == []
    assert "No report has been written here yet." in page


def test_a_name_in_a_page_never_becomes_markup(tmp_path):
    hostile = '"><script>alert(1)</script>'
    site = a_site_report()
    names = {**site.tree_names, "M1": hostile}
    write_report(a_report(sites=(replace(site, tree_names=names),)), tmp_path)
    page = (tmp_path / "index.html").read_text("utf-8")
    assert "<script" not in page
    assert "alert(1)" in weeks_in(tmp_path)[0].text


def test_the_same_folder_gives_the_same_page_and_older_weeks_stay(tmp_path):
    write_report(a_report(as_of=AS_OF - days(7)), tmp_path)
    write_report(a_report(), tmp_path)
    first = (tmp_path / "index.html").read_bytes()
    write_index(tmp_path)
    assert (tmp_path / "index.html").read_bytes() == first
    assert len(weeks_in(tmp_path)) == 2
