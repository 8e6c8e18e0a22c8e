"""A whole report in a sentence or two."""

from __future__ import annotations

from season_engine.report import phrases
from season_engine.report.contents import Report, SiteReport, told_of, under

JOBS_SHOWN, SPECIES_SHOWN = 4, 3


def summary(report: Report) -> str:
    """What is in window, site by site; a site that was refused is named."""
    demo = "Demonstration, with invented weather. " if report.demo else ""
    return demo + " ".join(_site(site) for site in report.sites)


def _site(site: SiteReport) -> str:
    name = phrases.plain(site.site.name)
    if site.refusal:
        return f"At {name} the weather was too poor to say."
    jobs: dict[str, list[str]] = {}
    for window in under("now", told_of(site)):
        jobs.setdefault(phrases.job_and_window(window), []).append(phrases.species_name(window))
    if not jobs:
        return f"At {name} nothing is in window."
    told = [
        f"{job} of {phrases.some_of(list(dict.fromkeys(species)), SPECIES_SHOWN)}"
        for job, species in jobs.items()
    ]
    if len(told) > JOBS_SHOWN:
        told = [*told[:JOBS_SHOWN], f"and {phrases.counted(len(told) - JOBS_SHOWN, 'other job')}"]
    return f"In window at {name}: {'; '.join(told)}."
