"""The mail's plain text: the answer, what harms, what to work and look at; all else stands on the page."""

from __future__ import annotations

from collections.abc import Iterator

from season_engine.prints.layout import bullets, wrapped
from season_engine.report.contents import Report
from season_engine.words import notices
from season_engine.words.report import ReportSections, SiteSections, report_sections
from season_engine.words.speech import said, say, speaking
from season_engine.words.work_list import in_brief, without_hurry


def mail_text(report: Report) -> str:
    """What is read in a minute, 80 columns wide."""
    with speaking(report.language, report.units):
        return "\n".join(line.rstrip() for line in _lines(report_sections(report))) + "\n"


def _lines(sections: ReportSections) -> Iterator[str]:
    yield from wrapped(sections.headline, "")
    yield from ("", *wrapped(sections.dateline, ""))
    if sections.notice:
        yield from wrapped(sections.notice, "")
    for site in sections.sites:
        yield from _site(site, told=bool(sections.notice), alone=len(sections.sites) == 1)
    if sections.tells_chances:
        told_by = say("Numbers: chances in 100 that it goes well, now and up to four weeks on.")
        yield from ("", *wrapped(told_by, ""))
    yield ""
    yield from wrapped(say("All else: the week's report.html, in the reports folder."), "")


def _site(site: SiteSections, *, told: bool, alone: bool) -> Iterator[str]:
    parts = [*_parts(site, site.first.idle if alone else site.first.idle_in_a_mail)]
    if not parts:  # nothing is due, says the headline
        return
    if not alone:
        yield from ("", site.name)
    if site.invented and not told:
        yield from wrapped(said(notices.INVENTED), "")
    yield from parts


def _parts(site: SiteSections, idle: str) -> Iterator[str]:
    if site.refusal:
        yield from wrapped(site.refusal, "")
        return
    for heading, lines in (
        (say("Protect"), site.first.harm_in_a_mail),
        (say("Work first"), in_brief(site.first.work, len(site.first.harm_in_a_mail))),
        (say("Any week now"), without_hurry(site.first.work)),
        (say("Due, but wait"), in_brief(site.first.waits)),
        (say("See whether"), [f"{look.lead}. {look.text}" for look in site.first.look]),
    ):
        if lines:
            yield from ("", heading, *bullets(lines))
    if idle:
        yield from ("", *wrapped(idle, ""))
