"""What is known about one job on one species at one site on one day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from season_engine.facts import NO_TEXT, Text, Unit
from season_engine.markers.base import By, Figure
from season_engine.markers.so_far import SoFar
from season_engine.note import Sighting
from season_engine.phenology.learning import Use
from season_engine.pot import Colour, Exposure
from season_engine.site import Hemisphere
from season_engine.species.held import Held
from season_engine.species.schema import Severity
from season_engine.tables.known import Provenance
from season_engine.trees.follow_ups import FollowUp
from season_engine.trees.need import Need
from season_engine.trees.programme import Programme
from season_engine.trees.recovery import Recovery
from season_engine.weather.notices import Warned
from season_engine.weather.sources.origins import SourceFact
from season_engine.windows.cautions import Caution
from season_engine.windows.hazard import Hazard
from season_engine.windows.tree_notes import Course, TreeNote
from season_engine.windows.why_today import WhyToday
from season_engine.windows.window_notes import WindowNote

Verdict = Literal["wait", "soon", "open", "last-call", "closed", "not-here"]
IN_WINDOW: tuple[Verdict, ...] = ("open", "last-call")
AT_HAND: tuple[Verdict, ...] = ("soon", *IN_WINDOW)
Today = Literal["do", "hold", "only-with-shelter", "no"]
End = Literal["opens", "closes"]


@dataclass(frozen=True, slots=True)
class Quantiles:
    """Dates by which 10, 50 and 90 in 100 have happened; None: later than any date looked at."""

    p10: dt.date | None
    p50: dt.date | None
    p90: dt.date | None
    calendar: End | None = None  # the end of a window this is, where the calendar sets it: one date

    @property
    def by(self) -> By:
        """What sets it."""
        return "calendar" if self.calendar else "weather"


def by_of(opens: By, closes: By) -> By:
    """What sets a window's dates, by what sets each end: the calendar where it sets both."""
    return opens if opens == closes else "weather"


@dataclass(frozen=True, slots=True)
class Standing:
    """The two dates a verdict rests on, and whether they had to be the middle dates."""

    opens: dt.date | None
    closes: dt.date | None
    unsure: bool

    @property
    def given(self) -> bool:
        """Whether the season has the window in at least half the chances."""
        return self.opens is not None and self.closes is not None


NOWHERE = Standing(None, None, unsure=False)


@dataclass(frozen=True, slots=True)
class NextWindow:
    """The same window one season on."""

    season: str
    opens: Quantiles
    closes: Quantiles
    standing: Standing = NOWHERE
    left: bool = False  # whether the tree is to be left without the job then


@dataclass(frozen=True, slots=True)
class Usual:
    """Middle dates over the site's whole past seasons, in the judged season's calendar."""

    opens_p50: dt.date | None
    closes_p50: dt.date | None
    years: int


@dataclass(frozen=True, slots=True)
class Reason:
    """One criterion of the window: what was measured and what is needed."""

    marker: str  # the marker's name in the catalogue, such as "candles_moving"
    label: Text  # words that follow "when"
    so_far: SoFar | None  # how far it is, where that is told
    have: float | None  # measured up to today, in `unit`
    need: float | None
    unit: Unit
    met: bool
    date_p50: dt.date | None
    provenance: Provenance
    source: Text = NO_TEXT
    role: End = "opens"
    by: By = "weather"  # "calendar": no weather has a part in its date
    reach: Text = NO_TEXT  # what its numbers were measured in, where that is told
    stretched: bool = False  # to this species from others
    from_the_start: bool = False  # met on the very day it was first looked for, so that its date is no event


@dataclass(frozen=True, slots=True)
class WeekAhead:
    """The job done on a date: is the window open then, and what may follow."""

    date: dt.date
    chance_open: float
    chance_closed: float
    hazards: tuple[float, ...]  # chance of each of the assessment's hazards, in their order
    chance_good: float  # open then, and none of the hazards after it


@dataclass(frozen=True, slots=True)
class WeekChance:
    """Chance that the window is open on a date, this season and over whole past seasons."""

    date: dt.date
    chance: float
    usual: float


@dataclass(frozen=True, slots=True)
class DayChance:
    """Chance that the window has opened by a date, this season and over whole past seasons."""

    date: dt.date
    chance: float
    usual: float


@dataclass(frozen=True, slots=True)
class Step:
    """One marker on the way to a window's dates."""

    reason: Reason
    kind: str
    counted_from: tuple[str, ...]  # the markers it is counted from or until
    numbers: Mapping[str, Figure]  # as the catalogue has them
    usual_p50: dt.date | None  # over whole past seasons, in the judged season's calendar
    file: str  # of the catalogue
    held: Held | None = None  # against growers' dates, where it is a stage that they gave


@dataclass(frozen=True, slots=True)
class YearDate:
    """What one past season's weather gave."""

    season: str
    opens: dt.date | None
    closes: dt.date | None


@dataclass(frozen=True, slots=True)
class NoteRead:
    """One of the grower's notes and what became of it; what follows `marker` where it moves the dates."""

    date: dt.date
    tree: str | None
    bbch: int
    sighting: Sighting
    use: Use
    age_years: int
    marker: str | None  # that stands for its stage
    rule: dt.date | None  # what the catalogue's rule gave in that season's weather; usually, for an own date
    difference_days: float | None  # noted later than that
    weight: float | None  # by its age, and how surely its stage stands for the marker's
    right: float | None  # chance that it is no slip
    later_days: float | None  # by which the marker comes after the stage that was noted


@dataclass(frozen=True, slots=True)
class MarkerMoved:
    """By how much the notes move a marker, and the error of its rule with and without them."""

    marker: str
    days: float  # later than the catalogue, in the middle of past seasons
    sd_before_days: float
    sd_after_days: float
    by_own_dates: bool = False  # which it goes by instead of its rule


@dataclass(frozen=True, slots=True)
class LearntTrail:
    """What was learnt from the notes, and from which."""

    species: str  # botanical name
    notes: tuple[NoteRead, ...]
    shift_days: float  # later than the catalogue, all notes together
    yard_days: float  # of it, by how much the notes of other kinds have the yard run late for all
    tree_days: float  # by how much the tree runs later than its kind
    markers: tuple[MarkerMoved, ...]


@dataclass(frozen=True, slots=True)
class LearntSummary:
    """What the grower's notes changed."""

    notes: int  # of past seasons, on this kind; 0: those of the yard's other kinds alone tell of it
    days: int  # by which these have it run later than the catalogue; less than 0: earlier
    seen_this_season: bool  # whether what was seen this season is counted in
    own_dates: tuple[Text, ...] = ()  # what of the window goes by the yard's own dates, not by its rule


@dataclass(frozen=True, slots=True)
class OwnNumber:
    """What a number of the grower's own does to the usual dates of a window, where that is much."""

    file: str
    line: int
    marker: str
    species: str
    job: str
    window: str
    end: End
    site: str
    days: int | None  # later than by the number it replaces; None: most seasons no longer have the window
    past: bool = False  # the window now opens after a stage that closes it


@dataclass(frozen=True, slots=True)
class PotTaken:
    """The pot that dates and hazards of roots are worked out for, and what nobody said of it."""

    litres: float
    known_by: Literal["pot", "size"]
    sun: Exposure
    sun_told: bool
    colour: Colour | None  # None: nobody said, and unglazed ceramic is taken


@dataclass(frozen=True, slots=True)
class Explanation:
    """The trail behind a window's dates."""

    steps: tuple[Step, ...]
    early: tuple[YearDate, ...]
    late: tuple[YearDate, ...]
    years: int
    learnt: LearntTrail
    pot: PotTaken | None = None  # None: no roots are looked at
    held: Held | None = None  # against growers' dates, where there are some for this window


@dataclass(frozen=True, slots=True)
class Assessment:
    """One window judged on one day; `check --json` prints this."""

    site: str
    species: str  # botanical name
    common_name: str
    job: str
    window: str
    as_of: dt.date
    data_through: dt.date
    hemisphere: Hemisphere
    season: str
    verdict: Verdict
    today: Today
    today_why: WhyToday
    floor: float  # the odds this job wants before it is called open
    chance_given: float  # share of chances in which the season has this window at all
    chance_open_now: float
    opens: Quantiles
    closes: Quantiles
    next: NextWindow | None
    usual: Usual
    reasons: tuple[Reason, ...]
    hazards: tuple[Hazard, ...]
    weeks: tuple[WeekChance, ...]  # one a week around the day, for programs that draw
    cautions: tuple[Caution, ...] = ()  # what can hurt whoever does it
    notes: tuple[WindowNote, ...] = ()  # what the window and its species say of themselves
    days: tuple[DayChance, ...] = ()  # the next six weeks, where the floor is reached within them
    ahead: tuple[WeekAhead, ...] = ()  # today and the next four weeks
    best: dt.date | None = None  # the best of those weeks, where one is worth naming
    learnt: LearntSummary | None = None  # what the grower's notes changed, where they did
    explanation: Explanation | None = None  # where it was asked for
    severity: Severity | None = None  # of root work
    school: str = ""  # where growers disagree: which of them work so
    aftercare: tuple[Text, ...] = ()
    tree: str | None = None  # the tree's id, where one was asked about
    standing: Standing = NOWHERE  # the dates the verdict rests on
    need: Need | None = None  # of the tree, where one was asked about
    programme: Programme | None = None  # of its root ball, where that is renewed in parts and roots are meant
    recovery: Recovery | None = None  # what the tree gets over, and the heavy jobs that are off for it
    course: Course | None = None  # the winter's work that it is part of
    of_tree: tuple[TreeNote, ...] = ()  # what the job would keep from the tree later
    follow_ups: tuple[FollowUp, ...] = ()  # after what the tree had, where one was asked about
    seldom_well: float | None = None  # the best chance that it goes well, where that is too small to invite
    opens_too_late: bool = False  # worked once it is open, too little warmth is left for the tree to recover
    others: tuple[Assessment, ...] = ()  # the job's other windows, where one was picked, the nearest first
    sources: tuple[SourceFact, ...] = ()
    warnings: tuple[Warned | OwnNumber, ...] = ()
    invented_weather: bool = False

    @property
    def by(self) -> By:
        """What sets its dates: the calendar where it sets both ends."""
        return by_of(self.opens.by, self.closes.by)

    @property
    def in_window(self) -> bool:
        """Whether the window is open."""
        return self.verdict in IN_WINDOW

    @property
    def may_be_done(self) -> bool:
        """Whether nothing holds the job back today, if need be with shelter after it."""
        return self.today in ("do", "only-with-shelter")

    @property
    def at_hand(self) -> bool:
        """Whether the window is open, or soon will be."""
        return self.verdict in AT_HAND

    @property
    def due(self) -> bool:
        """Whether the tree is due for it."""
        return self.need is not None and self.need.state == "due"

    @property
    def left_alone(self) -> bool:
        """Whether the tree is to be left without the job, whatever its window."""
        return self.need is not None and self.need.state == "leave"
