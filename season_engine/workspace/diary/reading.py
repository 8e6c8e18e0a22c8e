"""A line in a grower's words read clause by clause: what is said of which tree."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Collection, Container, Sequence
from dataclasses import dataclass, field, replace

from season_engine.files.text import listed
from season_engine.note import Details, State
from season_engine.species.names import KnownNames
from season_engine.species.nicknames import nicknames, ordinary_words
from season_engine.workspace.diary.caution import all_accounted, loses_a_fact, surely
from season_engine.workspace.diary.clauses import Clause, Passed, clauses_of, joined
from season_engine.workspace.diary.days import with_days
from season_engine.workspace.diary.facts import (
    Said,
    Standing,
    left_over,
    matched,
    rightful,
    said_in,
    standing_of,
)
from season_engine.workspace.diary.phrases import Found
from season_engine.workspace.diary.slips import led_by_name, mended
from season_engine.workspace.diary.subjects import with_places, with_subjects
from season_engine.workspace.diary.tokens import Day, Subject, Token, capitals_in, folded_set, line_tokens
from season_engine.workspace.diary.tongue import Tongue, tongues

PINE_GENUS = "Pinus"
SHORT = 2  # clauses of a line in which chatter beside a fact is passed over
JobsOf = Callable[[str], Container[str] | None]  # of a species by its name; None: nobody knows them
CAME: frozenset[State] = frozenset({"arrived", "arrived from the other hemisphere", "collected"})
OF_A_NEW_TREE: frozenset[State] = CAME | {"young", "old"}
_NEAR = folded_set(
    "than beside behind near like under next from with onto to for neben hinter bei wie als zu für unter von"
)


@dataclass
class Heard:
    """What a line says of one subject, clause by clause."""

    subject: Subject | None
    said: list[tuple[Said, Day]] = field(default_factory=list)

    @property
    def came(self) -> bool:
        """Whether it came new to the yard."""
        states = {state for one, _ in self.said for state in one.details.states}
        return bool(states & CAME)


@dataclass(frozen=True)
class _Told:
    """The stage that a clause tells, and of which trees."""

    species: str | None
    trees: Sequence[Subject | None]
    bbch: int


@dataclass
class Reading:
    """What a line says, by subject, and what it names without saying anything."""

    heard: list[Heard] = field(default_factory=list)
    named: list[Subject] = field(default_factory=list)
    of_the_yard: bool = False  # it speaks of weather, benches or all trees


def is_pine(species: str | None) -> bool:
    """Whether a species is a pine, whose needles show before they open."""
    return (species or "").split(" ")[0] == PINE_GENUS


def tongue_of(words: Sequence[str], language: str) -> Tongue:
    """The language whose words fit a line best; at a tie that of the workspace, else English."""
    first = sorted(tongues(), key=lambda one: one.name != language)
    return max(first, key=lambda one: sum(word in one.words for word in words))


def read_line(
    text: str,
    names: KnownNames,
    on: dt.date,
    sites: Sequence[str] = (),
    language: str = "en",
    about: str | None = None,
    jobs_of: JobsOf | None = None,
) -> Reading:
    """What a line says of which trees; `about` is the species of trees that it doesn't name."""
    words = line_tokens(text)
    tongue = tongue_of(words, language)
    tokens = _tokens(words, tongue, names, on, sites, capitals_in(text))
    clauses = _clauses(tokens, tongue)
    reading = Reading()
    reading.of_the_yard = any(isinstance(one, Subject) and one.whole_yard for one in tokens) or not (
        tongue.guards.yard.isdisjoint(words) and all(word not in tongue.guards.everything for word in words)
    )
    if not tongue.corrections.found_in(tokens):
        _read(clauses, reading, tongue, about, jobs_of)
    reading.named = reading.named or [one for one in tokens if isinstance(one, Subject)]
    reading.heard = [one for one in reading.heard if not (one.subject and one.subject.indefinite) or one.came]
    return reading


def _tokens(
    words: list[str],
    tongue: Tongue,
    names: KnownNames,
    on: dt.date,
    sites: Sequence[str],
    capitals: Collection[str],
) -> list[Token]:
    kinds = {one for one in names.kept_words if one not in ordinary_words()} | nicknames().keys()
    own = {word for phrase in names.trees for word in phrase if "'" not in word}
    words = mended(words, tongue, kinds, own, names.words)
    for at in range(len(words) - 2, 0, -1):  # "nice and fat"
        if words[at] == "and" and words[at - 1] in ("nice", "good"):
            del words[at]
    tokens = with_places(with_days(words, on, tongue), sites)
    found = with_subjects(tokens, names, tongue, capitals)
    if any(isinstance(one, Subject) for one in found):
        return found
    words = led_by_name(words, own)
    return with_subjects(with_places(with_days(words, on, tongue), sites), names, tongue, capitals)


def _clauses(tokens: Sequence[Token], tongue: Tongue) -> list[Clause]:
    guards = tongue.guards
    not_yet = guards.denied | guards.in_vain
    passed = Passed(tongue.small | guards.now, guards.too, guards.articles, not_yet)
    return joined(clauses_of(tokens, guards), passed)


def _read(
    clauses: Sequence[Clause], reading: Reading, tongue: Tongue, about: str | None, jobs_of: JobsOf | None
) -> None:
    groups = _groups(clauses, tongue)
    days = _days(clauses, tongue)
    around = {word for one in clauses for word in (one.led_by, *one.words)}
    unsure: list[Subject | None] = []  # of whom something was said that may mean another thing
    reach: int | None = None  # the sentence in which a plan goes on
    told: _Told | None = None  # of another tree of the kind "not yet" alone means that stage
    for at, clause in enumerate(clauses):
        reading.named += [one for one in (*clause.subjects, *clause.beside) if one not in reading.named]
        if reach is not None and (clause.sentence != reach or clause.led_by in tongue.guards.turns):
            reach = None
        question = _asked(clauses, at, tongue)
        for subject in groups[at]:
            kind = subject.species if subject else about
            found = rightful(clause, matched(clause, tongue, pine=is_pine(kind)), tongue)
            standing = standing_of(clause, found, tongue, days[at])
            asked = question or _in_vain_by_the_next(clauses, at, found, tongue)
            named_before = any(one.subjects or one.beside for one in clauses[:at])
            sure = surely(clause, found, tongue, around, named_before=named_before)
            reach = clause.sentence if standing.reaches else reach
            standing = _in_its_line(standing, asked, planned=reach is not None)
            strange = len(clauses) > SHORT and not all_accounted(clause, found, tongue)
            unsure += [subject] * (strange or loses_a_fact(found, sure))
            said = said_in(clause, sure, standing, tongue, jobs_of(kind) if jobs_of and kind else None)
            if asked and not said.stages:
                continue
            said, told = _as_told(said, told, kind, subject, groups[at])
            if subject and not (clause.subjects or clause.beside):
                _leave_out(said, of_none_before=not any(own for one in clauses[:at] if (own := one.subjects)))
            _hear(reading, subject, said, standing.day)
    # Half of what was said of a tree may mean another thing than the whole: "flowers off, then cut back".
    reading.heard = [one for one in reading.heard if one.subject not in unsure]


def _as_told(
    said: Said, told: _Told | None, kind: str | None, subject: Subject | None, trees: Sequence[Subject | None]
) -> tuple[Said, _Told | None]:
    """What is said, "not yet" alone being of the stage told of other trees of the kind; and the last told."""
    if said.unnamed_stage and told and subject not in told.trees and kind == told.species:
        return replace(said, stages=[(told.bbch, said.unnamed_stage)], unnamed_stage=None), told
    return said, _Told(kind, trees, said.stages[-1][0]) if said.stages else told


def _in_its_line(standing: Standing, asked: str, *, planned: bool) -> Standing:
    """How a clause is to be taken by what stands around it: a question, or a plan that goes on."""
    if asked:
        return Standing(facts=asked == "answered", in_vain=True)
    return Standing(facts=False, reaches=True) if planned else standing


def _leave_out(said: Said, *, of_none_before: bool) -> None:
    """Without states that a clause which names no tree may tell of somebody else."""
    kept = frozenset() if of_none_before else said.details.states - {"young", "old"}
    said.details = replace(said.details, states=kept)


def _hear(reading: Reading, subject: Subject | None, said: Said, day: Day) -> None:
    if subject and subject.indefinite:
        jobs = [one for one in said.jobs if one[0] == "collecting"]
        said = Said(jobs=jobs, details=Details(states=said.details.states & OF_A_NEW_TREE))
    if subject and subject.one_of:  # a kind's stage is that of its trees; what was done is of one of them
        asks = [_which(subject)] if said.jobs else []
        said = Said(stages=said.stages, unnamed_stage=said.unnamed_stage, asks=asks)
    if subject and subject.whole_yard:
        subject = Subject(whole_yard=True)
    heard = next((one for one in reading.heard if one.subject == subject), None)
    if heard is None:
        heard = Heard(subject)
        reading.heard.append(heard)
    heard.said.append((said, day))


def _which(subject: Subject) -> str:
    return f"Which of them? Write it by id: {listed(subject.one_of)}."


def _asked(clauses: Sequence[Clause], at: int, tongue: Tongue) -> str:
    """Whether a clause is a question, or one that the next sentence answers with no."""
    clause = clauses[at]
    first = next(one for one in clauses if one.sentence == clause.sentence)
    begins = next((word for word in first.words), "")
    asks = begins in tongue.guards.asks and isinstance(first.tokens[0], str)
    if not clause.asked and not asks:
        return ""
    after = next((one for one in clauses[at:] if one.sentence > clause.sentence), None)
    if clause.asked and after is not None and not after.subjects and _only_answers(after, tongue):
        return "answered"
    return "asked"


def _only_answers(clause: Clause, tongue: Tongue) -> bool:
    """Whether a clause says no, and nothing else."""
    said = tongue.answers.found_in(clause.tokens)
    beside = tongue.guards.in_vain | tongue.guards.now | tongue.guards.articles
    return bool(said) and beside.issuperset(left_over(clause, said))


def _in_vain_by_the_next(clauses: Sequence[Clause], at: int, found: Sequence[Found], tongue: Tongue) -> str:
    """Whether a stage is told to be looked for in vain by the clause behind: "swelling buds, nothing"."""
    if at + 1 >= len(clauses) or not all(one.kind == "stage" for one in found) or not found:
        return ""
    after = clauses[at + 1]
    return "answered" if not after.subjects and _only_answers(after, tongue) else ""


def _groups(clauses: Sequence[Clause], tongue: Tongue) -> list[list[Subject | None]]:
    """The trees each clause is about: those it names, else those named before, else those named after."""
    own: list[list[Subject] | None] = [_own(clause, tongue) for clause in clauses]
    found: list[list[Subject | None]] = []
    current: list[Subject] | None = None
    for at, clause in enumerate(clauses):
        named = own[at]
        aside = clause.led_by in tongue.guards.subordinate
        if named is not None:
            found.append([*named])
            if not aside:
                current = named
            continue
        if current is None:
            later = [one for one in own[at + 1 :] if one]
            found.append([*later[0]] if later else [None])
        else:
            found.append([*current])
    return found


def _own(clause: Clause, tongue: Tongue) -> list[Subject] | None:
    """The trees a clause is about by its own words; None where it names none, none where it is unclear."""
    places = [at for at, token in enumerate(clause.tokens) if isinstance(token, Subject)]
    if len(places) > 1:
        kept = [at for at in places if not _beside(clause.tokens, at)]
        places = kept or places
        between = clause.tokens[places[0] : places[-1] + 1]
        if any(isinstance(one, str) and one not in tongue.small for one in between):
            return []
    subjects = [token for at in places if isinstance(token := clause.tokens[at], Subject)]
    subjects = list(dict.fromkeys([*subjects, *clause.beside]))
    if any(one.unclear for one in subjects):
        return [one for one in subjects if not one.unclear]
    return subjects or None


def _beside(tokens: Sequence[Token], at: int) -> bool:
    """Whether a tree is only what another stands by or is like."""
    before = [one for one in tokens[max(0, at - 2) : at] if isinstance(one, str)]
    return (
        at > 0
        and bool(before)
        and not _NEAR.isdisjoint(before)
        and any(isinstance(one, Subject) for one in tokens[:at])
    )


def _days(clauses: Sequence[Clause], tongue: Tongue) -> list[Day]:
    """The day of each clause: its own, or that with which its sentence begins or ends."""
    found = []
    for clause in clauses:
        told = [one for one in clause.days if one.date or one.vague]
        if not tongue.guards.now.isdisjoint(clause.words):
            found.append(Day())
            continue
        if not told:
            sentence = [one for one in clauses if one.sentence == clause.sentence]
            ends = [sentence[0].tokens[0], sentence[-1].tokens[-1]]
            told = [one for one in ends if isinstance(one, Day) and (one.date or one.vague)]
            if not tongue.guards.plan.isdisjoint(sentence[-1].words):  # "will repot in spring"
                told = []
        found.append(told[0] if told else Day())
    return found
