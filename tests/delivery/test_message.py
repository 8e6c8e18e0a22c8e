"""The mail as it arrives, taken apart by Python's own parser."""

from __future__ import annotations

import datetime as dt
import re
import struct
from dataclasses import replace
from email.message import EmailMessage
from html import unescape
from pathlib import Path

import html5lib
import pytest
import resvg_py

from season_engine.delivery import pictures
from season_engine.delivery.message import compose, message_id, report_for
from season_engine.prints.mail import mail_text
from season_engine.report.contents import Report, SiteReport
from season_engine.words.headline import headline
from season_engine.words.report import report_sections
from season_engine.words.work_list import in_brief
from tests.delivery.server import Mailbox
from tests.delivery.yard import MONDAY, READER, SECOND_SITE, SENDER, WEEK, Yard

NOW = dt.datetime(2022, 4, 11, 6, 17, tzinfo=dt.UTC)
PNG_HEAD = b"\x89PNG\r\n\x1a\n"  # Portable Network Graphics specification, 5.2 (from memory)
REMOTE = re.compile(r"(?i)https?:|//|url\(|@import|var\(|<link|<script|<svg|data:|srcset|background=")


def html_of(message: EmailMessage) -> str:
    body = message.get_body(("html",))
    assert isinstance(body, EmailMessage)
    content = body.get_content()
    assert isinstance(content, str)
    return content


def pictures_of(message: EmailMessage) -> dict[str, bytes]:
    parts = [part for part in message.walk() if part.get_content_maintype() == "image"]
    assert {part.get_content_type() for part in parts} <= {"image/png"}
    return {part["Content-ID"].strip("<>"): part.get_content() for part in parts}


def size(png: bytes) -> tuple[int, int]:
    assert png.startswith(PNG_HEAD)
    width, height = struct.unpack(">II", png[16:24])
    return width, height


def a_message(site: SiteReport, *, to: str = READER, again: int = 0) -> EmailMessage:
    return compose(Report(MONDAY, False, (site,)), sender=SENDER, to=to, again=again, now=NOW)


def test_what_arrives_is_the_report_part_by_part(
    yard: Yard, mailbox: Mailbox, site_report: SiteReport
) -> None:
    assert yard.run().exit_code == 0
    (message,) = mailbox.messages()
    assert [part.get_content_type() for part in message.walk()][:4] == [
        "multipart/alternative",
        "text/plain",
        "multipart/related",
        "text/html",
    ]
    plain = message.get_body(("plain",))
    assert isinstance(plain, EmailMessage)
    told = plain.get_content().replace("\r\n", "\n")
    report = Report(MONDAY, False, (site_report,))
    assert told == mail_text(report)
    assert "Work first" in told and "Rust (Japanese maple)" in told
    assert all(len(line) <= 80 for line in told.splitlines())

    html, held = html_of(message), pictures_of(message)
    assert REMOTE.findall(html.replace("<!DOCTYPE", "")) == []
    assert re.findall(r'src="(.*?)"', html) == [f"cid:{name}" for name in held]
    assert len(held) == 1, "the trees' year; all else is told in words"
    for picture in held.values():
        assert size(picture)[0] == pictures.WIDTH_PX
    alts = [unescape(alt) for alt in re.findall(r'<img [^>]*alt="(.*?)"', html)]
    assert alts == ["Drawing: The year ahead, tree by tree; in words on the page"]
    assert "<style" not in html and 'style="' in html
    html5lib.HTMLParser(strict=True).parse(html)
    assert len(html.encode()) < 100_000, "longer mails are cut off by some programs"
    first = report_sections(report).sites[0].first
    advice = [*first.harm_in_a_mail, *in_brief(first.work), *(line.text for line in first.look), first.idle]
    for text in (headline(report), *advice):
        assert text in " ".join(told.split())
        assert text in unescape(html)
    page = " ".join((yard.folder / "reports" / WEEK / "report.txt").read_text("utf-8").split())
    full = [line.text for line in (*first.work, *first.look)] + [first.idle, first.answer, *first.moved]
    assert any(full) and all(text in page for text in full), "what the mail leaves out stands there"


def test_the_headers_say_who_when_and_that_a_machine_wrote_it(site_report: SiteReport) -> None:
    message = a_message(site_report)
    assert message["Date"].datetime == NOW
    assert message["Auto-Submitted"] == "auto-generated"
    assert message["Subject"] == headline(Report(MONDAY, False, (site_report,)))
    assert re.fullmatch(r"<2022-W15\.[0-9a-f]{24}@example\.org>", message["Message-ID"])


def test_the_same_week_reader_and_sites_have_the_same_message_id(site_report: SiteReport) -> None:
    report = Report(MONDAY, False, (site_report,))
    later = Report(MONDAY + dt.timedelta(days=6), False, (site_report,))
    next_week = Report(MONDAY + dt.timedelta(days=7), False, (site_report,))
    first = message_id(report, sender=SENDER, to=READER, again=0)
    assert message_id(later, sender=SENDER, to=READER.upper(), again=0) == first
    others = {
        message_id(next_week, sender=SENDER, to=READER, again=0),
        message_id(report, sender=SENDER, to=READER, again=1),
        message_id(report, sender=SENDER, to="x" + READER, again=0),
        message_id(Report(MONDAY, False, (site_report, site_report)), sender=SENDER, to=READER, again=0),
    }
    assert len(others | {first}) == 5


def test_every_line_is_fit_for_old_servers(site_report: SiteReport) -> None:
    """RFC 5321, 4.5.3.1.6 (from memory): at most 998 bytes a line. And all ASCII, so no 8BITMIME."""
    content = a_message(site_report).as_bytes()
    assert content.isascii()
    assert max(map(len, content.split(b"\r\n"))) <= 998
    assert content.count(b"\n") == content.count(b"\r\n")


def test_names_are_text_and_never_mark_up_or_headers(site_report: SiteReport) -> None:
    odd = replace(site_report.site, name='<img src="http://x">\r\nBcc: a@b')
    message = a_message(replace(site_report, site=odd))
    assert "\n" not in message["Subject"] and message["Bcc"] is None
    assert "&lt;img" in html_of(message) and '<img src="http' not in html_of(message)


def test_a_refusal_is_told_inside(site_report: SiteReport) -> None:
    refused = SiteReport(site_report.site, None, refusal="ridge: the last reading is 90 days old.")
    message = a_message(refused)
    plain = message.get_body(("plain",))
    assert isinstance(plain, EmailMessage)
    assert "90 days old" in plain.get_content() and "90 days old" in html_of(message)
    assert pictures_of(message) == {}


def test_a_reader_of_some_sites_gets_those(yard_with, mailbox: Mailbox) -> None:
    other = "helper@example.org"
    more = f'[[email.recipient]]\nto = "{other}"\nsites = ["Kagoshima"]\n'
    yard = yard_with(sites=SECOND_SITE, more=more)
    assert yard.run().exit_code == 0
    (whole,), (part,) = mailbox.messages(READER), mailbox.messages(other)
    assert re.fullmatch("Nagano: .+[.] Kagoshima: .+[.]", whole["Subject"])
    for told in (part.get_body(("plain",)).get_content(), html_of(part)):
        assert "kagoshima, Mon 11 Apr 2022" in told, "of two yards, it says which"
        assert "nagano" not in (told + part["Subject"]).casefold()
    assert len(pictures_of(whole)) == 2 * len(pictures_of(part))


def test_all_sites_where_none_is_named(site_report: SiteReport) -> None:
    report = Report(MONDAY, False, (site_report,))
    assert report_for(report, None) is report
    assert report_for(report, ("NAGANO",)).sites == (site_report,)
    assert report_for(report, ("elsewhere",)).sites == ()


DRAWING = '<svg viewBox="0 0 360 92"><line class="axis" x1="6" x2="354" y1="40" y2="40"/>%s</svg>'
TEXT = '<text x="180" y="78" text-anchor="middle">week 16</text>'


def test_the_words_of_a_drawing_are_there_to_see() -> None:
    """Without a font they would vanish in silence, as the last line shows."""
    with_text, without = pictures.png(DRAWING % TEXT), pictures.png(DRAWING % "")
    assert size(with_text) == size(without) == (720, 184)
    assert with_text != without
    svg = (DRAWING % TEXT).replace("<svg ", f'<svg xmlns="{pictures.SVG}" ')
    no_font = resvg_py.svg_to_bytes(
        svg_string=svg,
        style_sheet=pictures.style(),
        background=pictures.colours()["paper"],
        width=pictures.WIDTH_PX,
        skip_system_fonts=True,
    )
    assert no_font == without


def test_the_reports_own_drawings_hold_words_and_hatching(
    site_report: SiteReport, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each drawing of a real report changes when its words, or its style, are taken away."""
    drawn = pictures_of(a_message(site_report))
    real = pictures.png
    for pattern in (r"<text.*?</text>", r"<pattern.*?</pattern>"):
        monkeypatch.setattr(pictures, "png", lambda svg, p=pattern: real(re.sub(p, "", svg, flags=re.DOTALL)))
        bare = pictures_of(a_message(site_report))
        changed = [name for name in drawn if bare[name] != drawn[name]]
        assert changed == list(drawn) if "text" in pattern else changed


def test_the_font_comes_with_its_licence() -> None:
    folder = Path(pictures.__file__).parent / "fonts"
    assert "Permission is hereby granted" in (folder / "LICENSE.txt").read_text("utf-8")
    assert (folder / "DejaVuSans.ttf").stat().st_size > 500_000
