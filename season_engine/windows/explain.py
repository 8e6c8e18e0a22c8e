"""The trail behind a window's dates: every marker, every number, and the years that were early and late."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from season_engine.markers.base import behind
from season_engine.phenology.dating import SeasonDating
from season_engine.site import DEFAULT_SUN
from season_engine.species.held import stage_held, window_held
from season_engine.species.schema import Window
from season_engine.windows.assess import Prospect
from season_engine.windows.assessment import Explanation, PotTaken, Step, YearDate
from season_engine.windows.learnt_trail import learnt_trail
from season_engine.windows.of_roots import markers_behind, of_roots
from season_engine.windows.opening import open_window
from season_engine.windows.reasons import reason_for

YEARS_SHOWN = 3


def explain(prospect: Prospect, window: Window, shift: int) -> Explanation:
    """How the dates of `window` in the season judged came about."""
    species, dating = prospect.species, prospect.dating(shift)
    names = markers_behind(species, window)
    steps = tuple(_step(prospect, name, dating) for name in species.markers if name in names)
    opened, years = _past_openings(prospect, window)
    in_order = [years[row] for row in np.argsort(opened, kind="stable")]
    early, late = in_order[:YEARS_SHOWN], in_order[YEARS_SHOWN:][-YEARS_SHOWN:]
    learnt = learnt_trail(prospect, [step.reason.marker for step in steps], shift)
    pot = pot_taken(prospect) if of_roots(species, window) else None
    held = None if names & species.own.keys() else window_held(species.name, window)
    return Explanation(steps, tuple(early), tuple(late), len(years), learnt, pot, held)


def pot_taken(prospect: Prospect) -> PotTaken:
    """The pot that roots are looked at in."""
    site = prospect.view.site
    return PotTaken(
        litres=round(prospect.pot.litres, 2),
        known_by="pot" if prospect.pot_told else "size",
        sun=site.sun_on_pots or DEFAULT_SUN,
        sun_told=site.sun_on_pots is not None,
        colour=site.pot_colour,
    )


def _step(prospect: Prospect, name: str, dating: SeasonDating) -> Step:
    species = prospect.species
    marker = species.markers[name]
    own = behind([name], species.markers) & species.own.keys()
    usual = float(prospect.past.odds(name).by(0.5))
    return Step(
        reason=reason_for(name, species, "opens", dating, prospect.view.on),
        kind=marker.kind,
        counted_from=marker.depends_on,
        numbers=marker.figures,
        usual_p50=dating.traces.date_of(usual),
        file=species.files[name],
        held=None if own else stage_held(species.name, name),
    )


def _past_openings(prospect: Prospect, window: Window) -> tuple[NDArray[np.float64], list[YearDate]]:
    """Each past season's opening as a column, and as dates of its own calendar; without the rule's error."""
    past = prospect.past
    plain = {name: dates[:, None] for name, dates in past.plain.items()}
    opening = open_window(replace(past, dates=plain), window.opens, window.closes)
    years = []
    for label, opens, closes in zip(
        past.traces.labels, opening.opens[:, 0], opening.closes[:, 0], strict=True
    ):
        back = past.traces.season.year - int(label)
        dates = [past.traces.date_of(column) for column in (opens, closes)]
        own = [None if date is None else date.replace(year=date.year - back) for date in dates]
        years.append(YearDate(past.traces.season.shifted(-back).label, *own))
    return opening.opens[:, 0], years
