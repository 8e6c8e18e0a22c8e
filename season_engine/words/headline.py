"""The report's headline: what to do, until when; for page, text, mail subject and its first words alike."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from season_engine.report.contents import Report, SiteReport
from season_engine.words import notices, prose, timing
from season_engine.words.harm import harm_in_brief
from season_engine.words.speech import say
from season_engine.words.work_list import (
    held_in_brief,
    last_call_in_brief,
    may_be_done,
    work_in_brief,
)


def headline(report: Report) -> str:
    """The answer in a line: by yard where there are several."""
    several = len(report.sites) > 1
    told = (_named(site, _of_site(site, report.as_of), several=several) for site in report.sites)
    return " ".join(prose.sentence(text) if several else prose.capital(text) for text in told)


def _named(site: SiteReport, text: str, *, several: bool) -> str:
    if not several:
        return notices.marked(text, invented=site.invented)
    name = notices.marked(prose.plain(site.site.name), invented=site.invented)
    return say("{site}: {text}", site=name, text=text)


def _of_site(site: SiteReport, as_of: dt.date) -> str:
    if site.refusal:
        return say("the weather is too poor to say")
    harm = _harm(site, as_of)
    told = (harm, _work(site, as_of, beside=bool(harm)), _looks(site))
    return "; ".join(part for part in told if part)


def _harm(site: SiteReport, as_of: dt.date) -> str:
    """What begins to harm, the first of it, and how many more trees want the same by when."""
    begin = [one for one in site.first.protect if one.stage == "begins"]
    alike = sorted((one for one in begin if one.act == begin[0].act), key=lambda one: one.by)
    if not alike:
        return ""
    first = [one for one in alike if one.by == alike[0].by]
    trees = dict.fromkeys(tree for one in first for tree in one.trees)
    heavy = tuple(tree for one in first for tree in one.heavy)
    told = harm_in_brief(site, replace(first[0], trees=tuple(trees), heavy=heavy), as_of)
    later = {tree for one in alike for tree in one.trees} - trees.keys()
    if not later:
        return told
    by = timing.day(next(one.by for one in alike if one.by > alike[0].by), as_of)
    return prose.counts(
        "{told}, {n} more by {date}", "{told}, {n} more by {date}", len(later), told=told, date=by
    )


def _work(site: SiteReport, as_of: dt.date, *, beside: bool) -> str:
    """What is due, and where nothing is, that; `beside` weather that harms, only what is due is told."""
    first = work_in_brief(site, as_of)
    if first:
        others = len(may_be_done(site.first.work)) - 1
        more = prose.counts("{first} and {n} more job", "{first} and {n} more jobs", others, first=first)
        return more if others else first
    if site.first.work:
        return held_in_brief(site, as_of)
    if beside:
        return ""
    if call := last_call_in_brief(site, as_of):
        return say("nothing is due; last call: {task}", task=call)
    return say("nothing is due this week")


def _looks(site: SiteReport) -> str:
    count = len(site.look_at)
    return prose.counts("{n} bud to look at", "{n} buds to look at", count) if count else ""
