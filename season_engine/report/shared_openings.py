"""What two yards share: the next opening of each window at both."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from season_engine.report.contents import Report, SiteReport, next_opening, next_opens
from season_engine.windows.assessment import Assessment, Quantiles


@dataclass(frozen=True, slots=True)
class SharedOpening:
    """One window at two sites, and its next opening at each."""

    first: Assessment
    other: Assessment

    @property
    def here(self) -> Quantiles:
        """At the first."""
        return next_opens(self.first) or self.first.opens

    @property
    def there(self) -> Quantiles:
        """At the other."""
        return next_opens(self.other) or self.other.opens

    @property
    def days_later(self) -> int:
        """By how much the middle date at the other is later; less than 0: earlier."""
        return (self.there.p50 - self.here.p50).days if self.here.p50 and self.there.p50 else 0


def compared_sites(report: Report) -> tuple[SiteReport, ...]:
    """The first two sites of which something can be said; none where there are fewer."""
    told = tuple(site for site in report.sites if not site.refusal)
    return told[:2] if len(told) > 1 else ()


def shared_openings(report: Report) -> tuple[SharedOpening, ...]:
    """The windows that open next at both of these sites."""
    sites = compared_sites(report)
    if not sites:
        return ()
    first, other = ({(a.species, a.job, a.window): a for a in site.windows} for site in sites)
    both = (SharedOpening(first[key], other[key]) for key in first if key in other)
    return tuple(one for one in both if all(_ahead(a, report.as_of) for a in (one.first, one.other)))


def _ahead(a: Assessment, as_of: dt.date) -> bool:
    date = next_opening(a)
    return date is not None and date > as_of and a.seldom_well is None
