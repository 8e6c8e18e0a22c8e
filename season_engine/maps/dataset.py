"""What a batch writes: the names of its files and of its columns, for those who write and read them."""

from __future__ import annotations

from season_engine.windows.hazards import WEEKS_AHEAD

RUN = "_run.json"  # readers of a dataset pass over files that begin so
PART = "part.parquet"
STAMP = b"season_engine"  # the key of a block's metadata: what its run rests on, as in that file

PLACE = ("latitude", "longitude")
NAMES = ("species", "job", "window")
STATE = ("season", "verdict", "today")
CHANCES = ("floor", "chance_open", "chance_given")
QUANTILES = tuple(f"{end}_{share}" for end in ("opens", "closes") for share in ("p10", "p50", "p90"))
USUAL = ("usual_opens", "usual_closes")
GOOD = tuple(f"good_w{week}" for week in range(WEEKS_AHEAD + 1))
MONDAY = "earliest_safe_monday"
SUMS = ("chill_portions", "heat_gdh")
