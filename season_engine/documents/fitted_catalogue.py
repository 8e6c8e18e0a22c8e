"""Fitted rules as a grower's own catalogue file."""

from __future__ import annotations

import json
from collections.abc import Iterable

from season_engine.markers.kinds.softened_forcings import SoftenedForcings
from season_engine.verify.pooled_fit import EventFit

HEAD = """\
# Fitted on yards' own dates by `season-engine fit-catalogue`. Name it in season.toml, catalogue = ["..."], or
# put it beside that as catalogue.toml; each table stands in place of the catalogue's of that name.
"""


def fitted_toml(fits: Iterable[EventFit]) -> str:
    """A table for each event that was fitted; empty where none was."""
    tables = [_table(fit, fit.marker) for fit in fits if fit.marker is not None]
    return "\n".join([HEAD, *tables]) if tables else ""


def _table(fit: EventFit, marker: SoftenedForcings) -> str:
    rules = "".join(
        f"  {{ from_day = {one.from_day}, steepness_per_c = {one.steepness_per_c:g}, "
        f"middle_c = {one.middle_c:g}, softening = {one.softening:g}, need = {one.need:.4g} }},\n"
        for one in marker.rules
    )
    return f"""\
[species.{_quoted(fit.event.species)}.marker.{fit.name}]
kind = "softened_forcings"
label = {_quoted(marker.label.template)}
bbch = {marker.bbch}
after = "{marker.after}"
rules = [
{rules}]
sd_days = {marker.sd_days:.1f}
year_sd_days = {marker.year_sd_days:.1f}
fitted_until = {marker.fitted_until}
from = "fit"
source = {_quoted(_source(fit, marker))}
"""


def _source(fit: EventFit, marker: SoftenedForcings) -> str:
    errors = fit.errors
    judged = f", {errors.left_out:.1f} at a yard left out" if errors else ""
    mean = f"; the mean date of a yard's other years errs {errors.mean_date:.1f}" if errors else ""
    return (
        f"{fit.event.species} in {fit.yards} yards, years to {marker.fitted_until}, n = {fit.dates}; "
        f"mean error {fit.within:.1f} days{judged}{mean}; notes given by growers and networks for this fit"
    )


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)
