"""What is said of weather that harms: in four made weeks, and how often over a year in the demo's two yards.

`python -m tests.benchmarks.harm_weeks`; the weather and the trees are invented.
"""

from __future__ import annotations

import datetime as dt
import sys
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np

from season_engine.advice.harm import Harm, harms
from season_engine.pipeline import yard_on
from season_engine.report.contents import SiteReport
from season_engine.species.catalogue import load_catalogue
from season_engine.tree import Tree
from season_engine.weather.forecast.days import ForecastDay, ForecastDays
from season_engine.weather.series import DailySeries
from season_engine.windows.yard import Yard
from season_engine.words.harm import harm_sentences
from season_engine.workspace.workspace import Workspace, load_workspace
from tests.yards import NORTH, SOUTH, Site, readings, view_on

Pair = tuple[float, float]

TREES = (
    Tree("a", "", "Acer palmatum", "Ember"),
    Tree("p", "", "Pinus thunbergii", "The Groyne", "large"),
    Tree("j", "", "Juniperus chinensis", "Tumbler", "small"),
    Tree("m", "", "Prunus mume", "First Light"),
    Tree("t", "", "Acer buergerianum", "The Ferry"),
    Tree("o", "", "Olea europaea", "Pier"),
    Tree("f", "", "Ficus microcarpa", "Lodger"),
)
HEAT: Sequence[Pair] = ((18, 30), (22, 40), (24, 42), (25, 43), (23, 41), (17, 29))
COLD: Sequence[Pair] = ((1, 9), (-9, 3), (-6, 5), (0, 9), (2, 10))
FROZEN: Sequence[Pair] = ((-7, -2),) * 9
WARM: Sequence[Pair] = ((1, 8), (5, 13), (6, 15), (7, 16), (6, 14), (2, 9), (-3, 4), (-6, 2))


def made_yard(site: Site, on: dt.date, ahead: Sequence[Pair] = (), series: DailySeries | None = None) -> Yard:
    """A yard with seven trees, and days forecast from tomorrow on."""
    view = view_on(site, series or readings(site), on)
    if ahead:
        days = (
            ForecastDay(on + dt.timedelta(days=n), low, high, n) for n, (low, high) in enumerate(ahead, 1)
        )
        view.weather = replace(view.weather, forecast=ForecastDays("used", days=tuple(days)))
    trees = [replace(tree, site=site.name) for tree in TREES]
    return Yard(view, load_catalogue(), trees)


def sentences(yard: Yard, found: Sequence[Harm]) -> tuple[str, ...]:
    """What is said of them."""
    names = {tree.id: tree.name for tree in yard.trees}
    return harm_sentences(SiteReport(yard.view.site, None, tree_names=names), found, yard.view.on)


def mondays(
    workspace: Workspace, name: str, first: dt.date
) -> Iterator[tuple[dt.date, Yard, Sequence[Harm]]]:
    """A year of one of the workspace's yards, week by week."""
    for week in range(52):
        on = first + dt.timedelta(weeks=week)
        yard = yard_on(workspace, workspace.site_named(name), on)
        yield on, yard, harms(yard)


def mild_record() -> DailySeries:
    """The southern yard's, no night of it colder than -4."""
    series = readings(SOUTH)
    return replace(series, tmin_c=np.maximum(series.tmin_c, -4.0))


CASES = (
    ("a heat wave", SOUTH, dt.date(2025, 1, 13), HEAT),
    ("a cold night where -4 degC was the coldest", SOUTH, dt.date(2025, 7, 14), COLD),
    ("a frozen ball for nine days", NORTH, dt.date(2025, 2, 17), FROZEN),
    ("a warm February week before frost", NORTH, dt.date(2025, 2, 3), WARM),
    ("a winter day without a forecast", NORTH, dt.date(2025, 1, 13), ()),
)


def main() -> None:
    write = sys.stdout.write
    write("```text\n")
    for title, site, on, ahead in CASES:
        yard = made_yard(site, on, ahead, mild_record() if ahead is COLD else None)
        write(f"\n{title} ({site.name}, {on})\n")
        for told in sentences(yard, harms(yard)):
            write(f"  - {told}\n")
    with tempfile.TemporaryDirectory() as folder:
        workspace = load_workspace(Path(folder))
    for name in ("lower-yard", "dune-yard"):
        weeks = list(mondays(workspace, name, dt.date(2025, 9, 1)))
        new = [week for week in weeks if any(one.stage != "lasts" for one in week[2])]
        silent = sum(not found for _, _, found in weeks)
        write(f"\n{name}: {len(new)} of 52 Mondays with something new, {silent} with nothing at all\n")
        for on, yard, found in new:
            for told in sentences(yard, [one for one in found if one.stage != "lasts"]):
                write(f"  {on}  {told}\n")
    write("```\n")


if __name__ == "__main__":
    main()
