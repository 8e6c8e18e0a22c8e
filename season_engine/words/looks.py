"""A bud to look at in words: what to look for, what an answer narrows, and how to answer."""

from __future__ import annotations

import shlex
from collections.abc import Sequence

from season_engine.facts import Text
from season_engine.report.contents import SiteReport, name_of_tree
from season_engine.windows.assessment import End
from season_engine.windows.looks import Look
from season_engine.words import naming, prose
from season_engine.words.line import Line
from season_engine.words.speech import say
from season_engine.workspace.journal_words import stage_name

TREES_NAMED = 3


def look_lines(site: SiteReport) -> tuple[Line, ...]:
    """What is to be seen, and how likely it is: a line for all the trees it is the same on."""
    leads: dict[str, list[str]] = {}
    for look in site.look_at:
        leads.setdefault(prose.sentence(_sight(look)), []).append(look_lead(site, look))
    return tuple(Line("; ".join(alike), text) for text, alike in leads.items())


def look_lead(site: SiteReport, look: Look) -> str:
    """`Japanese maple (Ember)`."""
    name = naming.species_name(look)
    trees = [prose.plain(name_of_tree(site, tree)) for tree in look.trees]
    return f"{prose.some_of(trees, TREES_NAMED)} ({name})" if trees else prose.capital(name)


def look_text(look: Look) -> str:
    """What to look for, and how likely it is."""
    return say("See whether {sight}.", sight=_sight(look))


def _sight(look: Look) -> str:
    return say("{label} ({odds})", label=prose.plain(look.look_for), odds=prose.odds(look.chance))


def look_answer(site: SiteReport) -> str:
    """How to answer, and how the answer reaches the engine; empty without buds."""
    if not site.look_at:
        return ""
    stages = dict.fromkeys(_stage(look) for look in site.look_at)
    return say(
        'Answer "not yet" or what you see, {words}, with the tree\'s name. Nothing reads your mail, so enter '
        'it: {command} (or "already" for "not yet").',
        words=prose.choice([f'"{word}"' for word in stages]),
        command=answer(site, site.look_at[0]),
    )


def looks_worth(site: SiteReport) -> tuple[Line, ...]:
    """What answers narrow: those about one date of one species in a line."""
    alike: dict[tuple[str, str, str, End], list[Look]] = {}
    for look in site.look_at:
        one = look.narrows[0]
        alike.setdefault((look.species, one.job, one.window, one.end), []).append(look)
    return tuple(Line(look_lead(site, looks[0]), _narrows(looks)) for looks in alike.values())


def answer(site: SiteReport, look: Look) -> str:
    """The command that answers no."""
    if look.trees:
        words, where = f"{_callable(site, look.trees[0])} {_stage(look)} not yet", ""
    else:
        words = f"{look.common_name or look.species} {_stage(look)} not yet"
        where = f" --site {shlex.quote(site.site.name)}"
    return f'season-engine journal add "{words}"{where}'


def _stage(look: Look) -> str:
    """As the journal understands it."""
    return stage_name(look.bbch, look.species)


def _callable(site: SiteReport, tree: str) -> str:
    """The tree's name where no other tree has it, else its id."""
    name = name_of_tree(site, tree)
    return name if list(site.tree_names.values()).count(name) == 1 else tree


def _narrows(looks: Sequence[Look]) -> str:
    """By how much the first answer narrows the date, and each further one what that leaves."""
    one, last = looks[0].narrows[0], looks[-1].narrows[0]
    before, after = int(one.before_days + 0.5), int(last.after_days + 0.5)
    opens = Text("The date {job} opens is likely to be {out}; {answers}.")
    closes = Text("The date {job} closes is likely to be {out}; {answers}.")
    return say(
        opens if one.end == "opens" else closes,
        job=naming.job_and_window(one),
        out=prose.counts("out by {n} day", "out by {n} days", before),
        answers=prose.counts(
            "an answer brings that to {left}",
            "{n} answers bring that to {left}",
            len(looks),
            left=prose.number(after) if after else say("less than one"),
        ),
    )
