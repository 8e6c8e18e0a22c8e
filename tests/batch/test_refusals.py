"""Spoilt sites: a batch lists them, with what `check` says of them, word by word."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import numpy as np

from season_engine.batch.asked import Asked
from season_engine.batch.judging import judge_block
from season_engine.batch.sources.logger_files import LoggerFiles
from season_engine.errors import GrowerError
from season_engine.pipeline import season_view
from season_engine.site import Site
from season_engine.weather.series import DailySeries
from season_engine.workspace.workspace import load_workspace
from tests.batch.made import MadeSite, made_sites, write_csv

DAY = dt.date(2026, 3, 20)
KINDS = 8
SITES = 48  # each kind of trouble in each climate, twice
YEARS = 6  # enough to be answered from


def spoilt(made: MadeSite, number: int) -> MadeSite:
    """One of eight kinds of trouble; the first two are none that refuses."""
    raw, site = made.raw, made.site
    low, high = raw.tmin_c.copy(), raw.tmax_c.copy()
    years = 0
    match number % KINDS:
        case 0:
            return made
        case 1:
            low[-1000:-980] = high[-1000:-980] = 0.0  # blanks become nought
        case 2:
            low[-40:] = high[-40:] = np.nan
            low[-1], high[-1] = 2.0, 9.0  # this season has too many holes
        case 3:
            site = replace(site, latitude=-site.latitude)  # a sign forgotten
        case 4:
            years = 3  # too short
        case 5:
            low, high = low[:-90], high[:-90]  # too old
        case 6:
            low[:], high[:] = np.nan, np.nan  # nothing at all
        case 7:
            low[10:12] = 99.0  # beyond anything
    series = DailySeries(raw.first_day, low, high)
    if years:
        cut = len(series) - years * 365
        series = DailySeries(raw.first_day + dt.timedelta(days=cut), low[cut:], high[cut:])
    return MadeSite(site, series)


def check_says(folder: Path, sites: list[Site]) -> list[str | None]:
    """What the pass behind `check` refuses each site with, without the place in season.toml."""
    tables = [
        f'[[site]]\nname = "{site.name}"\nlatitude = {site.latitude}\nlongitude = {site.longitude}\n'
        f'[site.weather]\nsource = "logger"\nfile = "{site.name}.csv"\n'
        for site in sites
    ]
    (folder / "season.toml").write_text("\n".join(tables), encoding="utf-8")
    workspace = load_workspace(folder)
    found: list[str | None] = []
    for entry in workspace.sites:
        try:
            season_view(workspace, entry, DAY)
        except GrowerError as error:
            in_settings = error.file is not None and error.file.endswith("season.toml")
            found.append(f"{error.problem} {error.hint}" if in_settings else str(error))
        else:
            found.append(None)
    return found


def test_spoilt_sites_are_refused_in_the_words_of_check(tmp_path: Path) -> None:
    made = [spoilt(one, number) for number, one in enumerate(made_sites(SITES, DAY, years=(YEARS,)))]
    for one in made[:-1]:  # the last has no file
        write_csv(tmp_path, one)
    sites = [one.site for one in made]
    results = judge_block(
        sites, LoggerFiles(str(tmp_path)).read(sites), Asked(("Ulmus parvifolia",), ("repotting",), DAY)
    )
    refusals = [result.refused and result.refused.why for result in results]
    assert refusals == check_says(tmp_path, sites)
    refused = [number for number, why in enumerate(refusals) if why]
    assert {number % KINDS for number in refused} == {2, 3, 4, 5, 6, 7}
    assert all((result.refused is None) == bool(result.windows) for result in results)
    assert not any(result.refused and result.refused.fault_of_ours for result in results)
