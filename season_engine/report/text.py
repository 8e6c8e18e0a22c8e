"""The report as plain text, 80 columns wide and fit to be read aloud."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator, Sequence

from season_engine.report import phrases
from season_engine.report.cards import Card, Criterion
from season_engine.report.contents import Report
from season_engine.report.lines import Line
from season_engine.report.sections import SiteSections, report_sections

COLUMNS = 80
_KEPT_TOGETHER = "\u00a0°"


def report_text(report: Report) -> str:
    """The whole report: first every yard's first screen, then each in full; units are explained once."""
    sections = report_sections(report)
    explained: set[str] = set()
    lines = [f"Season report for {sections.date}, week {sections.week}"]
    if sections.demo:
        lines += ["", *wrapped(f"Demonstration. {phrases.INVENTED}")]
    for site in sections.sites:
        lines += ["", "", *wrapped(site.name, ""), *_first(site, demo=sections.demo)]
    lines += _section("Side by side", _lines(sections.side_by_side))
    for site in sections.sites:
        lines += ["", "", *wrapped(f"{site.name} in full", ""), *_full(site, explained)]
    lines += ["", ""]
    lines += _section("What daily temperatures can't see", wrapped(phrases.UNSEEN))
    lines += _section("Work safely", bullets(sections.cautions))
    lines += _section("Sources", bullets(sections.sources))
    return "\n".join(line.rstrip() for line in lines).replace("\n\n\n\n", "\n\n\n") + "\n"


def _first(site: SiteSections, *, demo: bool) -> Iterator[str]:
    first = site.first
    if site.invented and not demo:
        yield from wrapped(phrases.INVENTED)
    if site.refusal:
        yield from _section("Nothing can be said this week", wrapped(site.refusal))
        return
    yield from wrapped(first.season)
    yield from _section("Work first", [*_lines(first.work), *wrapped(first.idle)])
    yield from _section("Look at", [*_lines(first.look), *wrapped(first.answer)])
    yield from _section("Protect", bullets(first.protect))
    yield from _section("Moved", bullets(first.moved))


def _full(site: SiteSections, explained: set[str]) -> Iterator[str]:
    for text in (site.place, *site.weather):
        yield from wrapped(text)
    if not site.refusal:
        yield from _advice(site, explained)
    yield from _section("Data", wrapped(" ".join(site.health)))
    yield from _section("Own record", wrapped(site.record))
    yield from _section("Notes", bullets(site.notes))


def _advice(site: SiteSections, explained: set[str]) -> Iterator[str]:
    yield from _section("Now or later", _cards(site.chosen, explained))
    yield from _section("What a look is worth", _lines(site.looks))
    yield from _section("Closing", _lines(site.closing))
    yield from _section("In window now", _lines(site.now))
    yield from _section("Opening soon", _lines(site.soon))
    yield from _section("Closed lately", _lines(site.closed))
    yield from _section("The rest", wrapped(site.resting))
    yield from _section("Not at this place", wrapped(site.not_here if site.new_season else ""))
    yield from _section("Your trees", [*_lines(site.trees), *wrapped(site.resting_trees)])
    yield from _section("Care this week", _lines(site.care))
    mild = wrapped(site.mild) if site.hazards or site.frost_text else []
    yield from _section("Weather that could hurt", [*wrapped(site.frost_text), *_lines(site.hazards), *mild])
    yield from _section("Water", wrapped(site.water))
    sums = [Line(s.name, f"{s.text} {_first_time(s.explained, explained)}") for s in site.sums]
    yield from _section("The season so far", _lines(sums))


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
            *card.cautions,
            *card.warnings,
        )
        lines += bullets([" ".join(text for text in said if text)])
        lines += wrapped(criteria("Opens once", card.opens, "and"), "    ")
        lines += wrapped(criteria("Closes once", card.closes, "or"), "    ")
        lines += wrapped(f"Rests on: {card.rests_on}." if card.rests_on else "", "    ")
        lines += wrapped(_first_time(card.explained, explained), "    ")
    return lines


def criteria(heading: str, of_card: Iterable[Criterion], last: str) -> str:
    """All criteria of one end of a window in one sentence, the `last` joined by and, or or."""
    told = [f"{one.text[:1].lower()}{one.text[1:]} ({one.state})" for one in of_card]
    said = f"{'; '.join(told[:-1])}; {last} {told[-1]}" if len(told) > 1 else "".join(told)
    return phrases.sentence(f"{heading} {said}") if said else ""


def _lines(lines: Iterable[Line]) -> list[str]:
    return bullets(f"{line.lead}. {line.text}".strip() for line in lines)


def bullets(texts: Iterable[str]) -> list[str]:
    """Each text as an item of a list, wrapped."""
    return [line for text in texts for line in wrapped(text, "  - ", "    ")]


def wrapped(text: str, first: str = "  ", rest: str | None = None) -> list[str]:
    """Lines of at most 80 columns; an address or a week such as 2026-W33 isn't broken at its hyphen."""
    lines = textwrap.wrap(
        text.replace(" °", _KEPT_TOGETHER),
        COLUMNS,
        initial_indent=first,
        subsequent_indent=first if rest is None else rest,
        break_on_hyphens=False,
    )
    return [line.replace(_KEPT_TOGETHER, " °") for line in lines]
