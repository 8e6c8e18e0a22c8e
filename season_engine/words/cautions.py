"""What can hurt whoever works, in words: a line a kind, and in a report once for all trees and yards."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple, get_args

from season_engine.facts import Degrees, Text
from season_engine.report.contents import Report, SiteReport, gathered, heading_of, name_of_tree
from season_engine.species.jobs import CautionKind
from season_engine.windows.assessment import Assessment
from season_engine.windows.care import Care
from season_engine.windows.cautions import WORK_STOPS_C, Caution
from season_engine.windows.sizes import HEAVIEST_KG_PER_L, LIGHTEST_KG_PER_L, ONE_LIFTS_KG, TWO_LIFT_KG
from season_engine.words import naming, prose
from season_engine.words.care import goes_on
from season_engine.words.line import Line, joined
from season_engine.words.speech import said, say

NAMED = 4

_LEADS: Mapping[CautionKind, Text] = {
    "wild trees": Text("Wild trees", context="caution"),
    "lifting": Text("Lifting", context="caution"),
    "dust": Text("Dust", context="caution"),
    "blades": Text("Blades", context="caution"),
    "knife": Text("Knife", context="caution"),
    "power tools": Text("Power tools", context="caution"),
    "lime sulphur": Text("Lime sulphur", context="caution"),
    "wire": Text("Wire", context="caution"),
    "poison": Text("Poison", context="caution"),
    "skin": Text("Skin and eyes", context="caution"),
    "heat": Text("Heat", context="caution"),
}
# Common practice, no source, and weights from memory; of dust: a health authority's warning of legionella in
# potting mix (NSW Health, as a local paper has it, read in a stored copy), put to all mixes and grit.
_WORDS: Mapping[CautionKind, Text] = {
    "wild trees": Text(
        "only with the owner's written leave, under the law and permits of the place and, where a licence is "
        "wanted, with one who holds it; go with others, and leave word where you are"
    ),
    "lifting": Text(
        "wet trees weigh {least} to {most} kg a litre of pot: over {one} kg two people, over {two} kg a "
        "trolley or a hoist"
    ),
    "dust": Text(
        "health authorities warn of legionella in potting mix: damp mix and grit before sifting, and wear "
        "gloves and a mask (P2 or FFP2)"
    ),
    "blades": Text("saws, root hooks and cutters slip: cut away from yourself, in gloves and eye protection"),
    "knife": Text("it is as sharp as a razor: cut away from the hand that holds, in a cut-proof glove"),
    "power tools": Text(
        "carvers kick back and throw chips: tie the tree down, both hands on the tool, eyes, ears and lungs "
        "covered, nobody near"
    ),
    "lime sulphur": Text(
        "goggles and gloves, outdoors, never with an acid; the label and local rules decide on any spray"
    ),
    "wire": Text("it springs back when cut: hold the end, and shield your eyes and other people's"),
    "poison": Text("keep what you cut off from children and animals, and wash your hands"),
    "skin": Text("gloves and glasses, and wash it off at once"),
    "heat": Text("nobody works in the sun over {limit}"),
}
_VALUES: Mapping[CautionKind, Mapping[str, object]] = {
    "lifting": {
        "least": LIGHTEST_KG_PER_L,
        "most": HEAVIEST_KG_PER_L,
        "one": ONE_LIFTS_KG,
        "two": TWO_LIFT_KG,
    },
    "heat": {"limit": Degrees(WORK_STOPS_C)},
}


def caution_line(caution: Caution) -> Line:
    """One caution as it is said of one job on one species."""
    return Line(_lead(caution.kind), joined(prose.sentence(caution.parts), _advice(caution.kind)))


def caution_sentences(cautions: Iterable[Caution]) -> Iterator[str]:
    """Each caution once, its name before it."""
    for line in dict.fromkeys(caution_line(caution) for caution in cautions):
        yield f"{line.lead}. {line.text}"


def caution_in_english(caution: Caution) -> str:
    """The same for JSON."""
    told = (said(_LEADS[caution.kind]), said(caution.parts), _in_words(caution.kind))
    return " ".join(f"{prose.capital(text)}." for text in told if text)


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
    return tuple(Line(_lead(kind), _for_all(kind, told)) for kind, told in by_kind.items() if told)


def _told(site: SiteReport, as_of: dt.date) -> Iterator[_Told]:
    for a in site.trees or site.windows:
        if heading_of(a) in ("now", "soon") and not a.refused:
            tree = prose.plain(name_of_tree(site, a.tree)) if a.tree else ""
            yield from (_Told(caution, a, tree) for caution in a.cautions)
    for care in site.care:
        if goes_on(care, as_of):
            yield from (_Told(caution, care, "") for caution in care.cautions)


def _for_all(kind: CautionKind, told: Sequence[_Told]) -> str:
    advice = _advice(kind)
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


def _lead(kind: CautionKind) -> str:
    return said(_LEADS[kind])


def _advice(kind: CautionKind) -> str:
    return prose.sentence(_in_words(kind))


def _in_words(kind: CautionKind) -> str:
    return say(_WORDS[kind], **_VALUES.get(kind, {}))
