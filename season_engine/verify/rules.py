"""By which rule each event of a backtest is foretold."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from season_engine.errors import GrowerError
from season_engine.phenology.rule import Rule, catalogue_rule, fitted_rule
from season_engine.phenology.station_record import StationRecord
from season_engine.site import Season
from season_engine.species.catalogue import Catalogue
from season_engine.verify.backtest import known_until
from season_engine.verify.observations import Observations
from season_engine.verify.station_files import Event

FEWEST_TRAINED = 10  # dates of any station that a rule can be fitted on


@dataclass(frozen=True)
class Rules:
    """The rules, and what is to be said of them and of events that have none."""

    of_events: Mapping[Event, Rule]
    notes: tuple[str, ...]


def rules_for(observations: Observations, train_until: int, catalogue: Catalogue, *, jobs: int = 1) -> Rules:
    """The catalogue's rule where it has one that has seen no later year, else one fitted on those to then.

    What is fitted sees nothing of a later day than the last of `train_until`. Raises GrowerError where
    seasons are to be tested and no event has a rule.
    """
    from joblib import Parallel, delayed

    of_catalogue = {event: _known(event, train_until, catalogue) for event in observations.records}
    to_fit = [event for event, rule in of_catalogue.items() if rule is None]
    known = {event: known_until(observations.records[event], train_until) for event in to_fit}
    fits = Parallel(n_jobs=jobs)(delayed(_fitted)(event, known[event]) for event in to_fit)
    fitted = dict(zip(to_fit, fits, strict=True))
    rules = {
        event: found
        for event, rule in of_catalogue.items()
        if isinstance(found := rule or fitted[event], Rule)
    }
    tested = any(_tested(train_until, records) for records in observations.records.values())
    if tested and not rules:
        raise GrowerError(
            f"no event has a rule in the catalogue, or {FEWEST_TRAINED} dates in seasons with temperatures "
            f"that ended by {train_until}.",
            hint="Choose a later --train-until, or add earlier years.",
        )
    return Rules(rules, tuple(_note(event, rule, train_until) for event, rule in fitted.items()))


def _known(event: Event, train_until: int, catalogue: Catalogue) -> Rule | None:
    species = catalogue.get(event.species)
    rule = catalogue_rule(species, event.bbch) if species else None
    if rule is None:
        return None
    seen = [marker.fitted_until for marker in rule.species.markers.values() if marker.fitted_until]
    return rule if all(until <= train_until for until in seen) else None


def _fitted(event: Event, records: Sequence[StationRecord]) -> Rule | None:
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


def _note(event: Event, rule: Rule | None, train_until: int) -> str:
    what = f"{event.species} {event.bbch:02d}"
    if rule is None:
        return (
            f"{what}: left out, the catalogue has no rule for it, and there are under {FEWEST_TRAINED} dates "
            f"in seasons with temperatures that ended by {train_until}."
        )
    return f"{what}: no rule of the catalogue knows nothing after {train_until}; fitted on the dates to then."
