"""What `report --json` prints."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field

from season_engine.documents import texts
from season_engine.documents.check import Check, SetBy
from season_engine.documents.first_screen import FirstScreen, Look
from season_engine.documents.follow_up import FollowUp, Question
from season_engine.documents.model import Document, Facts
from season_engine.documents.values import Chance, Count, Date, Number, Size, Some
from season_engine.documents.weather import InventedWeather, Place, SiteWeather, weather_facts
from season_engine.documents.year_ago import YearAgo
from season_engine.markers.base import By
from season_engine.report.contents import Report, SiteReport
from season_engine.windows.assessment import Assessment, Verdict
from season_engine.windows.looks import BUDS_TO_LOOK_AT
from season_engine.words.headline import headline
from season_engine.words.speech import for_programs


class Care(Document):
    """A window of the round of small care."""

    species: str
    job: str
    window: str
    verdict: Verdict
    opens: Date | None
    closes: Date | None
    by: SetBy
    opens_by: By
    closes_by: By
    on_hold: bool
    spared: tuple[str, ...] = Field(
        description="Trees left without it for work on their roots, by their ids."
    )


class SeasonSum(Document):
    """A running total over the days of one season, this season's against past ones."""

    name: Literal["heat", "chill"]
    unit: texts.UnitText
    days: tuple[Date, ...]
    so_far: tuple[Number, ...]
    p10: tuple[Number, ...]
    p50: tuple[Number, ...]
    p90: tuple[Number, ...]


class FrostWeek(Document):
    """Chance of at least one night as cold as the level between two dates, both included."""

    first: Date
    last: Date
    chance: Chance


class FrostOdds(Document):
    """The coming weeks at one level."""

    level_c: Number
    weeks: tuple[FrostWeek, ...]


class WaterDemand(Document):
    """Reference evapotranspiration of the last seven days with readings, and of the seven before."""

    through: Date
    last_week_mm: Size
    week_before_mm: Size


class OwnRecord(Document):
    """How earlier reports' openings, foreseen two to six weeks ahead, came out."""

    n: Some = Field(description="Openings.")
    mae: Size = Field(description="Mean error of the middle date, in days, either way.")
    inside: Count = Field(description="Openings inside the range given 8 chances in 10.")
    by_notes: Count = Field(
        description="Openings held against the grower's notes; the others against the season's whole weather."
    )


def _undrawn(a: Assessment) -> Assessment:
    return replace(a, weeks=(), days=())


class ReportOfSite(Place):
    """One site's part of the report."""

    weather: SiteWeather | None
    invented_weather: InventedWeather = Field(validation_alias="invented")
    refusal: texts.SiteRefusal | None
    windows: tuple[Check, ...]
    trees: tuple[Annotated[Check, BeforeValidator(_undrawn)], ...]
    first_screen: FirstScreen = Field(validation_alias="first")
    look_at: tuple[Look, ...] = Field(max_length=BUDS_TO_LOOK_AT)
    care: tuple[Care, ...] = Field(description="The round of small care; dates with the odds the job wants")
    season_sums: tuple[SeasonSum, ...] = Field(validation_alias="sums")
    frost: tuple[FrostOdds, ...]
    tree_names: dict[str, str]
    not_covered: tuple[str, ...]
    notes: tuple[str, ...]
    water_demand: WaterDemand | None = Field(validation_alias="water")
    own_record: OwnRecord | None = Field(description="Null where there are too few.")
    questions: tuple[Question, ...] = Field(description="About the trees, each asked in one week.")
    follow_ups: tuple[FollowUp, ...] = Field(
        description="After jobs on the trees: due by now, and ahead within 120 days."
    )
    year_ago: YearAgo | None = Field(description="Null where nothing was noted in that week.")


class ReportDocument(Document):
    """Everything that is printed on one day."""

    as_of: Date
    headline: str = Field(description="What to do and until when, in a line.")
    demo: bool
    sites: tuple[ReportOfSite, ...]


def report_document(report: Report) -> ReportDocument:
    """What ``report --json`` prints, in the report's units."""
    with for_programs(report.units):
        sites = [_site(site, report.as_of) for site in report.sites]
        return ReportDocument.model_validate(Facts(report, sites=sites, headline=headline(report)))


def _site(site: SiteReport, as_of: dt.date) -> Facts:
    weather = weather_facts(site.weather, as_of, site.own_numbers)
    return Facts(site, site.site, weather=weather, notes=())  # none are left; programs know the key
