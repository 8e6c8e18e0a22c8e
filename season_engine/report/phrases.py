"""Dates, odds and counts in words, and what each verdict says."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Sequence
from typing import Protocol

from season_engine.windows.assessment import Assessment, Hazard, Quantiles, Reason
from season_engine.windows.jobs import JOBS
from season_engine.windows.odds import odds as odds  # a word of this module too

_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_NUMBERS = (
    "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
)  # fmt: skip
_JOINERS = "\u200c\u200d"  # invisible, but part of the spelling in several scripts

AS_USUAL_DAYS = 3  # a smaller difference is noise, and not worth a grower's attention

CHILL_PORTION = (
    "A chill portion is a unit of winter cold (dynamic model): a day or so of steady weather at about "
    "6 °C banks one, frost and warmth bank little or nothing, and what is banked is kept."
)
HEAT_UNIT = "Heat counts the warmth of each day above a base temperature and adds it up."
UNSEEN = (
    "Daily lowest and highest temperatures can't see hail, wind, rain, humidity or sun. Tie a freshly "
    "potted tree into its pot, and keep it out of wind until it no longer rocks."
)
INVENTED = "The weather is invented. It shows what a report looks like; work no tree by it."
NOTHING_NOW = "No window is open, and none opens within two weeks."
SAFETY = (
    "Wire springs back when it is cut: shield your eyes.",
    "Sprays: read the label, keep to local rules, and leave licensed products to licensed people.",
    "Wild trees: collect only with the owner's leave and within local law.",
)


def plain(text: str) -> str:
    """One line without control characters, whatever a name or note holds; ``degC`` as ``°C``."""
    shown = (c if c.isprintable() or c in _JOINERS else " " for c in text)
    return re.sub(r"(?<=\d )deg(?=[CF]\b)", "°", " ".join("".join(shown).split()))


def sentence(text: str) -> str:
    """With a capital and a full stop."""
    text = plain(text)
    if not text:
        return ""
    return text[0].upper() + text[1:] + ("" if text[-1] in ".!?" else ".")


def listing(items: Sequence[str]) -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} and {items[-1]}"


def some_of(items: Sequence[str], most: int) -> str:
    """A listing of at most `most` items, then ``and two more``."""
    if len(items) <= most + 1:
        return listing(items)
    return f"{', '.join(items[:most])} and {number(len(items) - most)} more"


def number(count: int) -> str:
    """In words up to twelve."""
    return _NUMBERS[count] if 0 <= count < len(_NUMBERS) else f"{count:,}"


def counted(count: int, one: str, many: str = "") -> str:
    """``one tree``, ``two trees``, ``no trees``."""
    return f"{number(count)} {one if count == 1 else many or one + 's'}"


def short_day(date: dt.date, as_of: dt.date) -> str:
    """``11 Aug``, with the year where it isn't the year of `as_of`."""
    year = "" if date.year == as_of.year else f" {date.year}"
    return f"{date.day} {_MONTHS[date.month - 1]}{year}"


def day(date: dt.date, as_of: dt.date) -> str:
    """``Tue 11 Aug``, with the year where it isn't the year of `as_of`."""
    return f"{_DAYS[date.weekday()]} {short_day(date, as_of)}"


def full_day(date: dt.date) -> str:
    """``Tue 11 Aug 2026``."""
    return f"{_DAYS[date.weekday()]} {date.day} {_MONTHS[date.month - 1]} {date.year}"


def iso_week(date: dt.date) -> str:
    """``2026-W33``: also the name of the week's folder."""
    year, week, _ = date.isocalendar()
    return f"{year}-W{week:02d}"


def between(low: dt.date, high: dt.date, as_of: dt.date) -> str:
    """``between 3 and 21 Apr``; month and year only where they are needed."""
    last = short_day(high, as_of)
    if (low.year, low.month) == (high.year, high.month):
        return f"between {low.day} and {last}"
    first = short_day(low, high) if low.year == high.year else short_day(low, as_of)
    return f"between {first} and {last}"


def when(dates: Quantiles, as_of: dt.date) -> str:
    """``between 3 and 21 Apr, most likely about 11 Apr``, for an event still ahead."""
    low, middle, high = dates.p10, dates.p50, dates.p90
    if middle is None:
        if low is None:
            return "not within the days looked at"
        return f"not before {short_day(low, as_of)}, and more likely not at all this season"
    low = low or middle
    if high is None:
        return (
            f"from {short_day(low, as_of)} on, most likely about {short_day(middle, as_of)}, "
            "and perhaps not at all this season"
        )
    if low == high:
        return f"on {day(middle, as_of)}"
    return f"{between(low, high, as_of)}, most likely about {short_day(middle, as_of)}"


def give_or_take(dates: Quantiles) -> str:
    """``give or take five days``: half the span that holds 8 chances in 10; empty if it has no end."""
    if dates.p10 is None or dates.p90 is None:
        return ""
    half = round((dates.p90 - dates.p10).days / 2)
    if half == 0:
        return "to the day"
    return "give or take a day" if half == 1 else f"give or take {number(half)} days"


def about(dates: Quantiles, as_of: dt.date) -> str:
    """``about Tue 11 Aug, give or take five days``; one date where it has happened."""
    if dates.p50 is None:
        return when(dates, as_of)
    if dates.p10 == dates.p90 == dates.p50:
        return f"on {day(dates.p50, as_of)}"
    return f"about {day(dates.p50, as_of)} ({give_or_take(dates) or 'perhaps much later, or not at all'})"


def against_usual(date: dt.date | None, usual: dt.date | None) -> str:
    """``nine days earlier than usual``; empty where there is nothing to compare."""
    if date is None or usual is None:
        return ""
    days = (date - usual).days
    if abs(days) <= AS_USUAL_DAYS:
        return "about as usual"
    return f"{counted(abs(days), 'day')} {'later' if days > 0 else 'earlier'} than usual"


def job_name(job: str) -> str:
    """As a grower says it: ``shortening candles`` for ``candle-shortening``."""
    words = JOBS[job].words if job in JOBS else job.replace("-", " ")
    return plain(words.removeprefix("the "))


class OfOneSpecies(Protocol):
    """Whatever speaks of one species."""

    @property
    def species(self) -> str:
        """Botanical name."""

    @property
    def common_name(self) -> str:
        """Common name, may be empty."""


class OfOneJob(Protocol):
    """Whatever speaks of one job's window."""

    @property
    def job(self) -> str:
        """The job's key, such as ``needle-work``."""

    @property
    def window(self) -> str:
        """The window's name."""


class OfOneWindow(OfOneSpecies, OfOneJob, Protocol):
    """Whatever speaks of one window of one species."""


def species_name(named: OfOneSpecies) -> str:
    """The common name, or the botanical one where there is none."""
    return plain(named.common_name or named.species)


def window_name(named: OfOneJob) -> str:
    """The window's own name, where it says more than the job's."""
    words = plain(named.window.replace("-", " "))
    return "" if named.window == named.job or words in job_name(named.job) else words


def job_and_window(named: OfOneJob) -> str:
    """``repotting (spring)``."""
    job, window = job_name(named.job), window_name(named)
    return f"{job} ({window})" if window else job


def title(named: OfOneWindow) -> str:
    """``Japanese maple, repotting (spring)``."""
    return f"{species_name(named)}, {job_and_window(named)}"


def verdict_words(assessment: Assessment) -> str:
    """The verdict in a word or three."""
    words = {
        "wait": "Too early",
        "soon": "Opening soon",
        "open": "In window",
        "last-call": "Last call",
        "closed": "Closed",
        "not-here": "Not here",
    }
    return words[assessment.verdict]


def today_words(assessment: Assessment) -> str:
    """Today's advice in a word or three."""
    words = {"do": "Do", "hold": "Hold", "only-with-shelter": "Only with shelter", "no": "Leave"}
    return words[assessment.today]


def verdict_sentence(assessment: Assessment) -> str:
    """Where the window stands today, with its dates and odds."""
    a = assessment
    if a.verdict == "not-here":
        return f"{_share_of_seasons(a.chance_given)} here have this window at all."
    if a.verdict in ("wait", "soon"):
        return _ahead(a)
    if a.verdict == "closed":
        return _behind(a)
    tense = "Opened" if a.opens.p50 is not None and a.opens.p50 <= a.as_of else "Opens"
    return (
        f"{tense} {about(a.opens, a.as_of)}{_compared(a)}; {odds(a.chance_open_now)} that it is open today. "
        f"Closes {when(a.closes, a.as_of)}."
    )


def _ahead(a: Assessment) -> str:
    closes = f" Closes about {day(a.closes.p50, a.as_of)}." if a.closes.p50 is not None else ""
    if maybe := maybe_open(a):
        return f"{maybe}{closes}"
    return f"Opens {when(a.opens, a.as_of)}{_compared(a)}.{closes}"


def maybe_open(a: Assessment) -> str:
    """For a window whose middle date is past while the job still wants better odds; else empty."""
    if a.verdict != "soon" or a.opens.p50 is None or a.opens.p50 > a.as_of:
        return ""
    return f"May be open already: {odds(a.chance_open_now)} that it is, and this job wants {odds(a.floor)}."


def _behind(a: Assessment) -> str:
    if a.closes.p50 is None:
        closed = "Closed."
    elif a.closes.p50 > a.as_of:
        closed = f"Too late to count on: it closes {about(a.closes, a.as_of)}."
    else:
        closed = f"Closed {about(a.closes, a.as_of)}."
    return f"{closed} {next_words(a)}".rstrip()


def next_words(assessment: Assessment) -> str:
    """When the window opens again, or nothing where that isn't known."""
    ahead = assessment.next
    if ahead is None or ahead.opens.p50 is None:
        return ""
    return f"Opens again {about(ahead.opens, assessment.as_of)}."


def _compared(a: Assessment) -> str:
    compared = against_usual(a.opens.p50, a.usual.opens_p50)
    return f", {compared}" if compared else ""


def brief_sentence(assessment: Assessment) -> str:
    """The one date that matters next: when an open window closes, when another opens."""
    a = assessment
    if a.verdict in ("open", "last-call"):
        return f"Closes {about(a.closes, a.as_of)}."
    if a.verdict in ("wait", "soon"):
        return maybe_open(a) or f"Opens {about(a.opens, a.as_of)}."
    return verdict_sentence(a)


def until(assessment: Assessment) -> str:
    """`` by about Tue 21 Apr``, for a window that is open, and when best; empty where its end isn't known."""
    a = assessment
    if a.closes.p50 is None:
        return ""
    best = "" if a.best is None or a.best == a.as_of else f", best about {short_day(a.best, a.as_of)}"
    return f" by about {day(a.closes.p50, a.as_of)}{best}"


def weighing(assessment: Assessment) -> str:
    """Now against two weeks on: the worst hazard, the chance of being too late, and the best date."""
    a = assessment
    if len(a.ahead) < 3:
        return ""
    today, later = a.ahead[0], a.ahead[2]
    either = [max(pair) for pair in zip(today.hazards, later.hazards, strict=True)]
    spared = False  # whether waiting spares the tree something
    if a.verdict == "soon" or max(either, default=0.0) < 0.005:
        good, then = (odds(week.chance_good, in_hundreds=True) for week in (today, later))
        weighed = f"Done today: {good} that it is open and all goes well after; in two weeks {then}"
    else:
        worst = either.index(max(either))
        spared = later.hazards[worst] < today.hazards[worst]
        hurt = re.split(r"; | of doing it today|, done today", a.hazards[worst].text)[0]
        then = odds(later.hazards[worst], in_hundreds=True)
        weighed = f"{'Repot' if a.job == 'repotting' else 'Done'} today: {plain(hurt)}; in two weeks {then}"
    closed = odds(later.chance_closed, in_hundreds=True)
    too_late = (
        f", {'but' if spared else 'with'} {closed} that it has closed by then"
        if later.chance_closed >= 0.05
        else ""
    )
    return f"{weighed}{too_late}. {_best(a)}".rstrip()


def _best(a: Assessment) -> str:
    if a.best is None:
        return ""
    if a.best == a.as_of:
        return "No week of the next five is better than this one."
    ahead = a.opens if a.opens.p50 and a.opens.p50 > a.as_of else a.closes
    spread = "" if ahead.p10 == ahead.p90 else give_or_take(ahead)
    return f"Best about {day(a.best, a.as_of)}{', ' if spread else ''}{spread}."


def usual_sentence(assessment: Assessment) -> str:
    """The middle dates of the past seasons."""
    usual, as_of = assessment.usual, assessment.as_of
    if usual.opens_p50 is None or usual.years == 0:
        return ""
    closes = f" and closes about {short_day(usual.closes_p50, as_of)}" if usual.closes_p50 else ""
    seasons = counted(usual.years, "past season")
    return f"Over {seasons} it opens about {short_day(usual.opens_p50, as_of)}{closes}."


def amount(value: float) -> str:
    """A measured value at the precision a grower can use."""
    return f"{value:.1f}".removesuffix(".0") if abs(value) < 20 else f"{value:,.0f}"


def reason_state(reason: Reason, as_of: dt.date) -> str:
    """Whether the criterion is met, and when it will be or was."""
    date = "" if reason.date_p50 is None else f"about {short_day(reason.date_p50, as_of)}"
    return f"reached {date}".rstrip() if reason.met else f"not yet{': ' if date else ''}{date}"


def floor_sentence(assessment: Assessment) -> str:
    """The odds this job wants."""
    return f"This job is called open once the odds of that reach {odds(assessment.floor)}."


def given_sentence(assessment: Assessment) -> str:
    """How often a season has this window, where that isn't nearly always."""
    if assessment.chance_given >= 0.95:
        return ""
    return f"{_share_of_seasons(assessment.chance_given)} here have this window."


def _share_of_seasons(chance: float) -> str:
    words = odds(chance)
    return f"About {words} seasons" if words[0].isdigit() else f"{words.capitalize()} seasons"


def hazard_sentence(hazard: Hazard) -> str:
    """What it is, and its odds after doing the job today."""
    return sentence(f"{plain(hazard.name)}: {plain(hazard.text)}")


def resting_sentence(
    waiting: Iterable[tuple[str, dt.date]], count: int, as_of: dt.date, most: int = 4
) -> str:
    """Every window that rests, in a sentence or two: how many, and the next to open."""
    if count == 0:
        return ""
    rest = f"{counted(count, 'other window').capitalize()} {'rests' if count == 1 else 'rest'}."
    nearest = sorted(waiting, key=lambda item: (item[1], item[0]))[:most]
    if not nearest:
        return rest
    return f"{rest} Next to open: {'; '.join(f'{name}, about {day(date, as_of)}' for name, date in nearest)}."
