"""The backtest: forecasts of past seasons from what was known then, against what came and the calendar."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from season_engine.errors import GrowerError
from season_engine.phenology.forecast import Forecast, Forecaster, StationRecord
from season_engine.site import Season
from season_engine.verify.calendar import Calendar
from season_engine.verify.cases import Case
from season_engine.verify.observations import Observations
from season_engine.verify.scores import crps, score
from season_engine.verify.station_files import Event
from season_engine.weather.fitness import FEWEST_SEASONS

FEWEST_LOGGED = 5  # earlier observed seasons of a site that make a calendar
FEWEST_TRAINED = 10  # seasons of any station that a forecaster can be trained on
STATIONS_TOGETHER = 4  # handled in one go by a process

Train = Callable[[Sequence[StationRecord], int], Forecaster]
Progress = Callable[[int, int], object]  # stations done, of all


@dataclass(frozen=True)
class Backtest:
    """All cases, and what was left out."""

    train_until: int
    cases: tuple[Case, ...]
    notes: tuple[str, ...] = ()


def backtest(
    observations: Observations,
    train_until: int,
    lead_weeks: Sequence[float],
    train: Train,
    *,
    log_years: int | None = None,
    jobs: int = 1,
    progress: Progress | None = None,
) -> Backtest:
    """Train on the seasons that had ended by the last day of `train_until`, forecast all later ones.

    `train` sees nothing of a later day. A forecast may learn from the site's own dates of the last
    `log_years` noted seasons before it (None: all); the calendar has them all. `jobs` processes share
    the work; `progress` is told of stations done. Raises GrowerError where nothing can be trained.
    """
    from joblib import Parallel, delayed

    if not any(_seasons_after(train_until, records) for records in observations.records.values()):
        return Backtest(train_until, (), observations.notes)
    known = {event: known_until(records, train_until) for event, records in observations.records.items()}
    enough = [event for event in known if _seasons_with_weather(known[event]) >= FEWEST_TRAINED]
    notes = [*observations.notes, *(_too_few(event, train_until) for event in known if event not in enough)]
    if not enough:
        raise _too_few_of_any(train_until)
    with Parallel(n_jobs=jobs, return_as="generator") as parallel:
        trained = list(parallel(delayed(_trained)(train, known[event], train_until) for event in enough))
        pieces = [
            (event, forecaster, part)
            for event, forecaster in zip(enough, trained, strict=True)
            if not isinstance(forecaster, GrowerError)
            for part in _parts(observations.records[event])
        ]
        failures = {e: one for e, one in zip(enough, trained, strict=True) if isinstance(one, GrowerError)}
        notes += [f"{event.species} {event.bbch:02d}: left out, {one}" for event, one in failures.items()]
        if not pieces:
            raise next(iter(failures.values()))
        work = (delayed(_cases)(*piece, train_until, lead_weeks, log_years) for piece in pieces)
        cases: list[Case] = []
        done, total = 0, sum(len(part) for _, _, part in pieces)
        for (_, _, part), found in zip(pieces, parallel(work), strict=True):
            cases += found
            done += len(part)
            if progress:
                progress(done, total)
    return Backtest(train_until, tuple(cases), tuple(notes))


def known_until(records: Iterable[StationRecord], train_until: int) -> list[StationRecord]:
    """Records as they stood on the last day of a year: seasons that had ended, temperatures up to then."""
    last_day = dt.date(train_until, 12, 31)
    cut = [
        replace(
            record,
            series=record.series.cut(last_day),
            observed={year: day for year, day in record.observed.items() if year < train_until},
        )
        for record in records
    ]
    return [record for record in cut if record.observed and len(record.series)]


def _too_few_of_any(train_until: int) -> GrowerError:
    return GrowerError(
        f"no event has {FEWEST_TRAINED} dates in seasons with temperatures that ended by {train_until}.",
        hint="Choose a later --train-until, or add earlier years.",
    )


def _seasons_after(train_until: int, records: Iterable[StationRecord]) -> bool:
    return any(year >= train_until for record in records for year in record.observed)


def _trained(train: Train, records: Sequence[StationRecord], train_until: int) -> Forecaster | GrowerError:
    """What was learnt of one event, or why nothing could be: the others may still be."""
    try:
        return train(records, train_until)
    except GrowerError as error:
        return error


def _seasons_with_weather(records: Iterable[StationRecord]) -> int:
    return sum(
        Season(year, record.site.hemisphere).start >= record.series.first_day
        for record in records
        for year in record.observed
    )


def _too_few(event: Event, train_until: int) -> str:
    return (
        f"{event.species} {event.bbch:02d}: left out, under {FEWEST_TRAINED} dates in seasons with "
        f"temperatures that ended by {train_until}."
    )


def _parts(records: Sequence[StationRecord]) -> Iterator[Sequence[StationRecord]]:
    for start in range(0, len(records), STATIONS_TOGETHER):
        yield records[start : start + STATIONS_TOGETHER]


def _cases(
    event: Event,
    forecaster: Forecaster,
    records: Iterable[StationRecord],
    train_until: int,
    lead_weeks: Sequence[float],
    log_years: int | None,
) -> list[Case]:
    return [
        case
        for record in records
        for case in station_cases(event, forecaster, record, train_until, lead_weeks, log_years)
    ]


def station_cases(
    event: Event,
    forecaster: Forecaster,
    record: StationRecord,
    train_until: int,
    lead_weeks: Sequence[float],
    log_years: int | None = None,
) -> Iterator[Case]:
    """All forecasts for one station's observed seasons after the training, scored.

    A season needs five logged ones and five years of temperatures before it. What is past at issue, or would
    be issued before the season begins, is no case.
    """
    whole_log = forecaster.at(record)
    for year, day in sorted(record.observed.items()):
        earlier = {season: noted for season, noted in sorted(record.observed.items()) if season < year}
        log = list(earlier.values())
        season = Season(year, record.site.hemisphere)
        if year < train_until or len(log) < FEWEST_LOGGED or _years_before(season, record) < FEWEST_SEASONS:
            continue
        calendar = Calendar.of(log)
        at_site = whole_log if log_years is None else whole_log.with_notes(_newest(earlier, log_years))
        for lead in lead_weeks:
            issued = calendar.issue_day(lead)
            if 0 <= issued < day and season.date_of(issued) <= record.series.last_day:
                yield _case(event, season, record, lead, issued, at_site.forecast(year, issued), calendar)
        if season.date_of(364) <= record.series.last_day:
            yield _case(event, season, record, None, None, at_site.whole_season(year), calendar)


def _newest(noted: Mapping[int, float], count: int) -> dict[int, float]:
    return dict(sorted(noted.items(), reverse=True)[:count])


def _years_before(season: Season, record: StationRecord) -> float:
    return (season.start - record.series.first_day).days / 365.0


def _case(
    event: Event,
    season: Season,
    record: StationRecord,
    lead: float | None,
    issued: int | None,
    forecast: Forecast,
    calendar: Calendar,
) -> Case:
    day = record.observed[season.year]
    calendar_crps = crps(calendar.forecast(issued), day)
    return Case(
        subject=event,
        site=record.site.name,
        season=season,
        lead_weeks=lead,
        issued_day=issued,
        day=day,
        scored=score(forecast, day),
        calendar_day=calendar.day(issued),
        calendar_crps=calendar_crps,
    )
