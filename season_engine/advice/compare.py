"""Two sites side by side: by how many days a window comes sooner or later, the same years held together."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from season_engine.errors import GrowerError
from season_engine.markers.base import By
from season_engine.site import Site
from season_engine.species.catalogue import Catalogue, Species
from season_engine.species.schema import Window
from season_engine.traces import SeasonView
from season_engine.tree import Tree
from season_engine.weather.notices import Warned
from season_engine.weather.sources.origins import SourceFact
from season_engine.windows.assess import Prospect
from season_engine.windows.assessment import OwnNumber, Quantiles, by_of
from season_engine.windows.choice import species_kept, windows_kept, windows_told
from season_engine.windows.opening import Opening
from season_engine.windows.own_numbers import own_number_warnings

FloatArray = NDArray[np.float64]
Event = Literal["opens", "closes"]

_HAIR = 1e-9  # sums of weights are equal to this
LEAST_CHANCE = 0.5  # of both sites having the window: below it a difference would speak of odd seasons only


@dataclass(frozen=True, slots=True)
class Spread:
    """Days that 10, 50 and 90 in 100 chances stay at or below."""

    p10: float
    p50: float
    p90: float


@dataclass(frozen=True, slots=True)
class Difference:
    """Days by which something comes later at the other site than at the first; less than 0: earlier.

    `paired` takes the same year and the same error of the rule at both sites, `unpaired` any with any.
    """

    paired: Spread
    unpaired: Spread


@dataclass(frozen=True, slots=True)
class SiteDates:
    """One site's dates of a window, over the years that are compared."""

    season: str
    chance_given: float
    opens: Quantiles
    closes: Quantiles

    @property
    def by(self) -> By:
        """What sets both ends: the calendar, or else weather."""
        return by_of(self.opens.by, self.closes.by)


@dataclass(frozen=True, slots=True)
class Contrast:
    """One window at two sites over one set of years.

    The differences are of those chances in which both sites have the window, None where these are too few.
    """

    years_paired: bool  # False between hemispheres, which share no season's weather
    years: int  # compared; the fewer of the two sites' where they aren't paired
    years_only_first: int  # dropped, since the other site has no weather for them
    years_only_other: int
    first: SiteDates
    other: SiteDates
    chance_both: float
    opens: Difference | None
    closes: Difference | None


@dataclass(frozen=True, slots=True)
class Pair:
    """The first site and another: over whole past seasons, and in the season of the day asked about."""

    other: Site
    past: Contrast
    season: Contrast


@dataclass(frozen=True, slots=True)
class WindowComparison:
    """One window of one species at the first site and each of the others."""

    species: str
    common_name: str
    job: str
    window: str
    pairs: tuple[Pair, ...]


@dataclass(frozen=True, slots=True)
class Comparison:
    """Everything that `compare` prints."""

    as_of: dt.date
    sites: tuple[Site, ...]  # all are compared with the first
    windows: tuple[WindowComparison, ...]
    demo: bool = False  # there is no workspace: the embedded demo stands in
    not_covered: tuple[str, ...] = ()  # the grower's species that the catalogue doesn't hold
    sources: tuple[SourceFact, ...] = ()
    warnings: tuple[Warned | OwnNumber, ...] = ()
    invented: tuple[str, ...] = ()  # names of the sites whose weather is invented


def windows_to_compare(
    catalogue: Catalogue, trees: Sequence[Tree], job: str | None = None, species: str | None = None
) -> list[tuple[Species, Window]]:
    """Those of a species, or of the trees kept at the sites; of one job, or of all that are told in full.

    Raises GrowerError where there is none.
    """
    kinds = [catalogue.find(species)] if species else species_kept(trees, catalogue)
    chosen = windows_kept if job else windows_told
    windows = [(kind, window) for kind in kinds for window in chosen(kind, trees, catalogue)]
    asked_for = [(kind, window) for kind, window in windows if job in (None, window.job)]
    if not asked_for:
        raise GrowerError(
            f'the catalogue has no window for "{job}" on {species or "any of these species"}.',
            hint=f"It has {', '.join(dict.fromkeys(window.job for _, window in windows))}.",
        )
    return asked_for


def compare(views: Sequence[SeasonView], windows: Sequence[tuple[Species, Window]]) -> Comparison:
    """Windows of some species at the first site and at the others, without anybody's notes."""
    prospects = {kind.name: [Prospect(view, kind) for view in views] for kind, _ in windows}
    weather = [view.weather for view in views]
    warnings: list[Warned | OwnNumber] = []
    for place, one in enumerate(weather):
        warnings += one.warnings
        warnings += (own for at in prospects.values() for own in own_number_warnings(at[place]))
    return Comparison(
        as_of=views[0].on,
        sites=tuple(view.site for view in views),
        windows=tuple(compare_window(kind, window, *prospects[kind.name]) for kind, window in windows),
        sources=tuple(dict.fromkeys(source for one in weather for source in one.sources)),
        warnings=tuple(warnings),
        invented=tuple(view.site.name for view in views if view.weather.invented),
    )


def compare_window(species: Species, window: Window, first: Prospect, *others: Prospect) -> WindowComparison:
    """Compare one window at the first site with the same at each of the others."""
    pairs = tuple(
        Pair(
            other.view.site,
            contrast(first.told(window, None), other.told(window, None)),
            contrast(first.told(window, 0), other.told(window, 0)),
        )
        for other in others
    )
    return WindowComparison(species.name, species.common[0], window.job, window.name, pairs)


def contrast(first: Opening, other: Opening) -> Contrast:
    """Compare two openings of one window, year by year where the two sites share their years' weather.

    Days are counted from the start of each site's season. In one hemisphere that is the same day; between
    hemispheres it takes out the half year, and each year of one site meets every year of the other, since a
    northern and a southern season of one name lie in different months. The rule's error is shared always:
    what isn't known of the species is the same at both sites.
    """
    by_year = first.traces.site.hemisphere == other.traces.site.hemisphere
    counts = len(first.traces), len(other.traces)
    if by_year:
        _, rows, other_rows = np.intersect1d(first.traces.labels, other.traces.labels, return_indices=True)
        first, other = _of_years(first, rows), _of_years(other, other_rows)
    years = min(len(first.opens), len(other.opens))
    joined = _Joined(_day_of_season(first), _day_of_season(other), by_year)
    return Contrast(
        years_paired=by_year,
        years=years,
        years_only_first=counts[0] - years if by_year else 0,
        years_only_other=counts[1] - years if by_year else 0,
        first=_dates(first),
        other=_dates(other),
        chance_both=joined.chance_both,
        opens=joined.difference("opens"),
        closes=joined.difference("closes"),
    )


@dataclass(frozen=True)
class _Joined:
    """Two openings in whole days of their seasons; what goes together is laid on the same axes."""

    first: Opening
    other: Opening
    by_year: bool

    @property
    def chance_both(self) -> float:
        """Chance that both sites have the window."""
        return float(self._weights[np.isfinite(self._later("opens"))].sum())

    def difference(self, event: Event) -> Difference | None:
        """By how much an event is later at the other site; None where too seldom both have the window."""
        if self.chance_both < LEAST_CHANCE:
            return None
        return Difference(spread(self._later(event), self._weights), self._unpaired(event))

    @property
    def _weights(self) -> FloatArray:
        ours, theirs = self.first.weights, self.other.weights
        joint = ours + theirs if self.by_year else ours[:, None] * theirs[None]
        shares: FloatArray = joint / joint.sum()
        return shares

    def _later(self, event: Event) -> FloatArray:
        """Days for every year (or pair of years) and draw; not finite where either has no window."""
        ours, theirs = getattr(self.first, event), getattr(self.other, event)
        with np.errstate(invalid="ignore"):  # never less never is nothing to count
            later: FloatArray = theirs - ours if self.by_year else theirs[None] - ours[:, None]
        return later

    def _unpaired(self, event: Event) -> Spread:
        """The same where every chance of one site may meet every chance of the other."""
        ours, our_weights = _by_day(getattr(self.first, event), self.first.weights)
        theirs, their_weights = _by_day(getattr(self.other, event), self.other.weights)
        return spread(theirs[:, None] - ours, their_weights[:, None] * our_weights)


def spread(days: FloatArray, weights: FloatArray) -> Spread:
    """Quantiles of the finite days; halfway where the weight ends just between two of them.

    So the spread of -days is this one turned round, whichever site is named first.
    """
    days, weights = _by_day(days, weights)
    reached = np.cumsum(weights) / weights.sum()
    odds = np.array([0.1, 0.5, 0.9])
    low = np.searchsorted(reached, odds - _HAIR)
    high = np.searchsorted(reached, odds + _HAIR, side="right")
    return Spread(*((days[low] + days[high]) / 2).tolist())


def _by_day(days: FloatArray, weights: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Each finite day once, in order, with all of its weight; few days stand for many chances."""
    finite = np.isfinite(days)
    once, place = np.unique(days[finite], return_inverse=True)
    return once, np.bincount(place, weights[finite]).astype(np.float64)


def _of_years(opening: Opening, rows: NDArray[np.intp]) -> Opening:
    weights = opening.weights[rows]
    return replace(
        opening, opens=opening.opens[rows], closes=opening.closes[rows], weights=weights / weights.sum()
    )


def _day_of_season(opening: Opening) -> Opening:
    """Whole days, as dates are printed, counted from the start of the season."""
    start = opening.traces.season_start
    return replace(opening, opens=np.ceil(opening.opens) - start, closes=np.ceil(opening.closes) - start)


def _dates(opening: Opening) -> SiteDates:
    season = opening.traces.season.label
    return SiteDates(season, opening.chance_given, opening.opens_quantiles, opening.closes_quantiles)
