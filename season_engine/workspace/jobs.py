"""The jobs a grower does on a tree, by the names used everywhere."""

from __future__ import annotations

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
