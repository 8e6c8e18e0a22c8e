"""The languages the journal understands: what may be said in each, ready to be looked for in clauses."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cache, cached_property

from season_engine.files.spelling import Tokens
from season_engine.species.jobs import JOB_WORDS
from season_engine.workspace.diary.language import (
    DayWords,
    Guards,
    Language,
    PhraseTexts,
    language_in,
    shipped,
)
from season_engine.workspace.diary.phrases import Phrases

_NOUN_ENDS = ("ing", "tion", "work", "shelter", "shade", "tidy", "check", "cuttings", "spray", "deadwood")
_NOT_ALONE = {"collected", "sheltered", "thinned", "shaded"}  # which are said of other things too

ByMeaning = Mapping[str, Collection[str]]  # phrases by what they mean, such as ``job repotting``


@dataclass(frozen=True, eq=False)
class Tongue:
    """One language; `more` are phrases from elsewhere, such as what the table of jobs calls them."""

    name: str
    language: Language
    more: ByMeaning = field(default_factory=dict)

    @property
    def guards(self) -> Guards:
        """The words that make a clause no fact."""
        return self.language.guards

    @property
    def days(self) -> DayWords:
        """How it tells days."""
        return self.language.days

    @property
    def small(self) -> frozenset[str]:
        """Words that are passed over."""
        return self.language.small

    @cached_property
    def phrases(self) -> Phrases:
        """What may be said of trees other than pines."""
        return self._phrases(*self._facts(pine=False), self._idle, passed=self._passed)

    @cached_property
    def pine_phrases(self) -> Phrases:
        """The same of pines, where some words mean another stage."""
        return self._phrases(*self._facts(pine=True), self._idle, passed=self._passed)

    @cached_property
    def of_trees(self) -> frozenset[str]:
        """The words of its phrases, without those that only sound like a fact."""
        return frozenset(self._phrases(*self._facts(pine=False)).words | self.small | self.guards.now)

    @cached_property
    def answers(self) -> Phrases:
        """What answers a question with no."""
        return self._phrases({"no": self.language.answers})

    @cached_property
    def plans(self) -> Phrases:
        """Of what is still to come."""
        return self._phrases({"plan": self.language.plan_phrases})

    @cached_property
    def corrections(self) -> Phrases:
        """By which the writer takes back what was just said."""
        return self._phrases({"correction": self.language.corrections})

    @cached_property
    def vague_days(self) -> Phrases:
        """Of days that are not told exactly."""
        return Phrases([{"vague": self.days.vague}], self.language.sets, self.days.vague_small)

    @cached_property
    def words(self) -> frozenset[str]:
        """Every word that is known."""
        guards = (getattr(self.guards, name) for name in Guards.model_fields)
        return frozenset(
            self.phrases.words.union(self.pine_phrases.words, self.plans.words, self.small, *guards)
        )

    @property
    def _passed(self) -> frozenset[str]:
        """What may stand beside a phrase that is to stand alone."""
        guards = self.guards
        return guards.denied | guards.in_vain | guards.already | guards.now | guards.pronouns

    @property
    def _idle(self) -> ByMeaning:
        return {"idle": self.language.idle}

    def _phrases(self, *tables: ByMeaning, passed: Collection[str] = ()) -> Phrases:
        return Phrases(tables, self.language.sets, self.small, passed)

    def _facts(self, *, pine: bool) -> list[ByMeaning]:
        """The phrases of facts; on a pine its own stages come first, so that they win over the same words."""
        said = self.language
        own = said.pine_stages if pine else {}
        taken = {phrase for phrases in own.values() for phrase in phrases}
        others = {
            code: tuple(one for one in phrases if one not in taken) for code, phrases in said.stages.items()
        }
        return [
            self.more,
            _done(said),
            _each("stage", own.items()),
            _each("stage", others.items()),
            _told(said),
        ]


@cache
def tongues() -> tuple[Tongue, ...]:
    """The languages the journal understands; the table of jobs calls them in English."""
    english, german = (language_in(shipped(f"{name}.toml")) for name in ("english", "german"))
    return Tongue("en", english, _jobs_by_name()), Tongue("de", german)


def _each(kind: str, phrases: Iterable[tuple[object, PhraseTexts]]) -> ByMeaning:
    return {f"{kind} {name}": texts for name, texts in phrases}


def _done(said: Language) -> ByMeaning:
    """What was done to a tree."""
    return {
        **_each("job", said.jobs.items()),
        **_each("words", said.job_words.items()),
        **_each("off", said.off.items()),
        **_each("remark", said.remarks.items()),
        "share": said.share_of_roots,
        "bend": said.bend,
    }


def _told(said: Language) -> ByMeaning:
    """What is told of a tree beside its stages and jobs."""
    return {
        **_each("state", said.states.items()),
        "far": said.from_afar,
        **_each("sign", said.signs.items()),
        **_each("season", said.season.items()),
        **_each("went", said.went.items()),
        "partial": said.partial,
        "pot": said.pot,
        "moved": said.moved,
        **_each("amount", said.amounts.items()),
    }


def _jobs_by_name() -> ByMeaning:
    """What jobs are called in the table of jobs."""
    by_name: dict[str, tuple[str, ...]] = {}
    for words, meant in JOB_WORDS.items():
        key = f"job {meant[0]}" if len(meant) == 1 else f"words {' '.join(words)}"
        by_name[key] = (*by_name.get(key, ()), _phrase_of_job(words))
    return by_name


def _phrase_of_job(words: Tokens) -> str:
    """A job's own words as a phrase: a noun says that it was done only where it stands alone."""
    text = " ".join(words)
    alone = text.endswith(_NOUN_ENDS) or text in _NOT_ALONE
    return f"^ {text} $" if alone else text
