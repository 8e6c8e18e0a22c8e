"""All checks in their order, and what they find in a record."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from season_engine.weather.quality import plain, repeats, steps, unlikely
from season_engine.weather.quality.readings import Find, Finding, Readings, runs
from season_engine.weather.series import BoolArray, DailySeries


@dataclass(frozen=True)
class Check:
    """One check of the table below."""

    kind: str  # as faults are named, in JSON too: "neighbour" is held against the second source
    source: str  # where it is published
    limit: str
    find: Find
    leaves_out: bool = True


# GHCN-Daily's, ECA&D's and HadISD's. A work is cited in the same words everywhere (tests/test_sources.py).
GHCN = (
    "Durre et al. (2010), Comprehensive automated quality assurance of daily surface observations, "
    "Journal of Applied Meteorology and Climatology 49, 1615-1633, read in a secondary copy"
)
ECAD = (
    "European Climate Assessment & Dataset (no year), rules of its flags, read in a secondary copy, the "
    "library xclim"
)
HADISD = (
    "Dunn et al. (2012), HadISD: a quality-controlled global synoptic report database for selected "
    "variables at long-term stations from 1973-2011, Climate of the Past 8, read in a secondary copy"
)
SNHT = (
    "Alexandersson (1986), A homogeneity test applied to precipitation data, Journal of Climatology 6, "
    "661-675, abstract read in a stored copy"
)

# In this order, after GHCN-Daily: the plainest first, so that their faults don't blur what is usual.
CHECKS = (
    Check("naught", GHCN, "both extremes 0 degC or 0 degF", plain.naught),
    Check("range", GHCN, "beyond -89.4 or 57.7 degC (limits from memory)", plain.bounds),
    Check("crossed", f"{GHCN}; {ECAD}", "Tmin above Tmax", plain.crossed),
    Check("copied", GHCN, "both extremes of 7 days and more as on earlier days", repeats.copies),
    Check("flat", GHCN, "Tmin equal to Tmax on 10 days of a calendar month (from memory)", repeats.flat_days),
    Check(
        "stuck",
        f"{ECAD}; {GHCN}",
        "5 equal days; of whole or half degrees 15, one extreme 20",
        repeats.streaks,
    ),
    Check("units", "our own", "3 spreads off as read, nearer in the other unit", unlikely.mixed_units),
    Check("apart", GHCN, "10 degC from all others of the calendar month", unlikely.apart),
    Check("outlier", GHCN, "6 robust spreads (12 degC) off the 15-day usual", unlikely.outliers),
    Check(
        "spike",
        f"{HADISD}; {GHCN}",
        "1 to 3 days off both sides by 4 spreads of daily steps, 10 degC",
        unlikely.spikes,
    ),
    Check("neighbour", GHCN, "5 robust spreads off the second source", unlikely.beside_second_source),
    Check(
        "step",
        f"in the manner of the test; {SNHT}",
        "4 degC, beside a second source 1.25 degC",
        steps.steps,
        False,
    ),
)


@dataclass(frozen=True)
class Flag:
    """A finding with the check it comes from; `kept` where the grower says the readings are right."""

    check: Check
    finding: Finding
    kept: bool = False

    @property
    def leaves_out(self) -> bool:
        """Whether the readings are taken out."""
        return self.check.leaves_out and not self.kept


def examine(
    series: DailySeries, *, second: DailySeries | None = None, keep: BoolArray | None = None
) -> tuple[DailySeries, tuple[Flag, ...]]:
    """The series without its false readings (NaN), and all that was flagged, in order of days.

    `second` are a second source's of the same days, in this yard's terms; `keep` marks days, shape (days,),
    that stay whatever a check says.
    """
    readings = Readings(series, second)
    keep = np.zeros(len(series), dtype=bool) if keep is None else keep
    flags: list[Flag] = []
    for check in CHECKS:
        found = [
            Flag(check, part, kept) for one in check.find(readings) for part, kept in _divided(one, keep)
        ]
        readings.leave_out(flag.finding for flag in found if flag.leaves_out)
        flags += found
    flags.sort(key=lambda flag: (flag.finding.first, flag.finding.rows))
    return DailySeries(series.first_day, *readings.values), tuple(flags)


def _divided(finding: Finding, keep: BoolArray) -> Iterator[tuple[Finding, bool]]:
    """A finding in runs of days that stay and of days that don't."""
    inside = keep[finding.first : finding.last + 1]
    for kept in (False, True):
        for first, last in runs(inside == kept):
            yield replace(finding, first=finding.first + first, last=finding.first + last), kept
