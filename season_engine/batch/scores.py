"""How good the dates would have been at many sites with observations: the backtest, block by block."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import astuple, dataclass, fields
from typing import TYPE_CHECKING, Any

import numpy as np

from season_engine.batch.asked import catalogue_here
from season_engine.batch.folder import RunFolder
from season_engine.batch.sources.source import Readings
from season_engine.batch.stamp import refuse_other_program
from season_engine.batch.table import parquet_bytes
from season_engine.batch.work import Done, Task, sites_and_readings
from season_engine.errors import GrowerError
from season_engine.phenology.rule import Rule
from season_engine.site import Season, Site
from season_engine.species.catalogue import Catalogue
from season_engine.verify.backtest import station_cases
from season_engine.verify.cases import Case
from season_engine.verify.observations import observations_of
from season_engine.verify.rules import of_catalogue, seen_until
from season_engine.verify.scores import Scored
from season_engine.verify.station_files import Event, Sighting
from season_engine.weather.hemisphere import told, warmest_across_the_equator
from season_engine.weather.quality.readings import both_read
from season_engine.weather.series import DailySeries

if TYPE_CHECKING:
    import pyarrow as pa

SCORES = tuple(field.name for field in fields(Scored))


@dataclass(frozen=True, slots=True)
class Scoring:
    """What is forecast: seasons that end after a year, so many weeks before the usual date."""

    train_until: int
    lead_weeks: tuple[float, ...]
    log_years: int | None = None


@dataclass(frozen=True, slots=True)
class ScoreTask(Task):
    """One block of sites, and what was seen there."""

    sightings: tuple[Sighting, ...]
    scoring: Scoring


def usable_rules(events: Iterable[Event], train_until: int, catalogue: Catalogue) -> dict[Event, Rule]:
    """The catalogue's rules for events, those alone that have seen no date of a later year."""
    known = {event: of_catalogue(event, catalogue) for event in sorted(set(events))}
    return {event: rule for event, rule in known.items() if rule and seen_until(rule) <= train_until}


def score_block(task: Task) -> Done:
    """Forecast the seasons of one block, and write what came of it; raises as `do_block`."""
    assert isinstance(task, ScoreTask)
    refuse_other_program(task.stamp)
    rows = [*_rows(task)]
    RunFolder(task.out).write_block(task.number, parquet_bytes(rows, schema(), task.stamp))
    return Done(task.number, len(task.sites))


def schema() -> pa.Schema:
    """Columns of a block of cases and their types."""
    import pyarrow as pa

    text, number, whole = pa.string(), pa.float64(), pa.int64()
    columns = [
        ("site", text),
        ("species", text),
        ("bbch", whole),
        ("season_year", whole),
        ("hemisphere", text),
    ]
    columns += [("lead_weeks", number), ("issued_day", whole), ("day", number)]
    columns += [(name, number) for name in (*SCORES, "calendar_day", "calendar_crps")]
    return pa.schema([*columns, ("refusal", text)])


def cases_in(table: pa.Table) -> Iterator[Case]:
    """The cases of blocks read back."""
    for row in table.to_pylist():
        if row["refusal"] is None:
            yield _case(row)


def _rows(task: ScoreTask) -> Iterator[dict[str, Any]]:
    sites, readings = sites_and_readings(task)
    weather: dict[str, DailySeries] = {}
    for site, read in zip(sites, readings, strict=True):
        found = _fit(site, read, task)
        if isinstance(found, str):
            yield {"site": site.name, "refusal": found}
        else:
            weather[site.name] = found
    by_name = {site.name: site for site in sites if site.name in weather}
    sightings = [one for one in task.sightings if one.site in by_name]
    observed = observations_of(by_name, weather, sightings, task.scoring.train_until)
    rules = usable_rules(observed.records, task.scoring.train_until, catalogue_here())
    asked = task.scoring.train_until, task.scoring.lead_weeks, task.scoring.log_years
    for event, rule in rules.items():
        for record in observed.records[event]:
            yield from (_row(case) for case in station_cases(event, rule, record, *asked))


def _fit(site: Site, read: Readings, task: ScoreTask) -> DailySeries | str:
    """A site's readings up to the run's day, or why they are of no use."""
    if isinstance(read.series, GrowerError):
        return str(read.series)
    raw = read.series.cut(task.asked.on)
    whole = both_read(np.array([raw.tmin_c, raw.tmax_c]))
    if warmest := warmest_across_the_equator(site, raw, whole):
        return " ".join(told(site, read.origin.name, warmest))
    return raw


def _row(case: Case) -> dict[str, Any]:
    assert isinstance(case.subject, Event)
    return {
        "site": case.site,
        "species": case.subject.species,
        "bbch": case.subject.bbch,
        "season_year": case.season.year,
        "hemisphere": case.season.hemisphere,
        "lead_weeks": case.lead_weeks,
        "issued_day": case.issued_day,
        "day": case.day,
        **dict(zip(SCORES, astuple(case.scored), strict=True)),
        "calendar_day": case.calendar_day,
        "calendar_crps": case.calendar_crps,
    }


def _case(row: Mapping[str, Any]) -> Case:
    return Case(
        subject=Event(row["species"], row["bbch"]),
        site=row["site"],
        season=Season(row["season_year"], row["hemisphere"]),
        lead_weeks=row["lead_weeks"],
        issued_day=row["issued_day"],
        day=row["day"],
        scored=Scored(*(row[name] for name in SCORES)),
        calendar_day=row["calendar_day"],
        calendar_crps=row["calendar_crps"],
    )
