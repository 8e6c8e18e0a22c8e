"""Rules fitted on many yards' files: a made truth found again, real stations, files with something wrong."""

from __future__ import annotations

import shutil
import tempfile
from dataclasses import replace
from functools import cache, partial
from pathlib import Path

import numpy as np
import pytest

from season_engine.documents.fitted_catalogue import fitted_toml
from season_engine.documents.shared_yard import shared_zip
from season_engine.errors import GrowerError, InputErrors
from season_engine.files.toml_lines import TomlText
from season_engine.phenology.rule import Rule, catalogue_rule, days_off
from season_engine.phenology.station_record import StationRecord
from season_engine.species.catalogue import Catalogue, load_catalogue
from season_engine.verify.backtest import known_until
from season_engine.verify.pooled_fit import EventFit, fit_event, fit_pool, of_few_yards
from season_engine.verify.pooled_notes import NotInCatalogue, OutsideWeather, Pool, SameYard, pooled
from season_engine.verify.station_files import Event
from season_engine.weather.checks import check_and_fill
from season_engine.weather.series import DailySeries
from season_engine.weather.sources.origins import GivenOrigin
from tests.once import once_a_run
from tests.phenology.stations import LAST_TRAINED, TWELVE, twelve
from tests.verify.exports import given_yard, write_exports
from tests.verify.simple import made_records, season_softened

BUDS = Event("Acer palmatum", 1)  # the made species goes by its name
SD_DAYS = 2.5
YARDS, SEASONS = 6, 8
CHERRY = Event("Prunus x yedoensis", 61)
EVERY_FIFTH = 5  # year of a station, to be quick


@cache
def made() -> tuple[list[StationRecord], dict[tuple[str, int], float]]:
    """Yards of a known rule and error; the last is kept from fitting and has all its years."""
    make = partial(made_records, YARDS + 1, need=40.0, sd_days=SD_DAYS, levels=season_softened)
    records, truth = once_a_run("made yards", make)
    records = [replace(one, series=_mended(one.series)) for one in records]
    some = [_last(record, SEASONS) for record in records[:YARDS]]
    return [*some, records[YARDS]], truth


def _mended(series: DailySeries) -> DailySeries:
    """As a yard has them: the invented readings have sensors that stand still."""
    return check_and_fill(series, source=GivenOrigin("test")).series


def _last(record: StationRecord, seasons: int) -> StationRecord:
    years = sorted(record.observed)[-seasons:]
    return replace(record, observed={year: record.observed[year] for year in years})


def exports(folder: Path, records: list[StationRecord] | None = None) -> list[Path]:
    some = made()[0][:YARDS] if records is None else records
    return write_exports(folder, {f"from-{one.site.name}": given_yard(one, BUDS) for one in some})


def pool_of(*files: Path, train_until: int | None = None) -> Pool:
    return pooled(files, load_catalogue(), train_until)


@cache
def fitted() -> EventFit:
    return once_a_run("fit of made yards", lambda: _fit(made()[0][:YARDS]))


def _fit(records: list[StationRecord]) -> EventFit:
    return fit_event(BUDS, load_catalogue().find(BUDS.species), records)


def rule_of(text: str, event: Event) -> Rule:
    """As a grower has it who names the file in season.toml."""
    kind = Catalogue([TomlText("fitted.toml", text)]).find(event.species)
    rule = catalogue_rule(kind, event.bbch)
    assert rule is not None and kind.files[rule.marker] == "fitted.toml"
    return rule


# --- a made truth ------------------------------------------------------------------------------------------


def test_a_made_truth_is_found_again_and_dates_a_yard_it_never_saw() -> None:
    fit = fitted()
    assert (fit.outcome, fit.yards, fit.dates, fit.slips) == ("fitted", YARDS, YARDS * SEASONS, ())
    rule = rule_of(fitted_toml([fit]), BUDS)
    records, truth = made()
    off = days_off(rule, records[YARDS : YARDS + 1])
    assert off.days.size > 20 and np.isfinite(off.days).all()
    site = records[YARDS].site.name
    dated = np.array([records[YARDS].observed[year] for year in off.years.tolist()]) - off.days
    from_truth = dated - np.array([truth[site, year] for year in off.years.tolist()])
    assert np.sqrt((from_truth**2).mean()) < SD_DAYS
    assert abs(from_truth.mean()) < SD_DAYS / 2


def test_the_errors_told_are_those_of_yards_left_out() -> None:
    """The made error is normal: its mean size is 0.8 of its standard deviation."""
    errors, marker = fitted().errors, fitted().marker
    assert 0.6 * SD_DAYS < errors.left_out < 1.3 * SD_DAYS
    assert errors.left_out < errors.mean_date < 10 and errors.left_out < errors.catalogue
    assert errors.catalogue_better is False
    assert fitted().within <= errors.left_out
    assert 0.8 * SD_DAYS < marker.year_sd_days <= marker.sd_days < 1.6 * SD_DAYS


@pytest.mark.parametrize("yards", [2, 5, 40])
def test_an_error_seen_at_few_yards_is_told_wider(yards: int) -> None:
    """Of made normal yards: what one more is off from the mean of the others, in standard deviations."""
    draws = np.random.default_rng(3).normal(size=(40_000, yards + 1))
    one_more = draws[:, -1] - draws[:, :-1].mean(axis=1)
    spread = np.sqrt(((draws[:, :-1] - draws[:, :-1].mean(axis=1, keepdims=True)) ** 2).mean(axis=1))
    assert of_few_yards(yards) == pytest.approx(one_more.std() / np.sqrt((spread**2).mean()), rel=0.02)


def test_what_is_written_is_what_was_fitted() -> None:
    fit = fitted()
    written = rule_of(fitted_toml([fit]), BUDS).of_event
    assert (written.provenance, written.bbch, written.fitted_until) == ("fit", 1, 2025)
    assert written.label == load_catalogue().find(BUDS.species).markers[fit.name].label
    assert f"in {YARDS} yards, years to 2025, n = {fit.dates}; " in written.source.template
    for key in ("sd_days", "year_sd_days"):
        assert getattr(written, key) == pytest.approx(getattr(fit.marker, key), abs=0.051)
    for one, other in zip(written.rules, fit.marker.rules, strict=True):
        assert one.need == pytest.approx(other.need, rel=1e-3)
        assert one.model_copy(update={"need": other.need}) == other


def test_files_and_records_are_fitted_alike(tmp_path: Path) -> None:
    """Rounding to a tenth of a degree, of place and of temperature, and gaps between seasons cost nothing."""
    found = pool_of(*exports(tmp_path))
    assert (found.yards, found.notes) == (YARDS, ())
    (records,) = found.records.values()
    before = {tuple(sorted(one.observed.items())) for one in made()[0][:YARDS]}
    assert {tuple(sorted(one.observed.items())) for one in records} == before
    rule = rule_of(fitted_toml([fitted()]), BUDS)
    of_files, of_records = (days_off(rule, some).days for some in (records, made()[0][:YARDS]))
    assert np.abs(of_files - of_records).max() <= 1.0  # a sum on the edge of a day
    assert np.mean(of_files != of_records) < 0.15


# --- real stations -----------------------------------------------------------------------------------------


@cache
def cherries() -> EventFit:
    return once_a_run("fit of cherries", _cherries)


def _cherries() -> EventFit:
    """Each of the twelve stations as a yard that gave a file with every fifth of its years to 2005."""
    yards = {}
    for record in known_until(twelve()[CHERRY.species], LAST_TRAINED):
        years = [year for year in sorted(record.observed) if year >= 1976][::EVERY_FIFTH]
        some = replace(record, observed={year: record.observed[year] for year in years})
        yards[record.site.name] = given_yard(some, CHERRY)
    with tempfile.TemporaryDirectory() as folder:
        (found,) = fit_pool(pool_of(*write_exports(Path(folder), yards)), load_catalogue())
    return found


def test_files_of_real_stations_give_a_rule_that_errs_about_as_the_catalogue_s() -> None:
    """First flowers in Japan (tests/data/japan/twelve): a fifth of the years fitted on, later ones dated."""
    fit = cherries()
    assert (fit.outcome, fit.yards, fit.slips) == ("fitted", 12, ())
    assert fit.errors.catalogue_better is None, "it has seen these very dates"
    assert fit.within == pytest.approx(fit.errors.catalogue, abs=0.4)
    later = [
        replace(one, observed={year: day for year, day in one.observed.items() if year >= LAST_TRAINED})
        for one in twelve()[CHERRY.species]
        if one.observed and max(one.observed) >= LAST_TRAINED
    ]
    ours = catalogue_rule(load_catalogue().find(CHERRY.species), CHERRY.bbch)
    of_files, of_twelve = (
        np.abs(days_off(rule, later).days).mean() for rule in (rule_of(fitted_toml([fit]), CHERRY), ours)
    )
    assert of_files == pytest.approx(of_twelve, abs=0.4)


def test_a_folder_of_stations_is_read_as_a_backtest_reads_it() -> None:
    found = pool_of(TWELVE, train_until=LAST_TRAINED)
    assert {event.species for event in found.records} == set(twelve()) and found.yards == 12
    known = known_until(twelve()[CHERRY.species], LAST_TRAINED)
    for one, other in zip(found.records[CHERRY], known, strict=True):
        inside = {year: day for year, day in other.observed.items() if year >= 1976}  # where weather begins
        assert one.observed == inside
        assert np.array_equal(one.series.tmin_c, other.series.tmin_c)
    (note,) = found.notes
    assert isinstance(note, OutsideWeather) and note.dates == 755


# --- what is left out --------------------------------------------------------------------------------------


def test_a_slip_in_one_yard_is_told_and_moves_nothing() -> None:
    """A month too late."""
    first, *others = made()[0][:YARDS]
    year = max(first.observed)
    spoilt = replace(first, observed={**first.observed, year: first.observed[year] + 31})
    fit = _fit([spoilt, *others])
    (slip,) = fit.slips
    assert (slip.yard, slip.date.year) == (first.site.name, year + 1)
    assert 21 < slip.days < 41
    assert fit.dates == YARDS * SEASONS - 1
    assert fit.errors.left_out == pytest.approx(fitted().errors.left_out, abs=0.3)
    assert fit.marker.sd_days == pytest.approx(fitted().marker.sd_days, abs=0.4)


def test_dates_that_go_by_the_calendar_alone_are_not_fitted() -> None:
    """Their mean date is the better rule."""
    random = np.random.default_rng(5)
    by_the_calendar = [
        replace(one, observed={year: float(random.integers(178, 183)) for year in one.observed})
        for one in made()[0][:YARDS]
    ]
    fit = _fit(by_the_calendar)
    assert (fit.outcome, fit.marker) == ("mean date", None)
    assert fit.errors.mean_date < 2 <= fit.errors.left_out
    assert fitted_toml([fit]) == ""


def test_a_rule_of_the_catalogue_that_does_as_well_is_left() -> None:
    """Dates that follow it to the day."""
    kind = load_catalogue().find(BUDS.species)
    ours = catalogue_rule(kind, BUDS.bbch)
    records = made()[0][:YARDS]
    off = days_off(ours, records)
    dated = {
        place: {year: records[place].observed[year] - days for year, days in zip(years, by, strict=True)}
        for place in range(YARDS)
        for years, by in [(off.years[off.station == place].tolist(), off.days[off.station == place])]
    }
    fit = _fit([replace(one, observed=dated[place]) for place, one in enumerate(records)])
    assert fit.outcome == "catalogue" and fit.errors.catalogue == 0.0


@pytest.mark.parametrize(
    ("event", "yards", "seasons", "later", "outcome"),
    [
        (BUDS, 1, 8, 0, "too few"),
        (BUDS, 2, 4, 0, "too few"),
        (Event("Acer palmatum", 5), 6, 8, 0, "no marker"),
        (Event("Acer palmatum", 95), 6, 8, 0, "not of spring"),
        (BUDS, 6, 8, 150, "not of spring"),
    ],
)
def test_what_is_not_fitted(event: Event, yards: int, seasons: int, later: int, outcome: str) -> None:
    records = [
        replace(cut, observed={year: day + later for year, day in cut.observed.items()})
        for cut in (_last(one, seasons) for one in made()[0][:yards])
    ]
    assert fit_event(event, load_catalogue().find(event.species), records).outcome == outcome


def test_a_yard_in_two_files_counts_once_and_the_fuller_file_is_kept(tmp_path: Path) -> None:
    paths = exports(tmp_path)
    again = write_exports(tmp_path / "later", {"again": given_yard(_last(made()[0][0], SEASONS - 3), BUDS)})
    copied = tmp_path / "copy.zip"
    shutil.copy(paths[1], copied)
    found = pool_of(*paths, *again, copied, paths[2])
    assert found.yards == YARDS
    assert found.notes == (
        SameYard("yard (copy.zip)", "yard (from-site-1.zip)"),
        SameYard("yard (again.zip)", "yard (from-site-0.zip)"),
    )
    alone = pool_of(*paths).records[BUDS]
    assert [one.observed for one in found.records[BUDS]] == [one.observed for one in alone]


def test_neighbours_with_one_station_s_weather_are_two_yards(tmp_path: Path) -> None:
    one = made()[0][0]
    other = replace(one, observed={year: day + 3 for year, day in one.observed.items()})
    files = write_exports(tmp_path, {"one": given_yard(one, BUDS), "other": given_yard(other, BUDS)})
    assert pool_of(*files).yards == 2


def test_unknown_species_and_unfinished_seasons_are_told(tmp_path: Path) -> None:
    one = made()[0][0]
    yard = given_yard(one, BUDS)
    unknown = replace(yard, notes=(*yard.notes, replace(yard.notes[0], species="Arbor ficta", bbch=61)))
    cut = replace(yard, weather=(*yard.weather[:-1], yard.weather[-1].cut(yard.notes[-1].date)))
    files = write_exports(
        tmp_path, {"unknown": unknown, "cut": replace(cut, site=replace(cut.site, name="b"))}
    )
    found = pool_of(*files[:1])
    assert found.notes == (NotInCatalogue(files[0], "Arbor ficta", 1),)
    assert pool_of(files[1]).notes == (OutsideWeather(files[1], 1),)
    assert len(pool_of(files[1]).records[BUDS][0].observed) == SEASONS - 1


def test_seasons_after_the_year_asked_for_have_no_part(tmp_path: Path) -> None:
    (file,) = exports(tmp_path, made()[0][:1])
    (record,) = pool_of(file, train_until=2021).records[BUDS]
    assert max(record.observed) == 2020 and record.series.last_day.year == 2021


def test_several_trees_are_one_yard_by_their_middle_date(tmp_path: Path) -> None:
    one = made()[0][0]
    (file,) = write_exports(tmp_path, {"three": given_yard(one, BUDS, trees=(-4, 0, 9))})
    (record,) = pool_of(file).records[BUDS]
    assert dict(record.observed) == dict(one.observed)


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("events.csv", "site,species,bbch,day\n", '"day" is not a known column'),
        ("events.csv", "site,species,bbch,date,sighting\nyard,Acer,1,2020-03-01,maybe\n", "sighting must be"),
        ("weather.csv", None, "does not exist"),
        ("weather.csv", "site,date,tmin,tmax\n", "no reading of any site"),
        ("sites.csv", "site,latitude,longitude\n", "no site"),
        ("sites.csv", "site,latitude,longitude\nyard,-51.0,11.0\n", "latitude"),
    ],
)
def test_faults_of_all_files_are_told_together(
    tmp_path: Path, name: str, text: str | None, said: str
) -> None:
    (good,) = exports(tmp_path, made()[0][:1])
    for folder in ("one", "two"):
        shutil.unpack_archive(good, tmp_path / folder)
        (tmp_path / folder / name).unlink()
        if text is not None:
            (tmp_path / folder / name).write_text(text, "utf-8")
    packed = shutil.make_archive(str(tmp_path / "packed"), "zip", tmp_path / "two")
    with pytest.raises(InputErrors) as error:
        pool_of(tmp_path / "one", good, Path(packed))
    for place in (tmp_path / "one", packed):
        lines = [one for one in str(error.value).splitlines() if one.startswith(f"{place}/{name}")]
        assert any(said in line for line in lines)


def test_what_is_no_export_is_told(tmp_path: Path) -> None:
    torn = tmp_path / "torn.zip"
    torn.write_bytes(shared_zip([given_yard(made()[0][0], BUDS)])[:400])
    with pytest.raises(GrowerError, match=r"torn.zip: This is neither a folder nor a \.zip"):
        pool_of(torn)
    with pytest.raises(GrowerError, match=r"none.zip: This file does not exist"):
        pool_of(tmp_path / "none.zip")
    with pytest.raises(GrowerError, match=r"sites.csv: This file does not exist"):
        pool_of(tmp_path)


def test_one_packed_with_its_folder_is_read(tmp_path: Path) -> None:
    (good,) = exports(tmp_path, made()[0][:1])
    shutil.unpack_archive(good, tmp_path / "in" / "mine")
    packed = Path(shutil.make_archive(str(tmp_path / "again"), "zip", tmp_path / "in"))
    assert pool_of(packed).records[BUDS][0].observed == pool_of(good).records[BUDS][0].observed


def test_processes_change_nothing() -> None:
    records = [_last(one, 5) for one in made()[0][:2]]
    pool = Pool({BUDS: tuple(records)}, 2, ())
    one, two = (fit_pool(pool, load_catalogue(), jobs=jobs) for jobs in (1, 2))
    assert one == two
