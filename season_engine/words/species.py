"""A species and a job told by themselves; as all that is said of files, in English."""

from __future__ import annotations

from collections.abc import Iterator

from season_engine.facts import Day, Text
from season_engine.species.catalogue import Species
from season_engine.species.jobs import Job
from season_engine.species.own_changes import OwnChanges
from season_engine.windows.assessment import Usual
from season_engine.windows.usual_dates import SpeciesTold, UsualAt, WindowTold
from season_engine.words.markers import known_text
from season_engine.words.prose import capital, counted, odds, plain, sentence
from season_engine.words.speech import quantity, said


def names_line(species: Species) -> str:
    """Every name it goes by, the botanical one first."""
    return f"{species.name}: {', '.join((*species.common, *species.synonyms))}"


def kind_sentences(told: SpeciesTold) -> Iterator[str]:
    """Its group, the grower's trees of it, and what of it harms people."""
    species = told.species
    trees = f" Yours: {', '.join(map(plain, told.trees))}." if told.trees else ""
    yield f"Group: {species.group}.{trees}"
    for lead, harm in (("Poisonous", species.poison), ("Burns or irritates skin and eyes", species.skin)):
        if harm:
            yield sentence(f"{lead}: {said(harm.parts)}")


def window_sentences(told: WindowTold) -> str:
    """What opens and closes a window, and when it usually is."""
    opens, closes = _joined("and", told.opens), _joined("or", told.closes)
    usual = "; ".join(_usually(one) for one in told.usual)
    ends = f"opens once {opens}; closes once {closes}."
    return f"{ends} {capital(usual)}." if usual else ends


def _joined(by: str, labels: tuple[Text, ...]) -> str:
    """Clauses, which may have commas of their own."""
    *others, last = map(plain, labels)
    return f"{'; '.join(others)}; {by} {last}" if others else last


def _usually(at: UsualAt) -> str:
    dates = _span(at.dates)
    return (
        f"usually {dates} at {plain(at.site)}" if dates else f"most seasons at {plain(at.site)} don't have it"
    )


def _span(usual: Usual) -> str:
    if usual.opens_p50 is None or usual.closes_p50 is None:
        return ""
    return f"{quantity(Day(usual.opens_p50))} to {quantity(Day(usual.closes_p50))}"


def rests_on(species: Species) -> str:
    """What its numbers rest on, counted."""
    found = species.known_from
    parts = [f"{known_text(tag)} ({count})" for tag, count in found.most_common()]
    return f"Its {counted(found.total(), 'rule')} for dates and harm rest on: {'; '.join(parts)}."


def own_sentences(own: OwnChanges) -> Iterator[str]:
    """What the grower's own files and choices change."""
    if own.new:
        yield "It is a species of your own."
    replaced = [f"{one.marker} ({one.file}, line {one.line})" for one in own.rules if one.line]
    added = [f"{one.marker} ({one.file})" for one in own.rules if not one.line]
    for told, what in (
        ("Your own rules, in place of ours", replaced),
        ("Your own rules", added),
        ("Windows you changed", own.windows_changed),
        ("Windows you added", own.windows_added),
        ("Windows you left out", own.windows_left_out),
        ("Of a school you don't follow", own.other_schools),
    ):
        if what:
            yield f"{told}: {'; '.join(what)}."


def job_line(name: str, job: Job) -> str:
    """What a job is, what it takes of a tree, and the odds it wants."""
    words = plain(Text(job.words))
    called = "" if words == name.replace("-", " ") else f"{words}; "
    takes = "costs nothing" if job.helps else f"takes {_MUCH[job.amount]}"
    sheltered = f" ({odds(job.floor_sheltered)} under cover)" if job.floor_sheltered else ""
    return f"{called}{takes}, wants {odds(job.floor)}{sheltered}"


_MUCH = {"light": "little", "medium": "some", "heavy": "much"}  # of a tree's strength
JOBS_NOTE = (
    "What each takes of a tree's strength, and the odds that its window is called open at. Other words for "
    "them are understood too, such as pulling needles. When a job may be done: season-engine species NAME"
)
