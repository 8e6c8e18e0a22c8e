"""Windows judged on one day, as a sequence and as a data frame."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, overload

from season_engine.windows.assessment import Assessment
from season_engine.windows.hazards import WEEKS_AHEAD
from season_engine.words.need import need_text
from season_engine.words.speech import for_programs
from season_engine.words.today import today_why

if TYPE_CHECKING:
    import pandas as pd

DATES = (
    *(f"{end}_{share}" for end in ("opens", "closes") for share in ("p10", "p50", "p90")),
    "usual_opens_p50",
    "usual_closes_p50",
)
WEEKS = 1 + WEEKS_AHEAD


class Windows(Sequence[Assessment]):
    """Windows judged on one day, each an `Assessment`; `to_frame` has them as a table."""

    def __init__(self, assessments: Iterable[Assessment]) -> None:
        self._assessments = tuple(assessments)

    @overload
    def __getitem__(self, place: int) -> Assessment: ...
    @overload
    def __getitem__(self, place: slice) -> Windows: ...
    def __getitem__(self, place: int | slice) -> Assessment | Windows:
        found = self._assessments[place]
        return Windows(found) if isinstance(found, tuple) else found

    def __len__(self) -> int:
        return len(self._assessments)

    def __repr__(self) -> str:
        return f"Windows([{', '.join(f'{a.job} {a.window}: {a.verdict}' for a in self)}])"

    def to_frame(self) -> pd.DataFrame:
        """One row a window.

        Columns, named as in ``check --json``: ``site``, ``species``, ``tree`` (its id, or None), ``job``,
        ``window``, ``season``, ``verdict``, ``today``, ``today_why``; ``chance_given`` and
        ``chance_open_now`` (0 to 1); ``opens_p10`` to ``closes_p90``, dates by which 10, 50 and 90 in 100
        chances have come, NaT for later than any date; ``usual_opens_p50``, ``usual_closes_p50``, middle
        dates of past seasons; ``goes_well_0`` to ``goes_well_4``, the chance that work today or in so many
        weeks finds the window open and brings none of the job's hazards, NaN where that is far off;
        ``refused``, why a tree must not be worked; ``by``, ``opens_by`` and ``closes_by``, what sets both
        ends or one of them, ``weather`` or ``calendar``.
        """
        import pandas as pd

        with for_programs("degC"):
            frame = pd.DataFrame([_row(a) for a in self], columns=COLUMNS)
        for name in DATES:
            frame[name] = pd.to_datetime(frame[name])
        return frame


COLUMNS = (
    *("site", "species", "tree", "job", "window", "season", "verdict", "today", "today_why"),
    *("chance_given", "chance_open_now", *DATES),
    *(f"goes_well_{week}" for week in range(WEEKS)),
    "refused",
    *("by", "opens_by", "closes_by"),
)


def _row(a: Assessment) -> tuple[str | float | dt.date | None, ...]:
    well = [week.chance_good for week in a.ahead] or [float("nan")] * WEEKS
    return (
        *(a.site, a.species, a.tree, a.job, a.window, a.season, a.verdict, a.today, today_why(a.today_why)),
        *(a.chance_given, a.chance_open_now),
        *(a.opens.p10, a.opens.p50, a.opens.p90),
        *(a.closes.p10, a.closes.p50, a.closes.p90),
        *(a.usual.opens_p50, a.usual.closes_p50),
        *well,
        need_text(a.need.why) if a.need and a.left_alone else "",
        *(a.by, a.opens.by, a.closes.by),
    )
