"""What `species --json` and `jobs --json` print."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from pydantic import Field

from season_engine.documents.model import Document, Facts
from season_engine.documents.values import Chance, ChanceOrNone, Count, Date, Some
from season_engine.facts import Text
from season_engine.note import Amount
from season_engine.species.catalogue import Species
from season_engine.species.jobs import JOBS, Rank
from season_engine.species.schema import Severity
from season_engine.tree import Origin, Size
from season_engine.windows.usual_dates import SpeciesTold, UsualAt, WindowTold
from season_engine.words.naming import job_name
from season_engine.words.prose import plain


class UsualDates(Document):
    """Middle dates at a site over its past seasons; null where most don't have the window."""

    site: str
    opens: Date | None
    closes: Date | None
    years: Count


class SpeciesWindow(Document):
    """When one job may be done on a species."""

    job: str
    window: str
    school: str = Field(description="Where growers disagree: which of them work so; else empty.")
    size: Size | None = Field(description="Of the trees it is for; null for all.")
    severity: Severity | None = Field(description="Of root work.")
    opens: tuple[str, ...] = Field(description="All of which have to have come.")
    closes: tuple[str, ...] = Field(description="The first of which closes it.")
    usual: tuple[UsualDates, ...] = Field(description="At the sites of the workspace.")


class KnownFrom(Document):
    """How many rules for dates and harm rest on what."""

    published: Count
    fit: Count
    practice: Count
    memory: Count


class OwnRuleDocument(Document):
    """A rule for a date in a file of the grower's own."""

    marker: str
    file: str
    line: Some | None = Field(description="Where it stands in place of another; null where it is new.")


class OwnChangesDocument(Document):
    """What the grower's own files and choices change; windows by job and name."""

    new: bool = Field(description="Whether the program's catalogue lacks the species.")
    rules: tuple[OwnRuleDocument, ...]
    windows_added: tuple[str, ...]
    windows_changed: tuple[str, ...]
    windows_left_out: tuple[str, ...]
    other_schools: tuple[str, ...] = Field(description="Windows of schools that the grower doesn't follow.")


class SpeciesDocument(Document):
    """A species with all that is told of it."""

    species: str
    group: str
    common: tuple[str, ...]
    synonyms: tuple[str, ...]
    trees: tuple[str, ...] = Field(description="Ids of the grower's.")
    poison: str = Field(description="Its poisonous parts; empty where none is known.")
    skin: str = Field(description="What burns or irritates skin and eyes.")
    windows: tuple[SpeciesWindow, ...]
    known_from: KnownFrom
    own: OwnChangesDocument


class SpeciesName(Document):
    """A species by its names alone."""

    species: str
    group: str
    common: tuple[str, ...]
    synonyms: tuple[str, ...]


class SpeciesList(Document):
    """Species: all, or those that a word may mean, by name; of a few also what is known."""

    demo: bool
    invented_weather: bool = Field(description="Whether dates rest on invented weather.")
    names: tuple[SpeciesName, ...]
    species: tuple[SpeciesDocument, ...] = Field(description="Empty where they are many.")


class JobDocument(Document):
    """A job, whatever the species."""

    job: str
    words: str
    rank: Rank = Field(
        description="`bench`: a tree on the bench for hours; `round`: small care that comes again."
    )
    new_tree: bool = Field(description="Whether it makes or brings in a tree.")
    amount: Amount = Field(description="How much of a tree's strength it takes as a rule.")
    helps: bool = Field(description="Whether it costs a tree no strength.")
    roots: bool
    floor: Chance = Field(description="The odds it wants before its window is called open.")
    floor_sheltered: ChanceOrNone
    origins: tuple[Origin, ...] = Field(description="Of the trees it is for; empty for all.")
    also: tuple[str, ...] = Field(description="Other words for it.")


class JobsDocument(Document):
    """Every job."""

    jobs: tuple[JobDocument, ...]


def species_list(
    names: Iterable[Species], told: Iterable[SpeciesTold], *, demo: bool, invented: bool
) -> SpeciesList:
    """What ``species --json`` prints."""
    facts = Facts(
        demo=demo,
        invented_weather=invented,
        names=[Facts(one, species=one.name) for one in names],
        species=[_species(one) for one in told],
    )
    return SpeciesList.model_validate(facts)


def _species(told: SpeciesTold) -> Facts:
    species, counted = told.species, told.species.known_from
    return Facts(
        species,
        species=species.name,
        trees=told.trees,
        poison=plain(species.poison.parts) if species.poison else "",
        skin=plain(species.skin.parts) if species.skin else "",
        windows=[_window(one) for one in told.windows],
        known_from={tag: counted[tag] for tag in ("published", "fit", "practice", "memory")},
        own=told.own,
    )


def _window(told: WindowTold) -> Facts:
    return Facts(
        told.window,
        window=told.name,
        opens=_plain(told.opens),
        closes=_plain(told.closes),
        usual=[_usual(one) for one in told.usual],
    )


def _usual(at: UsualAt) -> Facts:
    dates = at.dates
    return Facts(site=at.site, opens=dates.opens_p50, closes=dates.closes_p50, years=dates.years)


def _plain(labels: Sequence[Text]) -> list[str]:
    return [plain(one) for one in labels]


def jobs_document() -> JobsDocument:
    """What ``jobs --json`` prints."""
    jobs: Mapping[str, object] = {
        name: Facts(job, job=name, words=job_name(name), also=(*job.noted_as, *job.called))
        for name, job in JOBS.items()
    }
    return JobsDocument.model_validate(Facts(jobs=list(jobs.values())))
