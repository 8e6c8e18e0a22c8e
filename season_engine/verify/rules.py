"""By which rule each event of a backtest is foretold."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from season_engine.errors import GrowerError
from season_engine.facts import Progress
from season_engine.phenology.rule import Rule, catalogue_rule, fitted_rule
from season_engine.phenology.station_record import StationRecord
from season_engine.site import Season
from season_engine.species.catalogue import Catalogue
from season_engine.verify.backtest import known_until
from season_engine.verify.notes import BacktestNote, FittedHere, NearestStage, NoRule
from season_engine.verify.observations import Observations
from season_engine.verify.station_files import Event

FEWEST_TRAINED = 10  # dates of any station that a rule can be fitted on


@dataclass(frozen=True)
class Rules:
    """The rules, which of them were fitted here, and what is to be said of those and of what has none."""

    of_events: Mapping[Event, Rule]
    fitted: frozenset[Event]
    notes: tuple[BacktestNote, ...]


def rules_for(
    observations: Observations,
    train_until: int,
    catalogue: Catalogue,
    *,
    jobs: int = 1,
    progress: Progress | None = None,
) -> Rules:
    """The catalogue's rule where it has one that has seen no later year, else one fitted on those to then.

    What is fitted sees nothing of a later day than the last of `train_until`. Raises GrowerError where
    seasons are to be tested and no event has a rule. `progress` is told of the events fitted.
    """
    from joblib import Parallel, delayed

    known = {event: of_catalogue(event, catalogue) for event in observations.records}
    rules = {event: rule for event, rule in known.items() if rule and seen_until(rule) <= train_until}
    to_fit = [event for event in known if event not in rules]
    records = {event: known_until(observations.records[event], train_until) for event in to_fit}
    fits = Parallel(n_jobs=jobs, return_as="generator")
    fitted: dict[Event, Rule | None] = {}
    for event, rule in zip(to_fit, fits(delayed(_fitted)(one, records[one]) for one in to_fit), strict=True):
        fitted[event] = rule
        if progress:
            progress(len(fitted), len(to_fit))
    rules |= {event: rule for event, rule in fitted.items() if rule}
    tested = any(_tested(train_until, records) for records in observations.records.values())
    if tested and not rules:
        raise GrowerError(
            f"no event has a rule in the catalogue, or {FEWEST_TRAINED} dates in seasons with temperatures "
            f"that ended by {train_until}.",
            hint="Choose a later --train-until, or add earlier years.",
        )
    notes: list[BacktestNote] = [
        NearestStage(event, stage)
        for event, rule in rules.items()
        if event not in fitted and (stage := rule.of_event.bbch) not in (None, event.bbch)
    ]
    notes += [_note(event, known[event], rule, train_until) for event, rule in fitted.items()]
    in_order = {event: rules[event] for event in known if event in rules}
    return Rules(in_order, frozenset(rules) & set(fitted), tuple(notes))


def of_catalogue(event: Event, catalogue: Catalogue) -> Rule | None:
    """The catalogue's rule for an event; None where it has none."""
    species = catalogue.get(event.species)
    return catalogue_rule(species, event.bbch) if species else None


def seen_until(rule: Rule) -> int:
    """The last year of the dates that a rule is fitted on; 0 where it is fitted on none."""
    return max(marker.fitted_until or 0 for marker in rule.species.markers.values())


def _fitted(event: Event, records: Sequence[StationRecord]) -> Rule | None:
    """None for too few dates from the season's start on, from which a rule counts."""
    records = [
        replace(one, observed={year: day for year, day in one.observed.items() if day >= 0})
        for one in records
    ]
    if _with_weather(records) < FEWEST_TRAINED:
        return None
    return fitted_rule(event.species, event.bbch, records)


def _with_weather(records: Iterable[StationRecord]) -> int:
    return sum(
        Season(year, record.site.hemisphere).start >= record.series.first_day
        for record in records
        for year in record.observed
    )


def _tested(train_until: int, records: Iterable[StationRecord]) -> bool:
    return any(year >= train_until for record in records for year in record.observed)


def _note(event: Event, known: Rule | None, fitted: Rule | None, train_until: int) -> BacktestNote:
    until = seen_until(known) if known else None
    if fitted is None:
        return NoRule(event, until, train_until, FEWEST_TRAINED)
    return FittedHere(event, until, train_until)
