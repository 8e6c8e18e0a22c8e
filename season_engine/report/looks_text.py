"""A bud to look at in words: what to look for, what an answer narrows, and how to answer."""

from __future__ import annotations

import shlex

from season_engine.report import phrases
from season_engine.report.contents import SiteReport, name_of_tree
from season_engine.windows.looks import Look, Narrowed

TREES_NAMED = 3


def look_lead(site: SiteReport, look: Look) -> str:
    """`Japanese maple (Ember)`."""
    name = phrases.species_name(look)
    trees = [phrases.plain(name_of_tree(site, tree)) for tree in look.trees]
    return f"{phrases.some_of(trees, TREES_NAMED)} ({name})" if trees else f"{name[:1].upper()}{name[1:]}"


def look_text(look: Look) -> str:
    """What to look for, and how likely it is."""
    return f"See whether {phrases.plain(look.label)} ({phrases.odds(look.chance)})."


def look_answer(site: SiteReport) -> str:
    """How to answer, and how the answer reaches the engine; empty without buds."""
    if not site.look_at:
        return ""
    stages = dict.fromkeys(look.stage for look in site.look_at)
    words = phrases.listing([f'"{word}"' for word in stages]).replace(" and ", " or ")
    return (
        f'Answer "not yet" or what you see, {words}, with the tree\'s name. Nothing reads your mail, so '
        f'enter it: {answer(site, site.look_at[0])} (or "already" for "not yet").'
    )


def look_worth(look: Look) -> str:
    """What an answer narrows."""
    return _narrows(look.narrows[0])


def answer(site: SiteReport, look: Look) -> str:
    """The command that answers no."""
    if look.trees:
        words, where = f"{_callable(site, look.trees[0])} {look.stage} not yet", ""
    else:
        words = f"{phrases.species_name(look)} {look.stage} not yet"
        where = f" --site {shlex.quote(site.site.name)}"
    return f'season-engine journal add "{words}"{where}'


def _callable(site: SiteReport, tree: str) -> str:
    """The tree's name where no other tree has it, else its id."""
    name = name_of_tree(site, tree)
    return name if list(site.tree_names.values()).count(name) == 1 else tree


def _narrows(one: Narrowed) -> str:
    before, after = int(one.before_days + 0.5), int(one.after_days + 0.5)
    left = phrases.number(after) if after else "less than one"
    return (
        f"The date {phrases.job_and_window(one)} {one.end} is likely to be out by "
        f"{phrases.counted(before, 'day')}; an answer brings that to {left}."
    )
