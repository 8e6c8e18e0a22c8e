"""The week's report as a mail: plain text, and HTML with its pictures inside."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
from base64 import b64encode
from dataclasses import replace
from email.headerregistry import Address
from email.message import EmailMessage
from email.policy import SMTP
from email.utils import format_datetime
from functools import cache

import css_inline
from jinja2 import Environment, PackageLoader, StrictUndefined, Template

from season_engine.delivery.pictures import Album
from season_engine.pages.pictures.drawings import WORDS
from season_engine.prints.mail import mail_text
from season_engine.report.contents import Report
from season_engine.words import timing
from season_engine.words.headline import headline
from season_engine.words.report import ReportSections, report_sections
from season_engine.words.speech import say, speaking
from season_engine.words.work_list import in_brief, without_hurry


def report_for(report: Report, sites: tuple[str, ...] | None) -> Report:
    """The part of the report about these sites; None means all."""
    if sites is None:
        return report
    names = {name.casefold() for name in sites}
    return replace(report, sites=tuple(one for one in report.sites if one.site.name.casefold() in names))


def compose(report: Report, *, sender: str, to: str, again: int, now: dt.datetime) -> EmailMessage:
    """The mail that goes to one reader."""
    with speaking(report.language, report.units):
        return _composed(report, sender=sender, to=to, again=again, now=now)


def _composed(report: Report, *, sender: str, to: str, again: int, now: dt.datetime) -> EmailMessage:
    message = EmailMessage(policy=SMTP)
    message["From"] = Address(say("Season report"), addr_spec=sender)
    message["To"] = Address(addr_spec=to)
    message["Date"] = format_datetime(now)
    message["Subject"] = subject(report)
    message["Message-ID"] = message_id(report, sender=sender, to=to, again=again)
    message["Auto-Submitted"] = "auto-generated"  # RFC 3834: no out-of-office answers, please
    message.set_content(mail_text(report))
    album = Album()
    sections = report_sections(report)
    page = _template("mail.html").render(report=sections, album=album, preheader=preheader(sections))
    message.add_alternative(_inliner().inline(page), subtype="html")
    html = message.get_payload(1)
    assert isinstance(html, EmailMessage)
    for number, (name, picture) in enumerate(album.pictures.items(), 1):
        html.add_related(
            picture, "image", "png", cid=f"<{name}>", filename=f"drawing-{number}.png", disposition="inline"
        )
    return message


def preheader(sections: ReportSections) -> str:
    """What most mail programs show beside the subject: the HTML part's first words, not seen once open."""
    return sections.headline


def subject(report: Report) -> str:
    """The headline."""
    with speaking(report.language, report.units):
        return headline(report)


def message_id(report: Report, *, sender: str, to: str, again: int) -> str:
    """The same for the same week, reader and sites, so that a mail that comes twice is known by it."""
    sites = [(one.site.name, one.site.latitude, one.site.longitude) for one in report.sites]
    week = timing.iso_week(report.as_of)
    told = json.dumps([week, sender, to.casefold(), sites, again])
    digest = hashlib.sha256(told.encode("utf-8")).hexdigest()[:24]
    return f"<{week}.{digest}@{sender.rpartition('@')[2]}>"


@cache
def _inliner() -> css_inline.CSSInliner:
    return css_inline.CSSInliner(load_remote_stylesheets=False)


def preview(message: EmailMessage, report: Report) -> str:
    """A mail as a page by itself: its HTML part with the pictures inside, its headers over it."""
    body = message.get_body(("html",))
    assert isinstance(body, EmailMessage)
    page = str(body.get_content())
    for part in message.walk():
        if part.get_content_maintype() == "image":
            data = b64encode(part.get_content()).decode("ascii")
            page = page.replace(f"cid:{part['Content-ID'].strip('<>')}", f"data:image/png;base64,{data}")
    with speaking(report.language, report.units):
        shown = preheader(report_sections(report))
        head = _template("preview.html").render(message=message, preheader=shown)
    begin, tag, rest = page.partition("<body")
    attributes, close, rest = rest.partition(">")
    return f"{begin}{tag}{attributes}{close}{head}{rest}"


@cache
def _template(name: str) -> Template:
    environment = Environment(
        loader=PackageLoader("season_engine.delivery"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.globals.update(WORDS, in_brief=in_brief, without_hurry=without_hurry)
    return environment.get_template(name)
