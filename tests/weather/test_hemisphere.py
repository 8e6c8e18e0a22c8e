"""A latitude without its minus: told by the time of year that is warmest, and no true place is refused."""

from __future__ import annotations

import datetime as dt
import shutil
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from season_engine.cli import main
from season_engine.site import Site
from season_engine.verify.station_files import read_sites
from season_engine.verify.weather_file import read_weather
from season_engine.weather.hemisphere import warmest_across_the_equator
from season_engine.weather.invented.climates import CLIMATES
from season_engine.weather.invented.series import demo_series
from season_engine.weather.quality.readings import both_read
from season_engine.weather.series import DailySeries
from tests.workspaces import SETTINGS, STATIONS, make_two_yards, make_workspace
from tests.yards import KAGOSHIMA, NAGANO, NORTH, SOUTH, TAKAYAMA, readings

TWELVE = STATIONS / "twelve"
MID_MONTH = np.arange(12) * 30.5 + 15

# Latitude and monthly means [degC], rounded, all from memory. Those that swing widely, not near the equator:
SWINGING = {
    "Verkhoyansk": (67.5, (-45, -42, -29, -12, 4, 13, 16, 11, 3, -14, -36, -43)),
    "Reykjavik": (64.1, (0, 0.4, 0.9, 3.4, 6.7, 9.6, 11.3, 10.8, 8, 4.7, 1.7, 0.1)),
    "Shetland": (60.1, (4, 3.8, 4.5, 6, 8, 10.3, 12.2, 12.6, 11, 8.7, 6.2, 4.5)),
    "Azores": (37.7, (14.5, 14.2, 14.6, 15.2, 16.7, 18.9, 21.2, 22.3, 21.4, 19.2, 17, 15.4)),
    "San Diego": (32.7, (14, 14.4, 15.2, 16.4, 17.7, 19, 21, 22, 21.5, 19.3, 16.4, 14)),
    "Madeira": (32.6, (16.5, 16.4, 16.8, 17.2, 18.3, 20.2, 21.9, 23, 23, 21.7, 19.4, 17.6)),
    "Delhi": (28.6, (14, 17, 22.5, 29, 33, 34, 31.5, 30, 29.5, 26, 20.5, 15.5)),
    "Tenerife": (28.5, (13, 13.3, 14, 14.3, 15.8, 17.5, 19.5, 20.5, 20.3, 18.8, 16.3, 14)),
    "Kolkata": (22.5, (20, 23, 28, 30, 31, 30, 29, 29, 29, 28, 24.5, 20.5)),
    "Mandalay": (22.0, (21.5, 24.5, 28.5, 32, 31.5, 30.5, 30.5, 30, 29.5, 28.5, 25.5, 22)),
    "Nagpur": (21.1, (21, 24, 28.5, 33, 35.5, 32, 28, 27, 28, 27, 23.5, 20.5)),
    "Guadalajara": (20.7, (17, 18.5, 21, 23, 25, 24, 22, 22, 21.5, 21, 19, 17)),
    "Pune": (18.5, (20.5, 22.5, 26.5, 29.5, 29.5, 27, 25, 24.5, 25, 25.5, 22.5, 20.5)),
    "Hyderabad": (17.4, (22, 25, 28.5, 31.5, 33, 29, 27, 26.5, 26.5, 26, 23.5, 21.5)),
    "Khartoum": (15.6, (23, 25, 28.5, 32, 34, 34.5, 32, 31, 32.5, 32.5, 28.5, 24.5)),
    "Dakar": (14.7, (21, 20.5, 21, 21.7, 23, 26, 27.5, 27.7, 27.8, 27.7, 26, 23)),
    "Chennai": (13.1, (25, 26.5, 28.5, 31, 33, 32.5, 31, 30.5, 30, 28.5, 26.5, 25.3)),
    "Kano": (12.1, (21.5, 24.5, 28.5, 31.5, 31, 28.5, 26.5, 25.5, 26.5, 27, 24.5, 22)),
    "Lima": (-12.1, (22.5, 23.2, 22.9, 21.2, 19, 17.5, 16.8, 16.4, 16.5, 17.4, 18.8, 20.9)),
    "Lilongwe": (-14.0, (22, 21.9, 21.6, 20.5, 18, 15.8, 15.5, 17.2, 20.5, 23.2, 23.9, 22.5)),
    "Katherine": (-14.5, (30, 29.5, 28.8, 27.5, 24.2, 21.3, 21, 23.5, 27.8, 30.5, 31.3, 30.8)),
    "Lusaka": (-15.4, (22, 22, 21.5, 20.5, 18, 15.5, 15.3, 18, 22.3, 24.8, 23.8, 22.2)),
    "Harare": (-17.8, (20.5, 20.2, 19.8, 18.7, 16.2, 14, 13.8, 16, 19.3, 21.5, 21.3, 20.7)),
    "Antananarivo": (-18.9, (20.5, 20.6, 20.3, 19.2, 17, 14.9, 14.2, 14.7, 16.8, 19, 20.1, 20.5)),
    "Maun": (-20.0, (25.5, 25, 24.6, 22.8, 19.3, 16.3, 16.2, 19.5, 24, 27.2, 26.8, 26)),
    "Alice Springs": (-23.7, (29.5, 28.5, 25.5, 20.5, 15.7, 12.4, 12, 14.7, 19.4, 23.3, 26.3, 28.3)),
    "Tristan da Cunha": (-37.0, (17.5, 18.3, 17.5, 16.2, 14.3, 12.9, 12, 11.9, 12, 13, 14.4, 16.3)),
    "Melbourne": (-37.8, (20.5, 20.6, 18.7, 15.5, 12.7, 10.3, 9.7, 10.7, 12.7, 14.7, 16.9, 18.8)),
    "Wellington": (-41.3, (17, 17.2, 15.8, 13.7, 11.7, 9.7, 8.9, 9.4, 10.8, 12, 13.5, 15.6)),
}  # fmt: skip
# Those that are flat, or near the equator:
FLAT = {
    "a fog coast": (38.0, (10.3, 10.5, 10.3, 10.3, 11, 11.8, 12.2, 12.8, 13.3, 12.8, 11.8, 10.4)),
    "San Francisco": (37.8, (10.3, 12, 12.7, 13.3, 14, 15, 15.3, 16, 16.9, 16.3, 13.3, 10.6)),
    "Honolulu": (21.3, (23, 23, 23.6, 24.6, 25.6, 26.8, 27.4, 27.7, 27.5, 26.7, 25.3, 23.8)),
    "Nouadhibou": (20.9, (19, 19.5, 20, 20.2, 20.8, 22, 22.3, 23.5, 25, 23.8, 22, 19.8)),
    "Mexico City": (19.4, (14, 15.5, 17.5, 19, 19, 18, 17, 17.2, 17, 16.3, 15, 14.3)),
    "Mumbai": (19.0, (24, 25, 27, 28.5, 30, 29, 27.5, 27, 27.5, 28.5, 27.5, 25.5)),
    "Cape Verde": (14.9, (22.2, 22, 22.5, 23, 23.8, 24.7, 25.5, 26.7, 27.1, 26.8, 25.6, 23.6)),
    "Bengaluru": (13.0, (21, 23, 26, 28, 27.5, 24.5, 23.5, 23.5, 23.5, 23.5, 22, 20.8)),
    "Gondar": (12.6, (19, 20.5, 22, 22.5, 21.5, 19.5, 18, 18, 18.5, 19, 19, 18.5)),
    "Bamako": (12.6, (25, 28, 31, 33, 32, 29.5, 27, 26.3, 26.8, 28, 27, 25)),
    "Ouagadougou": (12.4, (25, 28, 31.5, 33, 32, 29.5, 27.5, 26.5, 27.5, 29.5, 28, 25.5)),
    "a hot plain by the equator": (11.0, (24, 28, 33, 36, 33, 29, 26, 25, 26, 27, 26, 24)),
    "the Galapagos": (-0.7, (26, 27.5, 28, 27.5, 26, 24.5, 22.5, 21.5, 21, 22, 23, 24.5)),
    "Darwin": (-12.4, (28.3, 28.2, 28.3, 28.3, 26.9, 25.1, 24.7, 25.7, 27.8, 29, 29.3, 28.9)),
    "Brasilia": (-15.8, (21.6, 21.7, 21.6, 21.3, 20.2, 19.1, 19.1, 20.6, 22.3, 22.4, 21.6, 21.5)),
    "Cuiaba": (-15.6, (27, 26.9, 27, 26.5, 24.6, 23.5, 22, 24.7, 26.6, 27.4, 27.2, 27)),
    "Walvis Bay": (-23.0, (19, 19.5, 19, 17.5, 16.8, 16, 14.7, 13.9, 14.1, 15, 16.5, 18)),
    "Easter Island": (-27.2, (23.3, 23.7, 23.1, 21.9, 20.1, 18.9, 18, 17.9, 18.3, 19, 20.3, 21.9)),
    "Macquarie Island": (-54.5, (7.1, 6.9, 6.3, 5.2, 4.3, 3.5, 3.4, 3.4, 3.5, 4, 4.8, 6.3)),
}  # fmt: skip


def a_year(latitude: float, monthly: tuple[float, ...], first: dt.date = dt.date(2021, 1, 1)) -> DailySeries:
    day = (np.arange(365) + first.timetuple().tm_yday - 1) % 365
    mean_c = np.interp(day, MID_MONTH, np.array(monthly, dtype=float), period=366.0)
    return DailySeries(first, mean_c - 4.0, mean_c + 4.0)


def refused(site: Site, series: DailySeries, part: slice = slice(None)) -> bool:
    read = np.zeros(len(series), dtype=bool)
    read[part] = both_read(np.array([series.tmin_c, series.tmax_c]))[part]
    return warmest_across_the_equator(site, series, read) is not None


def flipped(site: Site) -> Site:
    return replace(site, latitude=-site.latitude)


def test_no_climate_is_refused_where_it_is_and_each_that_swings_is_across_the_equator() -> None:
    for name, (latitude, monthly) in {**SWINGING, **FLAT}.items():
        site, series = Site(name, latitude, 0.0), a_year(latitude, monthly)
        assert not refused(site, series), name
        assert refused(flipped(site), series) == (name in SWINGING), name


def stations() -> dict[str, tuple[Site, DailySeries]]:
    """The shipped stations, and the yards of the demo."""
    sites = read_sites(TWELVE / "sites.csv")
    weather, _ = read_weather(TWELVE / "weather.csv.gz", sites)
    found = {name: (site, weather[name]) for name, site in sites.items()}
    found |= {site.name: (site, readings(site)) for site in (NAGANO, TAKAYAMA, KAGOSHIMA, NORTH, SOUTH)}
    return found


def test_any_year_of_any_station_tells_its_hemisphere() -> None:
    """One year of data from the first of every month on: counts of wrong answers are nought both ways."""
    counted = 0
    for site, series in stations().values():
        assert (refused(site, series), refused(flipped(site), series)) == (False, True), site.name
        starts = np.flatnonzero(np.diff(series.days.astype("datetime64[M]").astype(int), prepend=-1))
        for start in starts[::17].tolist():  # every 17th month: all twelve in turn
            if start + 366 > len(series):
                continue
            part = slice(start, start + 366)
            assert not refused(site, series, part), (site.name, start)
            assert refused(flipped(site), series, part), (site.name, start)
            counted += 1
    assert counted > 400


def test_less_than_a_year_or_a_year_full_of_holes_is_left_alone() -> None:
    series = readings(NAGANO)
    wrong = flipped(NAGANO)
    for start in range(0, 3650, 73):
        assert not refused(wrong, series, slice(start, start + 100))
        assert not refused(wrong, series, slice(start, start + 364))
    assert refused(wrong, series, slice(0, 366))
    summers = replace(
        series, tmin_c=np.where(series.days.astype("datetime64[M]").astype(int) % 12 > 5, 9.0, np.nan)
    )
    assert not refused(wrong, summers)


def test_invented_weather_fits_its_hemisphere() -> None:
    for climate in CLIMATES.values():
        series = demo_series(climate, dt.date(2025, 6, 30))
        assert [refused(site, series) for site in (NORTH, SOUTH)] in ([False, True], [True, False])


ON = "2020-04-10"
SPECIES = ("--species", "Pinus thunbergii")


def run(folder: Path, *arguments: str) -> tuple[int, str, str]:
    done = CliRunner().invoke(main, [*arguments, "--workspace", str(folder)])
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
    return done.exit_code, done.stdout, " ".join(done.stderr.split())


@pytest.fixture(scope="module")
def wrong(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two yards, the second with a minus too many."""
    folder = make_two_yards(tmp_path_factory.mktemp("wrong"))
    path = folder / "season.toml"
    path.write_text(path.read_text("utf-8").replace("31.55", "-31.55"), "utf-8")
    return folder


@pytest.mark.parametrize(
    "arguments",
    [
        ("report",),
        ("report", "--site", "kagoshima", "--json"),
        ("check", "repotting", *SPECIES, "--site", "kagoshima"),
        ("compare", "nagano", "kagoshima", *SPECIES),
        ("weather",),
        ("measures", "--site", "kagoshima"),
        ("backtest", "--site", "kagoshima"),
    ],
)
def test_every_command_names_the_line_and_what_to_write(wrong: Path, arguments: tuple[str, ...]) -> None:
    code, out, said = run(wrong, *arguments, "--on", ON)
    assert (code, out) == (2, "")
    assert said == (
        f"{wrong / 'season.toml'}, line 16, site.latitude: the year of the logger file kagoshima.csv is "
        "warmest about 30 July, as it is north of the equator; latitude = -31.55 lies south of it. "
        "Write latitude = 31.55. If the place is right, the readings are another place's, or their "
        "dates are wrong."
    )
    assert not list(wrong.glob("reports/2*"))


def test_the_other_yard_is_left_in_peace(wrong: Path) -> None:
    assert run(wrong, "measures", "--site", "nagano", "--on", ON, "--from", ON)[0] == 0


def test_stations_of_a_backtest_are_named_by_their_line(tmp_path: Path) -> None:
    text = (TWELVE / "sites.csv").read_text("utf-8")
    (tmp_path / "sites.csv").write_text(
        text.replace("Tokyo,", "Tokyo,-").replace("Kochi,", "Kochi,-"), "utf-8"
    )
    files = ("--weather", str(TWELVE / "weather.csv.gz"), "--events", str(TWELVE / "events.csv"))
    code, out, said = run(
        tmp_path, "backtest", "--sites", str(tmp_path / "sites.csv"), *files, "--train-until", "2005"
    )
    lines = [
        number for number, line in enumerate(text.splitlines(), 1) if line.startswith(("Tokyo", "Kochi"))
    ]
    assert (code, out) == (2, "")
    for line in lines:
        assert f"sites.csv, line {line}, latitude: the year of the site's temperatures is warmest" in said


def _cut(path: Path, wanted) -> None:
    header, *rows = path.read_text("utf-8").splitlines(keepends=True)
    path.write_text("".join([header, *(row for row in rows if wanted(row[:10]))]), "utf-8")


def test_nothing_after_today_counts_and_a_reference_stands_in_for_a_young_logger(tmp_path: Path) -> None:
    folder = make_workspace(tmp_path)
    toml = SETTINGS.replace("36.66", "-36.66")
    (folder / "season.toml").write_text(toml, "utf-8")
    _cut(
        folder / "nagano.csv", lambda day: day >= "2020-01-01"
    )  # 101 days up to the day judged, and years after
    assert run(folder, "weather", "--on", ON)[0] == 0
    assert run(folder, "check", "repotting", *SPECIES, "--on", ON)[0] == 3  # too young a record, and no more
    assert run(folder, "weather", "--on", "2021-04-10")[0] == 2
    shutil.copy(STATIONS / "takayama.csv", folder / "takayama.csv")
    (folder / "season.toml").write_text(toml + 'reference = "takayama.csv"\n', "utf-8")
    code, _, said = run(folder, "weather", "--on", ON)
    assert (code, "Write latitude = 36.66." in said) == (2, True)
