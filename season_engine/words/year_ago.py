"""The same week a year ago in words: what was noted and done, and how this season runs against it."""

from __future__ import annotations

import datetime as dt
import textwrap

from season_engine.facts import Day, Text
from season_engine.report.contents import SiteReport
from season_engine.report.year_ago import RemarkThen, StageThen, Whose, WorkThen
from season_engine.words import naming, prose, timing
from season_engine.words.line import joined
from season_engine.words.own_trees import tree_names
from season_engine.words.speech import said, say
from season_engine.workspace.journal_words import stage_name

STAGES_TOLD, WORKS_TOLD, REMARKS_TOLD = 3, 4, 2
TREES_NAMED = 3
LONGEST_REMARK = 80
# Of the journal's stages the words for print, as `stage_name` has them.
STAGES = (
    Text("resting", context="stage"),
    Text("buds swelling", context="stage"),
    Text("buds swollen", context="stage"),
    Text("buds breaking", context="stage"),
    Text("green tips", context="stage"),
    Text("leaves opening", context="stage"),
    Text("leaves open", context="stage"),
    Text("leaves unfolded", context="stage"),
    Text("flower buds swelling", context="stage"),
    Text("first flowers", context="stage"),
    Text("full bloom", context="stage"),
    Text("petals falling", context="stage"),
    Text("petals off", context="stage"),
    Text("growth hard", context="stage"),
    Text("leaf colour", context="stage"),
    Text("leaf fall", context="stage"),
    Text("leaves down", context="stage"),
    Text("candles moving", context="stage"),
    Text("candles long", context="stage"),
    Text("needles showing", context="stage"),
    Text("needles open", context="stage"),
)


def year_ago_sentences(site: SiteReport, as_of: dt.date) -> tuple[str, ...]:
    """A line on stages and one on what was done and said; none where nothing was noted."""
    then = site.year_ago
    if then is None:
        return ()
    stages = joined(*(prose.sentence(_stage(site, one, as_of)) for one in then.stages[:STAGES_TOLD]))
    works = [_work(site, one) for one in then.works]
    remarks = [_remark(site, one) for one in then.remarks]
    done = say("Done: {works}.", works=prose.some_of(works, WORKS_TOLD)) if works else ""
    noted = say("Noted: {remarks}.", remarks=prose.some_of(remarks, REMARKS_TOLD)) if remarks else ""
    return tuple(filter(None, (stages, joined(done, noted))))


def _stage(site: SiteReport, one: StageThen, as_of: dt.date) -> str:
    """``Buds swelling on 28 Mar (The Ferry); this year about 20 Mar, eight days earlier``."""
    noted = say(
        "{stage} on {date} ({whose})",
        stage=_stage_words(one),
        date=Day(one.date),
        whose=_whose(site, one.whose),
    )
    if one.this_season is None or one.later_days is None:
        return noted
    known, about = (
        Text("{noted}; this year on {date}, {compared}"),
        Text("{noted}; this year about {date}, {compared}"),
    )
    date = timing.short_day(one.this_season, as_of)
    return say(known if one.seen else about, noted=noted, date=date, compared=_compared(one.later_days))


def _stage_words(one: StageThen) -> str:
    stage = said(Text(stage_name(one.bbch, one.whose.species), context="stage"))
    if one.sighting == "seen":
        return stage
    not_yet, already = Text("not yet {stage}"), Text("{stage} already")
    return say(not_yet if one.sighting == "not-yet" else already, stage=stage)


def _compared(later_days: int) -> str:
    if not later_days:
        return say("on the same day")
    if later_days > 0:
        return prose.counts("{n} day later", "{n} days later", later_days)
    return prose.counts("{n} day earlier", "{n} days earlier", -later_days)


def _work(site: SiteReport, one: WorkThen) -> str:
    """``repotting of Tumbler (19 Apr)``."""
    whose, job = _whose(site, one.whose), naming.job_name(one.job)
    what = naming.job_of(job, whose) if whose else job
    return say("{what} ({date})", what=what, date=Day(one.date))


def _remark(site: SiteReport, one: RemarkThen) -> str:
    whose = _whose(site, one.whose)
    words = textwrap.shorten(prose.plain(one.words), LONGEST_REMARK, placeholder=" …")
    if whose:
        return say('"{words}" ({whose}, {date})', words=words, whose=whose, date=Day(one.date))
    return say('"{words}" ({date})', words=words, date=Day(one.date))


def _whose(site: SiteReport, whose: Whose) -> str:
    if whose.trees:
        return tree_names(site, whose.trees, TREES_NAMED)
    return naming.species_name(whose) if whose.species else ""
