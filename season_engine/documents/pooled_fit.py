"""What `fit-catalogue --json` prints."""

from __future__ import annotations

from collections.abc import Iterable

from pydantic import Field

from season_engine.documents.model import Document, Facts
from season_engine.documents.values import Count, Date, Number, Size, Some, Stage
from season_engine.verify.pooled_fit import EventFit, Outcome


class SlipDate(Document):
    """A date that was left out as a slip."""

    yard: str = Field(description="The place, with its file.")
    date: Date
    days: Number = Field(description="Days later than its yard's other dates let expect.")


class FitErrors(Document):
    """Mean sizes of errors, in days, on the same dates."""

    left_out: Size = Field(description="Of the rule fitted without the yard it is tried at.")
    mean_date: Size = Field(description="Of the mean date of the yard's other years.")
    catalogue: Size = Field(description="Of the catalogue's rule.")
    catalogue_better: bool | None = Field(
        description="Whether that rule does as well on dates it has not seen; null where these are too few."
    )


class FittedEvent(Document):
    """One stage of a species."""

    species: str
    bbch: Stage
    marker: str | None = Field(description="What the catalogue calls it; null where it has no such marker.")
    outcome: Outcome = Field(description="Fitted, or why the catalogue's rule is left.")
    yards: Some
    dates: Some
    errors: FitErrors | None = Field(description="Null where nothing was fitted.")
    slips: tuple[SlipDate, ...]


class PooledFit(Document):
    """What became of each stage, and where the fitted ones were written."""

    train_until: int | None = Field(description="The last year of the seasons fitted on; null for all.")
    yards: Count = Field(description="Yards and stations, each counted once.")
    file: str | None = Field(description="The catalogue file; null where nothing was written.")
    events: tuple[FittedEvent, ...]


def pooled_fit_document(
    fits: Iterable[EventFit], yards: int, train_until: int | None, file: str | None
) -> PooledFit:
    """What ``fit-catalogue --json`` prints."""
    events = [Facts(fit.event, fit, marker=fit.name or None) for fit in fits]
    return PooledFit.model_validate(
        {"train_until": train_until, "yards": yards, "file": file, "events": events}
    )
