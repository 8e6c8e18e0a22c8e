"""A site's season as it looks from one day: windows, measures, sums and frosts for Python."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from season_engine import traces
from season_engine.errors import GrowerError
from season_engine.face.asked import Day, as_day, catalogue_from, check_hemisphere, check_known, check_site
from season_engine.face.windows import Windows
from season_engine.measures.chill_models import CHILL_MODELS
from season_engine.measures.degree_days import METHODS
from season_engine.measures.heat import BASE_C
from season_engine.measures.heat_models import HEAT_MODELS
from season_engine.note import Note, notes_until
from season_engine.pipeline import history_on, season_view
from season_engine.pot import Pot
from season_engine.site import Site
from season_engine.species.catalogue import Catalogue, Species
from season_engine.species.jobs import job_named
from season_engine.species.schema import Window
from season_engine.traces.measured_days import ROOT_ZONE_UNITS, measured_days, rival_units, units
from season_engine.traces.running_sums import SUMMED, running_sum
from season_engine.tree import Size, Tree
from season_engine.trees.history import History
from season_engine.weather.fitness import refuse_if_poor
from season_engine.weather.series import Weather
from season_engine.windows.answer import answer_about
from season_engine.windows.assessment import Assessment
from season_engine.windows.choice import DEFAULT_SIZE, windows_asked_for, windows_told
from season_engine.windows.frost_weeks import frost_weeks
from season_engine.windows.judge import Judge, prospects_of
from season_engine.workspace.catalogue import catalogue_of
from season_engine.workspace.workspace import SETTINGS, Workspace, load_workspace

if TYPE_CHECKING:
    import pandas as pd


class SeasonView(traces.SeasonView):
    """A site's season as it looks from one day; `season` and `season_at` make one.

    `site`, `weather` (up to that day, its `warnings` worth reading) and `on` are attributes.
    """

    def __init__(
        self, site: Site, weather: Weather, on: dt.date, notes: Iterable[Note], catalogue: Catalogue
    ) -> None:
        super().__init__(site, weather, on)
        self.notes = notes_until(notes, on)
        self.catalogue = catalogue
        self._names = catalogue.known_names(())
        self._prospects = {
            any_size: prospects_of(self, self.notes, catalogue.get, any_size=any_size)
            for any_size in (False, True)
        }

    def __repr__(self) -> str:
        return f"<season {self.site.season_on(self.on).label} at {self.site.name}, seen on {self.on}>"

    def windows(
        self,
        species_or_tree: str | Tree,
        *,
        job: str | None = None,
        size: Size | None = None,
        all: bool = False,
    ) -> Windows:
        """The windows of a species or tree, judged on this day.

        Parameters
        ----------
        species_or_tree : a species by any of its names, or one of `Workspace.trees`: then it is judged with
            its size, strength and past work.
        job : this one's windows alone, such as "repotting"; default: all that the report tells in full.
        size : "small", "medium" or "large"; default: the tree's, else medium, cautions as for a large one.
        all : also the round of small care, lighter and heavier root work, and windows of trees that came
            otherwise, such as from the wild.

        Raises GrowerError for an unknown species or job, with what may be meant.
        """
        species, history = self._asked(species_or_tree)
        judge = Judge(self._prospects[size is None and history is None])
        size = size or (history.tree.size if history else DEFAULT_SIZE)
        windows = self._windows(species, job and job_named(job, species.jobs), size, history, all)
        return Windows(judge(species, size, window, history) for window in windows)

    def window(
        self,
        species_or_tree: str | Tree,
        job: str,
        *,
        size: Size | None = None,
        window: str | None = None,
        explained: bool = False,
    ) -> Assessment:
        """The window of a job that `season-engine check` would judge, beside the others; or the one named.

        Parameters and errors are those of `windows`; `explained` adds the trail behind every date.
        """
        species, history = self._asked(species_or_tree)
        prospects = self._prospects[size is None and history is None]
        size = size or (history.tree.size if history else DEFAULT_SIZE)
        windows = windows_asked_for(species, job_named(job, species.jobs), size, window)
        named = window is not None
        tree = history.tree if history else None
        return answer_about(
            prospects(species, size, *((tree.pot, tree.id) if tree else ())),
            windows,
            history,
            named=named,
            explained=explained,
        )

    def measures(
        self,
        from_: Day | None = None,
        to: Day | None = None,
        *,
        base_c: float = BASE_C,
        upper_c: float | None = None,
        chill: Iterable[str] = (),
        heat: Iterable[str] = (),
        degree_days: Iterable[str] = (),
        pot: Pot | None = None,
    ) -> pd.DataFrame:
        """Chill and heat of each day, one row a day, each column that day's increment.

        From `from_` to `to`, both included; default: this season so far. `base_c` and `upper_c` are base and
        cap of the growing degree days [degC]. The index is a ``DatetimeIndex`` called ``date``; columns are
        those of ``season-engine measures``: ``tmin_c``, ``tmax_c``, ``day_length_h``, ``chilling_hours``,
        ``utah_units``, ``chill_portions``, ``gdd_c``, ``gdh_c``, ``observed_share``; ``attrs["units"]`` names
        their units. `chill`, `heat` and `degree_days` name rival models and methods, a column more each: see
        docs/measures.md. `pot`, such as ``Pot.of_litres(3)`` of `season_engine.pot`, adds the
        temperature in its middle: ``root_zone_min_c``, ``root_zone_mean_c``, ``root_zone_max_c``. Chill
        portions start from nothing at each season's start, and at `from_`. Days before the first reading and
        after the last have no row. Raises GrowerError for a name not known.
        """
        import pandas as pd

        first = None if from_ is None else as_day(from_, "from_")
        last = None if to is None else as_day(to, "to")
        if first is None:
            first = self.site.season_on(last or self.on).start
        rivals: dict[str, Any] = {
            "chill": [check_known(name, CHILL_MODELS, "chill model") for name in chill],
            "heat": [check_known(name, HEAT_MODELS, "heat model") for name in heat],
            "degree_days": [check_known(name, METHODS, "method of degree days") for name in degree_days],
        }
        wanted: dict[str, Any] = {"first": first, "last": last, "base_c": base_c, "upper_c": upper_c}
        found = measured_days(self.site, self.weather, pot=pot, **wanted, **rivals)
        frame = pd.DataFrame(dict(found.columns), index=pd.DatetimeIndex(found.days, name="date"))
        of_pot = ROOT_ZONE_UNITS if pot is not None else {}
        frame.attrs["units"] = {**units(base_c), **rival_units(base_c, **rivals), **of_pot}
        return frame

    def so_far(self, measure: str = "chill_portions", *, years: bool = False) -> pd.DataFrame:
        """What this season has added up so far, beside past seasons: made to be plotted.

        Parameters
        ----------
        measure : "chill_portions", "chilling_hours" or "utah_units", counted for nine months from the
            season's start; "gdd_c" (above 5 degC) or "gdh_c", counted from midwinter.
        years : with a column for each past season too, called by its label, such as "2019/20".

        The index is a ``DatetimeIndex`` called ``date``, of this season, without 29 February. Columns:
        ``this_season``, NaN after the last reading; ``p10``, ``p50``, ``p90``, what 10, 50 and 90 in 100 past
        seasons had stayed below by that date. ``attrs["units"]`` names the unit. Raises GrowerError.
        """
        import pandas as pd

        found = running_sum(self, check_known(measure, SUMMED, "sum"))
        so_far = np.full(found.days.size, np.nan)
        so_far[: found.so_far.size] = found.so_far
        columns = {"this_season": so_far, **dict(zip(("p10", "p50", "p90"), found.quantiles, strict=True))}
        if years:
            columns |= dict(zip(found.seasons, found.past, strict=True))
        frame = pd.DataFrame(columns, index=pd.DatetimeIndex(found.days, name="date"))
        frame.attrs["units"] = units()[measure]
        return frame

    def frosts(self, level_c: float = 0.0) -> pd.DataFrame:
        """The chance of a night as cold as `level_c` [degC] at the pots, in each of the next ten weeks.

        One row a week, this one from tomorrow on: ``first`` and ``last`` day, and ``chance``, 0 to 1.
        """
        import pandas as pd

        weeks = frost_weeks(self.season(), self.on, level_c)
        return pd.DataFrame(
            {
                "first": pd.to_datetime([week.first for week in weeks]),
                "last": pd.to_datetime([week.last for week in weeks]),
                "chance": [week.chance for week in weeks],
            }
        )

    def _asked(self, species_or_tree: str | Tree) -> tuple[Species, History | None]:
        if isinstance(species_or_tree, str):
            return self.catalogue.find(self._names.species_called(species_or_tree)), None
        history = history_on(species_or_tree, self.notes, self.on)
        return self.catalogue.find(history.tree.species), history

    def _windows(
        self, species: Species, job: str | None, size: Size, history: History | None, every: bool
    ) -> list[Window]:
        of_job = windows_asked_for(species, job, size, None) if job else []
        if every:
            return [one for one in species.windows if one.size in (None, size) and job in (None, one.job)]
        if job:
            return of_job
        tree = (
            replace(history.tree, size=size) if history else Tree("", self.site.name, species.name, size=size)
        )
        return windows_told(species, [tree], self.catalogue)


def season(
    site: Site,
    weather: Weather,
    *,
    on: Day | None = None,
    notes: Iterable[Note] = (),
    catalogue: Catalogue | Path | str | None = None,
) -> SeasonView:
    """A site's season as it looks from one day.

    Parameters
    ----------
    site : the place.
    weather : its temperatures, from `read_logger`, `read_station`, `read_frame` or `demo_weather`.
    on : the day that counts as today (default: the last with readings); nothing after it is used.
    notes : what was seen and done, such as `Workspace.notes`; those dated or entered after `on` are left out.
    catalogue : a file of species of your own, to stand over the catalogue (default: the catalogue as it is).

    Raises
    ------
    GrowerError : a place, date or catalogue that can't be; readings of the other hemisphere.
    WeatherError : too little weather to say anything from: under five whole seasons, over a tenth of this
        season missing, or the last reading over 60 days old.
    """
    check_site(site)
    day = weather.data_through if on is None else as_day(on)
    weather = weather.as_of(day)
    check_hemisphere(site, weather)
    warnings = refuse_if_poor(weather, site, day)
    weather = replace(weather, warnings=(*weather.warnings, *warnings))
    return SeasonView(site, weather, day, notes, catalogue_from(catalogue))


def read_workspace(folder: Path | str = ".") -> Workspace:
    """A workspace's sites, trees and notes, read and checked; `season_at` looks at one of its sites.

    Raises GrowerError, InputErrors with every fault of a file, by line and field.
    """
    workspace = load_workspace(Path(folder))
    if workspace.demo:
        hint = "`season-engine init` makes one; `demo_weather` has invented weather to try with."
        raise GrowerError(f"There is no {SETTINGS} here.", hint=hint, file=folder)
    return workspace


def season_at(workspace: Workspace, site: str | None = None, *, on: Day) -> SeasonView:
    """A workspace's site as the commands see it on a day: its own weather, forecast, notes and catalogue.

    `site` is its name, which may be left out where there is one. Raises GrowerError and WeatherError.
    """
    if site is None and len(workspace.sites) > 1:
        names = ", ".join(entry.site.name for entry in workspace.sites)
        raise GrowerError("There are several sites; say which.", hint=f"They are {names}.", field="site")
    entry = workspace.sites[0] if site is None else workspace.site_named(site)
    seen = season_view(workspace, entry, as_day(on))
    return SeasonView(seen.site, seen.weather, seen.on, workspace.notes, catalogue_of(workspace))
