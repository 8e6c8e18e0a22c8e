"""What `compare --json` prints."""

from __future__ import annotations

from pydantic import AliasPath, Field, field_validator

from season_engine.advice.compare import Comparison
from season_engine.documents import texts
from season_engine.documents.check import ClosesBy, OpensBy, Quantiles, SetBy
from season_engine.documents.model import Document, Facts
from season_engine.documents.values import Chance, Count, Date, SeasonLabel
from season_engine.documents.weather import InventedWeather, Place
from season_engine.facts import Units
from season_engine.words.speech import for_programs


class ComparedSite(Place):
    """One of the sites."""

    invented_weather: InventedWeather


class Spread(Document):
    """Days that 10, 50 and 90 in 100 chances stay at or below."""

    p10: float
    p50: float
    p90: float


class Difference(Document):
    """Days later at the other site than at the first, below 0 earlier.

    `paired` holds the same year (where years_paired) and the same error of the rule together at both sites,
    `unpaired` any with any.
    """

    paired: Spread
    unpaired: Spread


class SiteDates(Document):
    """One site's dates of a window, over the years that are compared."""

    season: SeasonLabel
    chance_given: Chance
    opens: Quantiles
    closes: Quantiles
    by: SetBy
    opens_by: OpensBy
    closes_by: ClosesBy


class Contrast(Document):
    """One window at two sites over one set of years.

    The differences are null where too seldom both have the window.
    """

    years_paired: bool
    years: Count
    years_only_first: Count
    years_only_other: Count
    first: SiteDates
    other: SiteDates
    chance_both: Chance
    opens_days_later: Difference | None = Field(validation_alias="opens")
    closes_days_later: Difference | None = Field(validation_alias="closes")


class Pair(Document):
    """The first site and another: over whole past seasons, and in the season of the day asked about."""

    other: str = Field(validation_alias=AliasPath("other", "name"))
    past: Contrast
    season: Contrast


class ComparedWindow(Document):
    """One window of one species at the first site and each of the others."""

    species: str
    job: str
    window: str
    pairs: tuple[Pair, ...] = Field(min_length=1)


class ComparisonDocument(Document):
    """Every window at the first site and the others."""

    as_of: Date
    demo: bool
    first: str
    sites: tuple[ComparedSite, ...] = Field(min_length=2)
    invented_weather: bool = Field(description="Whether the weather of any of the sites is invented.")
    windows: tuple[ComparedWindow, ...]
    not_covered: tuple[str, ...]
    sources: tuple[texts.SourceText, ...]
    warnings: texts.WarningTexts

    @field_validator("sources")
    @classmethod
    def _each_once(cls, sources: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(dict.fromkeys(sources))


def comparison_document(c: Comparison, units: Units = "degC") -> ComparisonDocument:
    """What ``compare --json`` prints; differences in days, later than at the first site above 0."""
    sites = [Facts(site, invented_weather=site.name in c.invented) for site in c.sites]
    with for_programs(units):
        return ComparisonDocument.model_validate(
            Facts(c, first=c.sites[0].name, sites=sites, invented_weather=bool(c.invented))
        )
