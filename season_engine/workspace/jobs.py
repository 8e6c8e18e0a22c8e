"""The jobs a grower does on a tree, by the names used everywhere."""

from __future__ import annotations

from season_engine.errors import GrowerError
from season_engine.files.text import did_you_mean, shortened

JOBS: tuple[str, ...] = (
    "repotting",
    "sectional-repotting",
    "slip-potting",
    "decandling",
    "candle-shortening",
    "cut-back",
    "needle-work",
    "winter-tidy",
    "bud-thinning",
    "structural-pruning",
    "trimming",
    "after-bloom-pruning",
    "defoliation",
    "wiring",
    "wire-check",
    "deadwood",
    "feeding",
    "shade",
    "winter-shelter",
    "collecting",
    "air-layering",
    "cuttings",
    "grafting",
)


def job_named(name: str) -> str:
    """The job of that name, spaces and underscores doing for hyphens; raises GrowerError."""
    job = "-".join(name.casefold().replace("_", " ").replace("-", " ").split())
    if job not in JOBS:
        hint = did_you_mean(job, JOBS) or f"The jobs are {', '.join(JOBS)}."
        raise GrowerError(f'There is no job "{shortened(name)}".', hint=hint, field="job")
    return job
