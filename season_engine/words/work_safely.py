"""What the work of these weeks asks for: in a report once for all trees and yards, a line a kind."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple, get_args

from season_engine.facts import Text
from season_engine.report.contents import Report, SiteReport, heading_of, name_of_tree
from season_engine.species.jobs import CautionKind
from season_engine.windows.assessment import Assessment
from season_engine.windows.care import Care
from season_engine.windows.cautions import Caution
from season_engine.words import naming, prose
from season_engine.words.care import goes_on
from season_engine.words.cautions import caution_advice, caution_lead
from season_engine.words.line import Line, joined
from season_engine.words.prose import gathered
from season_engine.words.speech import said, say

NAMED = 4


class _Told(NamedTuple):
    """A caution, and what it is told for."""

    caution: Caution
    of: Assessment | Care
    tree: str


def caution_lines(report: Report) -> tuple[Line, ...]:
    """What the work of these weeks asks for, a line a kind."""
    by_kind: dict[CautionKind, list[_Told]] = {kind: [] for kind in get_args(CautionKind)}
    for site in report.sites:
        for one in _told(site, report.as_of):
            by_kind[one.caution.kind].append(one)
    return tuple(Line(caution_lead(kind), _for_all(kind, told)) for kind, told in by_kind.items() if told)


def _told(site: SiteReport, as_of: dt.date) -> Iterator[_Told]:
    for a in site.trees or site.windows:
        if heading_of(a) in ("now", "soon") and not a.left_alone:
            tree = prose.plain(name_of_tree(site, a.tree)) if a.tree else ""
            yield from (_Told(caution, a, tree) for caution in a.cautions)
    for care in site.care:
        if goes_on(care, as_of):
            yield from (_Told(caution, care, "") for caution in care.cautions)


def _for_all(kind: CautionKind, told: Sequence[_Told]) -> str:
    advice = caution_advice(kind)
    if kind == "heat":
        return advice
    if kind in ("poison", "skin"):
        return joined(prose.sentence("; ".join(_plants(told))), advice)
    jobs = (naming.job_name(one.of.job) for one in told if kind != "lifting" or not one.tree)
    trees = (one.tree for one in told if kind == "lifting")
    return joined(advice, say("For {jobs}.", jobs=prose.some_of(gathered((*trees, *jobs)), NAMED)))


def _plants(told: Iterable[_Told]) -> Iterator[str]:
    """``English yew and Japanese yew: all parts but the red flesh of the fruit``."""
    species: dict[Text, list[str]] = {}
    for one in told:
        species.setdefault(one.caution.parts, []).append(naming.species_name(one.of))
    for parts, names in species.items():
        yield f"{prose.some_of(gathered(names), NAMED)}: {said(parts)}"
