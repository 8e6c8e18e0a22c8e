"""The words and phrases of a language; `english.toml` and `german.toml` say what each key means."""

from __future__ import annotations

from collections.abc import Collection
from typing import Literal, Self

from pydantic import Field, model_validator

from season_engine.files.spelling import tokens_of
from season_engine.files.toml_faults import checked, wrong
from season_engine.files.toml_lines import TomlText, packaged
from season_engine.note import Amount, Off, Sign, State
from season_engine.species.jobs import JOB_WORDS, JOBS
from season_engine.tables.known import Table
from season_engine.workspace.diary.tokens import Words

PhraseTexts = tuple[str, ...]


class Guards(Table):
    """Words by which a clause is a plan, a question, a denial, or about other people's trees."""

    plan: Words
    denied: Words
    in_vain: Words
    in_vain_denied: Words
    asks: Words
    others: Words
    agents: Words
    habit: Words
    condition: Words
    subordinate: Words
    joins: Words
    turns: Words
    too: Words
    pronouns: Words
    articles: Words
    determiners: Words
    everything: Words
    rest: Words
    plural: Words
    compared: Words
    already: Words
    now: Words
    yard: Words
    known: Words


class Spoiled(Table):
    """Facts that aren't taken where one of some words, and one of others where there are any, is near."""

    facts: frozenset[str]  # such as ``stage 97``
    words: Words
    beside: Words = frozenset()
    near: bool = False  # in the clause itself, not in its line

    def by(self, around: Collection[str]) -> bool:
        """Whether the words around spoil them."""
        return not self.words.isdisjoint(around) and (not self.beside or not self.beside.isdisjoint(around))


class Caution(Table):
    """Words by which a fact is not sure."""

    filler: Words
    leavings: Words
    big: Words
    little: Words
    spoiled: tuple[Spoiled, ...]


class DayWords(Table):
    """How a language tells days."""

    long_ago: Words
    weekdays: tuple[Words, ...] = Field(min_length=7, max_length=7)
    numbers: tuple[Words, ...]
    days_ago: dict[str, int]
    before_number: str = ""
    after_number: str = ""
    vague: PhraseTexts
    vague_small: Words
    days: Words
    about: Words
    no_day: Words
    to_come: Words
    lead: Words
    parts: Words
    last: Words


class Language(Table):
    """What may be said of trees in a language, by what it means."""

    small: Words
    plan_phrases: PhraseTexts
    corrections: PhraseTexts
    answers: PhraseTexts
    idle: PhraseTexts
    share_of_roots: PhraseTexts
    bend: PhraseTexts
    from_afar: PhraseTexts
    partial: PhraseTexts
    pot: PhraseTexts
    moved: PhraseTexts
    guards: Guards
    caution: Caution
    days: DayWords
    sets: dict[str, Words]
    jobs: dict[str, PhraseTexts]
    job_words: dict[str, PhraseTexts]
    off: dict[Off, PhraseTexts]
    remarks: dict[Literal["section", "untouched", "stinks"], PhraseTexts]
    stages: dict[int, PhraseTexts]
    pine_stages: dict[int, PhraseTexts]
    states: dict[State, PhraseTexts]
    signs: dict[Sign, PhraseTexts]
    season: dict[Literal["good", "bad"], PhraseTexts]
    went: dict[Literal["well", "badly"], PhraseTexts]
    amounts: dict[Amount, PhraseTexts]

    @model_validator(mode="after")
    def _of_jobs_there_are(self) -> Self:
        for job in self.jobs:
            if job not in JOBS:
                raise wrong("there is no such job", at=("jobs", job))
        for words in self.job_words:
            if tokens_of(words) not in JOB_WORDS:
                raise wrong("no job is called so", at=("job_words", words))
        return self


def language_in(toml: TomlText) -> Language:
    """The language of a file; raises InputErrors with all that is wrong in it."""
    return checked(toml, Language)


def shipped(name: str) -> TomlText:
    """A file of words that the package holds, such as ``english.toml``."""
    return packaged(f"workspace/diary/{name}")
