"""What can hurt whoever works, in words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from season_engine.facts import Degrees, Text
from season_engine.species.jobs import CautionKind
from season_engine.windows.cautions import WORK_STOPS_C, Caution
from season_engine.windows.weights import HEAVIEST_KG_PER_L, LIGHTEST_KG_PER_L, ONE_LIFTS_KG, TWO_LIFT_KG
from season_engine.words import prose
from season_engine.words.line import Line, joined
from season_engine.words.speech import said, say

_LEADS: Mapping[CautionKind, Text] = {
    "wild trees": Text("Wild trees", context="caution"),
    "lifting": Text("Lifting", context="caution"),
    "dust": Text("Dust", context="caution"),
    "blades": Text("Blades", context="caution"),
    "knife": Text("Knife", context="caution"),
    "power tools": Text("Power tools", context="caution"),
    "lime sulphur": Text("Lime sulphur", context="caution"),
    "sprays": Text("Sprays", context="caution"),
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
    "sprays": Text(
        "goggles, gloves and a mask, in still air, nobody near; lime sulphur never beside an acid; the label "
        "and local rules decide, also on who needs a licence"
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
    return Line(
        caution_lead(caution.kind), joined(prose.sentence(caution.parts), caution_advice(caution.kind))
    )


def caution_sentences(cautions: Iterable[Caution]) -> Iterator[str]:
    """Each caution once, its name before it."""
    for line in dict.fromkeys(caution_line(caution) for caution in cautions):
        yield f"{line.lead}. {line.text}"


def caution_in_english(caution: Caution) -> str:
    """The same for JSON."""
    told = (said(_LEADS[caution.kind]), said(caution.parts), _in_words(caution.kind))
    return " ".join(f"{prose.capital(text)}." for text in told if text)


def caution_lead(kind: CautionKind) -> str:
    """The kind in a word or two."""
    return said(_LEADS[kind])


def caution_advice(kind: CautionKind) -> str:
    """What to do about it."""
    return prose.sentence(_in_words(kind))


def _in_words(kind: CautionKind) -> str:
    return say(_WORDS[kind], **_VALUES.get(kind, {}))
