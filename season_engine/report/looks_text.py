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
    return f"{name[:1].upper()}{name[1:]}" + (f" ({phrases.some_of(trees, TREES_NAMED)})" if trees else "")


def look_text(site: SiteReport, look: Look) -> str:
    """What to look for, what an answer narrows, and how to answer."""
    return (
        f"Look whether {phrases.plain(look.label)}: {phrases.odds(look.chance)} that it is so. "
        f"{_narrows(look.narrows[0])} Answer: {answer(site, look)}, or the same with "
        '"not yet" for "already".'
    )


def answer(site: SiteReport, look: Look) -> str:
    """The command that answers yes."""
    if look.trees:
        words, where = f"{look.stage} already on {_callable(site, look.trees[0])}", ""
    else:
        words = f"{look.stage} already on {phrases.species_name(look)}"
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
