"""One window, or several that say the same, in words: what is said at a glance and what stands behind it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from season_engine.facts import CHILL_PORTIONS
from season_engine.report.contents import SiteReport, name_of_tree, trees_of
from season_engine.windows.assessment import Assessment
from season_engine.words import markers, naming, notices, prose, verdicts
from season_engine.words.criteria import Criterion, closing_criteria, opening_criteria
from season_engine.words.learnt import learnt_sentence
from season_engine.words.one_hazard import hazard_sentences
from season_engine.words.own_trees import NAMES_IN_A_LINE
from season_engine.words.prose import gathered
from season_engine.words.speech import say
from season_engine.words.today import today_why
from season_engine.words.warnings import warning_texts
from season_engine.words.window_notes import note_text


@dataclass(frozen=True, slots=True)
class Card:
    """One window of one species, or of several that share it to the day."""

    assessment: Assessment  # of the first species
    species: str
    job: str
    title: str  # species and job
    verdict: str  # where it is open
    sentence: str
    advice: str  # today's, where it is open
    weighing: str  # now against later
    trees: str
    opens: tuple[Criterion, ...]
    closes: tuple[Criterion, ...]
    explained: str  # the units, where they need it
    notes: tuple[str, ...]  # what the window and its species say of themselves
    hazards: tuple[str, ...]
    background: tuple[str, ...]
    warnings: tuple[str, ...]
    past_errors: str = ""  # how far out the date was on this day in the last years

    @property
    def rests_on(self) -> str:
        """Where the numbers behind it come from."""
        return "; ".join(dict.fromkeys(one.source for one in self.opens + self.closes))


def cards(site: SiteReport, assessments: Iterable[Assessment]) -> tuple[Card, ...]:
    """Cards in the order the windows came; species that share a window share a card."""
    alike: dict[object, list[Assessment]] = {}
    for a in assessments:
        key = (a.job, a.window, a.verdict, today_why(a.today_why), a.opens, a.closes, a.weeks)
        alike.setdefault((*key, tuple(map(markers.reason_text, a.reasons))), []).append(a)
    return tuple(_card(site, group) for group in alike.values())


def _card(site: SiteReport, group: Sequence[Assessment]) -> Card:
    a = group[0]
    mine = [tree for one in group for tree in trees_of(site, one)]
    in_window = a.in_window
    # What holds for a sound tree isn't said where none of the grower's own trees may be worked so.
    advised = in_window and (not mine or any(tree.today == a.today for tree in mine))
    species = prose.listing([naming.species_name(one) for one in group])
    job = naming.job_and_window(a)
    return Card(
        assessment=a,
        species=species[:1].upper() + species[1:],
        job=job,
        title=f"{species[:1].upper()}{species[1:]}, {job}",
        verdict=verdicts.verdict_words(a) if in_window else "",
        sentence=f"{verdicts.verdict_sentence(a)} {learnt_sentence(a.learnt)}".rstrip(),
        advice=f"{verdicts.today_words(a)}. {prose.sentence(today_why(a.today_why))}" if advised else "",
        weighing=verdicts.weighing(a),
        trees=_trees_in_card(site, a, mine),
        opens=opening_criteria(a),
        closes=closing_criteria(a),
        explained=prose.plain(notices.CHILL_PORTION)
        if any(r.so_far and r.unit == CHILL_PORTIONS for r in a.reasons)
        else "",
        notes=gathered(prose.sentence(note_text(note)) for note in a.notes),
        hazards=gathered(hazard_sentences(a.hazards)),
        background=gathered((verdicts.usual_sentence(a), verdicts.given_sentence(a))),
        warnings=gathered(map(prose.sentence, warning_texts(a.warnings))),
    )


def _trees_in_card(site: SiteReport, a: Assessment, mine: Iterable[Assessment]) -> str:
    """The grower's trees the window is about, with today's advice where it isn't the window's own."""
    names = []
    for tree in mine:
        name = prose.plain(name_of_tree(site, tree.tree or ""))
        differs = a.in_window and tree.today != a.today
        names.append(f"{name} ({verdicts.today_within(tree)})" if differs else name)
    return say("Your trees: {trees}.", trees=prose.some_of(names, NAMES_IN_A_LINE)) if names else ""
