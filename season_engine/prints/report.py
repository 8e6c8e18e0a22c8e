"""The report as plain text, 80 columns wide and fit to be read aloud."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from season_engine.prints.layout import bullets, wrapped
from season_engine.report.contents import Report
from season_engine.words import notices
from season_engine.words.criteria import closes_once, opens_once
from season_engine.words.line import Line
from season_engine.words.report import SiteSections, report_sections
from season_engine.words.speech import said, say, speaking
from season_engine.words.window_card import Card
from season_engine.words.work_list import WorkLine


def report_text(report: Report) -> str:
    """The whole report: first every yard's first screen, then each in full; units are explained once."""
    with speaking(report.language, report.units):
        return _text(report)


def _text(report: Report) -> str:
    sections = report_sections(report)
    explained: set[str] = set()
    lines = [*wrapped(sections.headline, ""), "", sections.date]
    if sections.notice:
        lines += ["", *wrapped(sections.notice)]
    for site in sections.sites:
        lines += ["", "", *wrapped(site.name, ""), *_first(site, told=bool(sections.notice))]
    lines += _section(say("Side by side"), _lines(sections.side_by_side))
    for site in sections.sites:
        lines += ["", "", *wrapped(say("{site} in full", site=site.name), ""), *_full(site, explained)]
    lines += ["", ""]
    lines += _section(say("What daily temperatures can't see"), wrapped(said(notices.UNSEEN)))
    lines += _section(say("Work safely"), _lines(sections.cautions))
    lines += _section(say("Sources"), bullets(sections.sources))
    return "\n".join(line.rstrip() for line in lines).replace("\n\n\n\n", "\n\n\n") + "\n"


def _first(site: SiteSections, *, told: bool) -> Iterator[str]:
    first = site.first
    if site.invented and not told:
        yield from wrapped(said(notices.INVENTED))
    if site.refusal:
        yield from _section(say("Nothing can be said this week"), wrapped(site.refusal))
        return
    yield from wrapped(first.season)
    yield from _section(say("Protect"), bullets(first.harm))
    yield from _section(say("Work first"), [*_work(first.work), *wrapped(first.idle)])
    yield from _section(say("Due, but wait"), _work(first.waits))
    if first.weak:
        yield from ("", *wrapped(first.weak))
    yield from _section(say("See whether"), [*_lines(first.look), *wrapped(first.answer)])
    yield from _section(say("Moved"), bullets(first.moved))


def _full(site: SiteSections, explained: set[str]) -> Iterator[str]:
    for text in (site.place, *site.weather):
        yield from wrapped(text)
    if not site.refusal:
        yield from _advice(site, explained)
    yield from _section(say("Data"), wrapped(" ".join(site.health)))
    yield from _section(say("Own record"), wrapped(site.record))
    yield from _section(say("Notes"), bullets(site.notes))


def _advice(site: SiteSections, explained: set[str]) -> Iterator[str]:
    yield from _section(say("Now or later"), _cards(site.chosen, explained))
    yield from _section(say("What a look is worth"), _lines(site.looks))
    yield from _section(say("Closing"), _lines(site.closing))
    yield from _section(say("In window now"), _lines(site.now))
    yield from _section(say("Opening soon"), _lines(site.soon))
    yield from _section(say("Closed lately"), _lines(site.closed))
    yield from _section(say("The rest"), wrapped(site.resting))
    yield from _section(say("Not at this place"), wrapped(site.not_here if site.new_season else ""))
    yield from _section(say("Your trees"), [*_lines(site.trees), *wrapped(site.resting_trees)])
    yield from _section(say("Looking after what was done"), _lines(site.follow_ups))
    yield from _section(say("To be answered"), _lines(site.questions))
    yield from _section(say("Care this week"), _lines(site.care))
    mild = wrapped(site.mild) if site.hazards or site.frost_text else []
    yield from _section(
        say("Weather that could hurt"), [*wrapped(site.frost_text), *_lines(site.hazards), *mild]
    )
    yield from _section(say("Water"), wrapped(site.water))
    sums = [Line(s.name, f"{s.text} {_first_time(s.explained, explained)}") for s in site.sums]
    yield from _section(say("The season so far"), _lines(sums))
    yield from _section(say("A year ago this week"), bullets(site.year_ago))


def _first_time(text: str, said: set[str]) -> str:
    if text in said:
        return ""
    said.add(text)
    return text


def _section(heading: str, body: Sequence[str]) -> Iterator[str]:
    """A heading and its lines; nothing at all where there are none."""
    if body:
        yield from ("", heading, *body)


def _cards(cards: Iterable[Card], explained: set[str]) -> list[str]:
    lines: list[str] = []
    for card in cards:
        said = (
            f"{card.title}.",
            card.weighing,
            card.past_errors,
            card.sentence,
            *card.notes,
            *card.warnings,
        )
        lines += bullets([" ".join(text for text in said if text)])
        lines += wrapped(opens_once(card.opens), "    ")
        lines += wrapped(closes_once(card.closes), "    ")
        rests_on = say("Rests on: {sources}.", sources=card.rests_on) if card.rests_on else ""
        lines += wrapped(rests_on, "    ")
        lines += wrapped(_first_time(card.explained, explained), "    ")
    return lines


def _work(lines: Iterable[WorkLine]) -> list[str]:
    return bullets(f"{line.lead}. {line.told}" for line in lines)


def _lines(lines: Iterable[Line]) -> list[str]:
    return bullets(f"{line.lead}. {line.text}".strip() for line in lines)
