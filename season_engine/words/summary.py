"""A whole report in a sentence or two."""

from __future__ import annotations

from season_engine.report.contents import Report, SiteReport, told_of, under
from season_engine.words import naming, notices, prose
from season_engine.words.speech import say

JOBS_SHOWN, SPECIES_SHOWN = 4, 3


def summary(report: Report) -> str:
    """What is in window, site by site; a site that was refused is named."""
    return " ".join(_site(site) for site in report.sites)


def _site(site: SiteReport) -> str:
    name = notices.marked(prose.plain(site.site.name), invented=site.invented)
    if site.refusal:
        return say("At {site} the weather was too poor to say.", site=name)
    jobs: dict[str, list[str]] = {}
    for window in under("now", told_of(site)):
        jobs.setdefault(naming.job_and_window(window), []).append(naming.species_name(window))
    if not jobs:
        return say("At {site} nothing is in window.", site=name)
    told = [
        naming.job_of(job, prose.some_of(list(dict.fromkeys(species)), SPECIES_SHOWN))
        for job, species in jobs.items()
    ]
    if len(told) > JOBS_SHOWN:
        others = prose.counts("and {n} other job", "and {n} other jobs", len(told) - JOBS_SHOWN)
        told = [*told[:JOBS_SHOWN], others]
    return say("In window at {site}: {jobs}.", site=name, jobs="; ".join(told))
