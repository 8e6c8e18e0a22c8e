"""What a fit on pooled notes came to, as a table 80 columns wide."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from season_engine.prints.layout import wrapped
from season_engine.verify.pooled_fit import EventFit
from season_engine.words.pooled_notes import outcome_text
from season_engine.words.prose import plain

_HEADER = ("yards", "dates", "left out", "mean date", "catalogue")
_WIDTHS = (7, 7, 10, 11, 11)
_LEGEND = (
    "Mean error in days, either way. Left out: of the rule fitted without the yard it is tried at. Mean "
    "date: of the yard's other years, which a yard without notes hasn't got. Catalogue: of the rule that "
    "is there now; in brackets where it has seen such dates."
)


def pooled_fit_text(fits: Iterable[EventFit]) -> str:
    """Two lines an event, and what the columns mean."""
    lines = [line for fit in fits for line in _event(fit)]
    return "\n".join([_row(_HEADER), *lines, "", *wrapped(_LEGEND, "")]) + "\n"


def _event(fit: EventFit) -> Iterator[str]:
    yield f"{plain(fit.event.species)}, BBCH {fit.event.bbch:02d}: {outcome_text(fit)}"
    cells = [str(fit.yards), str(fit.dates)]
    if fit.errors:
        present = f"{fit.errors.catalogue:.1f}"
        seen = fit.errors.catalogue_better is None
        cells += [
            f"{fit.errors.left_out:.1f}",
            f"{fit.errors.mean_date:.1f}",
            f"({present})" if seen else present,
        ]
    yield _row(cells)


def _row(cells: Iterable[str]) -> str:
    return "".join(f"{cell:>{width}}" for cell, width in zip(cells, _WIDTHS, strict=False))
