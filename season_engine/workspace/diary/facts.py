"""What one clause says as facts, and whether it may be taken: a plan, a question or a denial is no fact."""

from __future__ import annotations

from collections.abc import Container, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Any, cast

from season_engine.errors import GrowerError
from season_engine.note import LAST_STAGE, NO_DETAILS, Amount, Details, Off, Sighting, Sign, State
from season_engine.species.jobs import the_job
from season_engine.workspace.diary.clauses import Clause
from season_engine.workspace.diary.phrases import Found
from season_engine.workspace.diary.quantities import amount_of, pot_of, share_of, side_of
from season_engine.workspace.diary.tokens import Day, Place, Subject, Token
from season_engine.workspace.diary.tongue import Tongue

FULL, SECTION, SLIP = "repotting", "sectional-repotting", "slip-potting"
POTTED = frozenset({FULL, SECTION, SLIP, "collecting"})
SHARED = frozenset(
    {
        SECTION,
        "defoliation",
        "candle-shortening",
        "structural-pruning",
        "cut-back",
        "trimming",
        "after-bloom-pruning",
    }
)
OF_CANDLES = ("decandling", "candle-shortening")
SIDELESS = frozenset(
    {"feeding", "shade", "winter-shelter", "collecting", "dormant-spray", "slip-potting", "cuttings"}
)
_PASSED_ON = frozenset({"state given away", "state arrived", "state collected", "job collecting"})
_CUT = frozenset({"cut", "taken", "sawn", "broken"})
_STAGES_KEPT = "stage"
_FAR: State = "arrived from the other hemisphere"


@dataclass
class Said:
    """What a clause says of its trees."""

    jobs: list[tuple[str, Details]] = field(default_factory=list)
    stages: list[tuple[int, Sighting]] = field(default_factory=list)
    remarks: set[str] = field(default_factory=set)
    details: Details = NO_DETAILS
    roots_share: float | None = None
    asks: list[str] = field(default_factory=list)
    unnamed_stage: Sighting | None = None  # "not yet" alone

    @property
    def empty(self) -> bool:
        """Whether it holds no fact."""
        return not (self.jobs or self.stages or self.unnamed_stage) and self.details == NO_DETAILS


@dataclass(frozen=True)
class Standing:
    """How a clause is to be taken."""

    facts: bool = True
    in_vain: bool = False
    others: bool = False  # only who has it now may be taken
    day: Day = Day()  # noqa: RUF009
    already: bool = False
    first_person: bool = False
    reaches: bool = False  # what makes it no fact goes on to the clauses behind


def matched(clause: Clause, tongue: Tongue, *, pine: bool) -> list[Found]:
    """The phrases of a clause, without those of other trees it is compared with."""
    phrases = tongue.pine_phrases if pine else tongue.phrases
    return phrases.found_in(_uncompared(clause.tokens, tongue))


def _uncompared(tokens: Sequence[Token], tongue: Tongue) -> Sequence[Token]:
    for at, token in enumerate(tokens):
        compares = isinstance(token, str) and (token in tongue.guards.compared or token == "like")
        if compares and any(isinstance(one, Subject) for one in tokens[at:]):
            return tokens[:at]
    return tokens


def left_over(clause: Clause, found: Sequence[Found]) -> list[str]:
    """The words of a clause that no phrase took."""
    taken = {place for one in found for place in one.places}
    return [token for at, token in enumerate(clause.tokens) if isinstance(token, str) and at not in taken]


def standing_of(clause: Clause, found: Sequence[Found], tongue: Tongue, day: Day) -> Standing:
    """How a clause is to be taken, by its own words."""
    guards, left = tongue.guards, left_over(clause, found)
    words = set(left)
    meant = {one.meaning.split()[0] for one in found}
    if clause.led_by in guards.condition or not words.isdisjoint(guards.condition):
        return Standing(facts=False, reaches=True)
    if not words.isdisjoint(guards.plan) or tongue.plans.found_in(_left_tokens(clause, found)):
        return Standing(facts=False, reaches=True)
    if (
        clause.led_by in guards.subordinate
        or not words.isdisjoint(guards.habit)
        or _by_another(clause, tongue)
    ):
        return Standing(facts=False)
    if not words.isdisjoint(guards.rest) and not clause.subjects:
        return Standing(facts=False)
    in_vain = False
    denials = words & guards.denied
    if denials:
        in_vain = not guards.in_vain.isdisjoint(clause.words) or bool(denials & guards.in_vain_denied)
        if not in_vain:
            return Standing(facts=False)
    own = {"i'm", "i", "ich", "mir", "me"} & words and not words.isdisjoint(
        {"i'm", "am", "was", "feel", "felt", "bin", "war", "mir", "me", "fühle"}
    )
    return Standing(
        in_vain=in_vain and (_STAGES_KEPT in meant or "yet" in clause.words),
        facts=not in_vain or _STAGES_KEPT in meant or "yet" in clause.words,
        others=not words.isdisjoint(guards.others),
        day=day,
        already=not words.isdisjoint(guards.already) and not denials,
        first_person=bool(own) and not clause.subjects,
    )


def _left_tokens(clause: Clause, found: Sequence[Found]) -> list[Token]:
    taken = {place for one in found for place in one.places}
    return [token for at, token in enumerate(clause.tokens) if at not in taken]


def rightful(clause: Clause, found: Sequence[Found], tongue: Tongue) -> list[Found]:
    """The phrases that are said of a tree, and not of something else that a clause names."""
    if _of_something_else(clause, found, tongue):
        return []
    fine = any(one.meaning in ("job bud-thinning", "job needle-work") for one in found)
    return [
        one
        for one in found
        if not (fine and one.meaning == "job structural-pruning" and len(one.places) == 1)
        and not _of_cut_things(clause, one, tongue)
        if len(one.places) > 1
        or one.kind not in ("job", "words", "state", "off")
        or _said_of_a_tree(clause, one.places[0], tongue, strict=one.meaning in _PASSED_ON)
    ]


def _of_cut_things(clause: Clause, one: Found, tongue: Tongue) -> bool:
    """Whether a phrase for a job names things it has left: "the cut candles"."""
    first = one.places[0]
    if one.kind not in ("job", "words") or not first:
        return False
    before, word = clause.tokens[first - 1], str(clause.tokens[first])
    return before in tongue.guards.determiners and (word.endswith("ed") or word in _CUT)


def _of_something_else(clause: Clause, found: Sequence[Found], tongue: Tongue) -> bool:
    """Whether a clause that names no tree tells of another thing: "the roses are in bloom"."""
    if clause.subjects or not found:
        return False
    before = clause.tokens[: min(one.places[0] for one in found)]
    ahead = tongue.guards.determiners | tongue.guards.articles
    pairs = pairwise(before)
    return any(one in ahead and isinstance(two, str) and two not in tongue.of_trees for one, two in pairs)


def _said_of_a_tree(clause: Clause, at: int, tongue: Tongue, *, strict: bool) -> bool:
    """Whether a single word such as "wired" or "sold" has a tree beside it, or nothing else."""
    ahead = tongue.guards.determiners | tongue.guards.articles
    determined, other = False, False
    for token in clause.tokens[at + 1 :]:
        if isinstance(token, Subject) or token in tongue.guards.pronouns:
            return True
        if isinstance(token, str) and token not in tongue.small:
            other = token not in tongue.of_trees
            break
        determined = token in ahead
    for place in range(at - 1, -1, -1):
        token = clause.tokens[place]
        if isinstance(token, Subject):
            return not (strict and place and clause.tokens[place - 1] in ("for", "from", "fuer"))
        if isinstance(token, str) and token not in tongue.small:
            other = other or strict
            break
    if strict:
        return not other and not clause.subjects
    return not (other and determined)


def _by_another(clause: Clause, tongue: Tongue) -> bool:
    """Whether somebody or something else did it."""
    for token in clause.tokens:
        if not isinstance(token, str):
            return False
        if token in tongue.guards.agents:
            return True
        if token not in tongue.small:
            return False
    return False


def said_in(
    clause: Clause,
    found: Sequence[Found],
    standing: Standing,
    tongue: Tongue,
    done_here: Container[str] | None,
) -> Said:
    """The facts of a clause, as far as they may be taken."""
    said = Said()
    if not standing.facts or standing.day.long_ago:
        return said
    by_kind: dict[str, list[tuple[str, Found]]] = {}
    for one in found:
        kind, _, rest = one.meaning.partition(" ")
        by_kind.setdefault(kind, []).append((rest, one))
    said.stages += [(code, _sighting(standing)) for code in _codes(clause)]
    for rest, _ in by_kind.get("stage", ()):
        said.stages.append((int(rest), _sighting(standing)))
    if standing.in_vain:
        said.unnamed_stage = None if said.stages or by_kind.keys() & {"job", "words"} else "not-yet"
        return said
    return _taken(said, clause, by_kind, standing, tongue, done_here)


def _taken(
    said: Said,
    clause: Clause,
    by_kind: dict[str, list[tuple[str, Found]]],
    standing: Standing,
    tongue: Tongue,
    done_here: Container[str] | None,
) -> Said:
    """With the jobs and details of a clause, as far as its day and whose tree it is allow."""
    jobs = [rest for rest, one in by_kind.get("job", ()) if not _of_a_tree(clause, one, tongue)]
    for rest, one in by_kind.get("words", ()):
        if _of_a_tree(clause, one, tongue):
            continue
        try:
            jobs.append(the_job(tuple(rest.split()), done_here))
        except GrowerError as unclear:
            said.asks.append(f"{unclear.problem} {unclear.hint}")
    if done_here and any(one in done_here for one in OF_CANDLES):  # "pinched" may be of candles
        jobs = [one for one in jobs if one != "pinching"]
    _take_details(said, clause, by_kind, jobs)
    if standing.others:
        owned = said.details.states & {"given away", "arrived", "dead"}
        return Said(details=replace(NO_DETAILS, states=frozenset(owned - {"dead"})))
    if standing.day.vague or standing.already:
        said.asks += ["Which day? Give it with --on."] if said.jobs else []
        said.jobs, said.remarks, said.details = [], set(), NO_DETAILS
    if standing.first_person:
        said.details = replace(said.details, states=frozenset(), signs=frozenset())
    return said


def _codes(clause: Clause) -> list[int]:
    """Stages written as "BBCH 11"."""
    pairs = pairwise(clause.tokens)
    return [int(two) for one, two in pairs if one == "bbch" and isinstance(two, str) and _is_code(two)]


def _is_code(text: str) -> bool:
    return text.isascii() and text.isdecimal() and len(text) <= len(str(LAST_STAGE))


def _sighting(standing: Standing) -> Sighting:
    if standing.in_vain:
        return "not-yet"
    return "already" if standing.already or standing.day.vague else "seen"


def _of_a_tree(clause: Clause, one: Found, tongue: Tongue) -> bool:
    """Whether a word for a job only tells which tree: "the repotted one"."""
    first = one.places[0]
    if len(one.places) > 1 or not first:
        return False
    before = clause.tokens[first - 1]
    return isinstance(before, str) and before in tongue.guards.determiners


def _take_details(
    said: Said, clause: Clause, by_kind: dict[str, list[tuple[str, Found]]], jobs: Sequence[str]
) -> None:
    words = clause.words
    remarks = {rest for rest, _ in by_kind.get("remark", ())}
    said.remarks = remarks
    share = share_of(words)
    if by_kind.get("share") or ("section" in remarks):
        said.roots_share = share
    staged = {
        place for _, one in by_kind.get("stage", ()) if len(one.places) > 1 for place in one.places
    }  # "needles hard" says how they are, not how much was done
    amounts = [rest for rest, one in by_kind.get("amount", ()) if not staged.issuperset(one.places)]
    amount = cast("Amount | None", amounts[0] if amounts else None)
    states = {cast("State", rest) for rest, _ in by_kind.get("state", ())}
    if by_kind.get("far") and ("arrived" in states or len(by_kind["far"])):
        states = (states - {"arrived"}) | {_FAR}
    places = [token for token in clause.tokens if isinstance(token, Place)]
    moved = places[0].site if places and by_kind.get("moved") else ""
    season = [rest for rest, _ in by_kind.get("season", ())]
    went = [rest for rest, _ in by_kind.get("went", ())]
    pot, size = ("", None)
    if by_kind.get("pot") or POTTED & set(jobs):
        pot, size = pot_of(clause.tokens)
    said.details = Details(
        signs=frozenset(cast("Sign", rest) for rest, _ in by_kind.get("sign", ())),
        states=frozenset(states),
        off=frozenset(cast("Off", rest) for rest, _ in by_kind.get("off", ())),
        moved_to=moved,
        season=cast("Any", season[0]) if len(set(season)) == 1 else None,
        went=cast("Any", went[0]) if len(set(went)) == 1 else None,
        pot=pot if POTTED & set(jobs) or (by_kind.get("pot") and "new" in words) else "",
        pot_size=size if POTTED & set(jobs) else None,
        amount=amount,
        side="",
    )
    said.jobs += _jobs_with_details(by_kind, jobs, words, amount)


def _jobs_with_details(
    by_kind: dict[str, list[tuple[str, Found]]],
    jobs: Sequence[str],
    words: Sequence[str],
    amount: Amount | None,
) -> list[tuple[str, Details]]:
    """The jobs of a clause with how much, which part and which side; a heavy bend is a wiring."""
    share, side = share_of(words), side_of(words)
    implied = [job for kind, job in (("bend", "wiring"), ("partial", "defoliation")) if by_kind.get(kind)]
    found = []
    for job in dict.fromkeys([*jobs, *implied]):
        of_job: Amount | None = amount_of(job, words, amount, share)
        if job in implied:
            of_job = "heavy" if job == "wiring" else "medium"
        part = share if job in SHARED or (job == FULL and by_kind.get("share")) else None
        found.append((job, Details(amount=of_job, share=part, side="" if job in SIDELESS else side)))
    return found
