"""Sites side by side in words, at 80 columns."""

from __future__ import annotations

import datetime as dt
import textwrap
from collections.abc import Iterable, Iterator

from season_engine.advice.compare import Comparison, Contrast, Pair, SiteDates, Spread, WindowComparison
from season_engine.prints.layout import bullets, wrapped
from season_engine.site import Site
from season_engine.windows.assessment import End, Quantiles
from season_engine.words import naming, notices, prose, timing
from season_engine.words.speech import said
from season_engine.words.warnings import warning_texts
from season_engine.words.weather_sources import source_text

SURE = 0.95  # share of seasons above which it isn't worth a word that some lack the window
BY_CALENDAR = "by the calendar at both"
_NAME_COLUMNS, _DAYS_COLUMNS = 42, 18


def comparison_text(comparison: Comparison) -> str:
    """Each window's difference in days, usually and this season, its dates, and what pairing is worth."""
    c = comparison
    names = prose.listing([prose.plain(site.name) for site in c.sites])
    lines = [*wrapped(f"{names} side by side, {timing.full_day(c.as_of)}", "")]
    if c.invented:
        whose = prose.listing([prose.plain(name) for name in c.invented])
        all_of_it = len(c.invented) == len(c.sites)
        mixed = f"The weather of {whose} is invented; work no tree by it."
        lines += wrapped(said(notices.INVENTED) if all_of_it else mixed, "")
    for pair in c.windows[0].pairs:  # which years are compared is the same for every window
        lines += wrapped(_years(c.sites[0], pair), "")
    for window in c.windows:
        lines += ["", *wrapped(naming.title(window), "")]
        for pair in window.pairs:
            lines += bullets([_usual(c.sites[0], pair), *_this_season(c, pair), _dates(c, pair)])
    lines += _table(c)
    notes = [f"Not in the catalogue: {prose.plain(name)}" for name in c.not_covered]
    told = (*notes, *warning_texts(c.warnings), *dict.fromkeys(map(source_text, c.sources)))
    lines += ["", *bullets(map(prose.sentence, told))]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _years(first: Site, pair: Pair) -> str:
    here, there, past = prose.plain(first.name), prose.plain(pair.other.name), pair.past
    if not past.years_paired:
        return (
            f"{there} lies in the other hemisphere than {here}. They share no season's weather, so any year "
            "of one is held against any of the other. Dates are the calendar's; differences are counted in "
            "each yard's own season, so that the half year between the two is taken out."
        )
    dropped = [
        f"{prose.counted(count, 'past season')} that only {name} has weather for"
        for count, name in ((past.years_only_first, here), (past.years_only_other, there))
        if count
    ]
    left_out = f" Left out: {prose.listing(dropped)}." if dropped else ""
    return (
        f"{there} and {here} are compared over {prose.counted(past.years, 'past season')}, the same year "
        f"at both: a mild winter is mild in both yards.{left_out}"
    )


def _usual(first: Site, pair: Pair) -> str:
    """The difference over past seasons, or how often either site has the window."""
    here, there, past = prose.plain(first.name), prose.plain(pair.other.name), pair.past
    if past.years == 0:
        return f"{there} and {here} have no past season in common."
    if past.opens is None or past.closes is None:
        return _seldom(past, here, there)
    where = (f"at {there} than at {here}", f"at {there} as at {here}")
    opens = _by_calendar(past, "opens") or (
        f"{_apart(past.opens.paired, *where)}{_range(past.opens.paired, ', in 8 years of 10')}"
    )
    closes = _by_calendar(past, "closes") or f"{_apart(past.closes.paired)}{_range(past.closes.paired)}"
    text = f"Usually it opens {opens} and closes {closes}."
    if opens == closes == BY_CALENDAR:
        text = f"It opens and closes {BY_CALENDAR}."
    if past.chance_both >= SURE:
        return text
    return f"{text} Only seasons with the window at both yards count here: {prose.odds(past.chance_both)}."


def _seldom(contrast: Contrast, here: str, there: str) -> str:
    ours, theirs = (prose.odds(dates.chance_given) for dates in (contrast.first, contrast.other))
    if ours == theirs:
        return prose.sentence(f"{ours} seasons at {here}, and as few at {there}, have this window")
    return prose.sentence(
        f"{theirs} seasons at {there} have this window, {ours} at {here}; too seldom both to say a difference"
    )


def _this_season(comparison: Comparison, pair: Pair) -> Iterator[str]:
    """The same for the season under way, where there is anything to say of it."""
    now, as_of = pair.season, comparison.as_of
    here, there = prose.plain(comparison.sites[0].name), prose.plain(pair.other.name)
    names = _season_names(now, here, there)
    if now.opens is None or now.closes is None:
        if pair.past.opens is not None:
            yield f"This season ({names}): {_seldom(now, here, there)}"
        return
    if _alike(now, pair.past):
        yield f"This season ({names}) it looks much the same."
        return
    opens = "opened" if _over(as_of, now.first.opens.p90, now.other.opens.p90) else "opens"
    closes = "closed" if _over(as_of, now.first.closes.p90, now.other.closes.p90) else "closes"
    opens_so = _by_calendar(now, "opens") or (
        f"{_apart(now.opens.paired)}{_range(now.opens.paired, ', 8 chances in 10')}"
    )
    closes_so = _by_calendar(now, "closes") or f"{_apart(now.closes.paired)}{_range(now.closes.paired)}"
    yield f"This season ({names}) it {opens} {opens_so} and {closes} {closes_so}."


def _by_calendar(contrast: Contrast, end: End) -> str:
    """Of an end that the calendar sets at both; else empty."""
    both = all(getattr(dates, end).calendar for dates in (contrast.first, contrast.other))
    return BY_CALENDAR if both else ""


def _alike(now: Contrast, usual: Contrast) -> bool:
    """Whether no figure differs by more than noise."""
    both = ((now.opens, usual.opens), (now.closes, usual.closes))
    return all(
        one is not None
        and other is not None
        and abs(getattr(one.paired, name) - getattr(other.paired, name)) <= timing.AS_USUAL_DAYS
        for one, other in both
        for name in ("p10", "p50", "p90")
    )


def _season_names(contrast: Contrast, here: str, there: str) -> str:
    if contrast.first.season == contrast.other.season:
        return contrast.first.season
    return f"{contrast.first.season} at {here}, {contrast.other.season} at {there}"


def _over(as_of: dt.date, *dates: dt.date | None) -> bool:
    return all(date is not None and date <= as_of for date in dates)


def _dates(comparison: Comparison, pair: Pair) -> str:
    """Middle dates at both, usually and, where they differ, this season."""
    names = prose.plain(comparison.sites[0].name), prose.plain(pair.other.name)

    def both(contrast: Contrast, as_of: dt.date | None) -> str:
        spans = (_span(contrast.first, as_of), _span(contrast.other, as_of))
        return prose.listing([f"{span} at {name}" for span, name in zip(spans, names, strict=True)])

    usual = f"Middle dates: usually {both(pair.past, None)}"
    if _alike(pair.season, pair.past) or both(pair.past, None) == both(pair.season, None):
        return f"{usual}."
    return f"{usual}; this season {both(pair.season, comparison.as_of)}."


def _span(dates: SiteDates, as_of: dt.date | None) -> str:
    """``9 Apr to 8 May``; with the year where it isn't that of `as_of`, if that is given."""
    opens, closes = dates.opens.p50, dates.closes.p50
    if opens is None:
        return "none"
    if closes is None:
        return f"{_date(dates.opens, opens, as_of or opens)} with no sure end"
    first = _date(dates.opens, opens, closes if as_of else opens)
    return f"{first} to {_date(dates.closes, closes, as_of or closes)}"


def _date(dates: Quantiles, middle: dt.date, as_of: dt.date) -> str:
    """The middle date, or the part of a month where the calendar sets it."""
    return timing.part_of_month(middle, as_of) if dates.calendar else timing.short_day(middle, as_of)


def _apart(days: Spread, than: str = "", same: str = "") -> str:
    """``nine days earlier at B than at A``, or ``about the same day at B as at A``."""
    count = _whole(days.p50)
    if count == 0:
        about = "on" if days.p10 == days.p90 else "on about"
        return f"{about} the same day {same}".rstrip()
    return f"{prose.counted(abs(count), 'day')} {_way(count)} {than}".rstrip()


def _range(days: Spread, often: str = "") -> str:
    """`` (between 3 and 16 days)`` in brackets; empty where it is the same number always."""
    low, high = _whole(days.p10), _whole(days.p90)
    if low == high:
        return ""
    if low < 0 < high:
        text = f"from {prose.counted(-low, 'day')} earlier to {prose.counted(high, 'day')} later"
    else:
        near, far = sorted((abs(low), abs(high)))
        text = f"between {prose.number(near)} and " if near else "up to "
        text += prose.counted(far, "day")
    return f" ({text}{often})"


def _whole(days: float) -> int:
    """To the nearest day, halves away from zero, so that naming the sites the other way only turns it."""
    return int(abs(days) + 0.5) * (1 if days >= 0 else -1)


def _way(days: int) -> str:
    return "later" if days > 0 else "earlier"


def _table(comparison: Comparison) -> list[str]:
    """How much surer a difference is for holding the same years together."""
    rows = [
        row
        for window in comparison.windows
        for pair in window.pairs
        for row in _rows(comparison, window, pair)
    ]
    if not rows:
        return []
    first = prose.plain(comparison.sites[0].name)
    intro = (
        f"Why the same years: the usual opening against {first}, in days that 8 years of 10 keep to "
        "(minus is earlier), with the same years held together and with any year against any other."
    )
    return ["", *wrapped(intro, ""), _row("", "same years", "any years"), *rows]


def _rows(comparison: Comparison, window: WindowComparison, pair: Pair) -> Iterable[str]:
    if pair.past.opens is None or not pair.past.years_paired or _by_calendar(pair.past, "opens"):
        return []
    several = f", {prose.plain(pair.other.name)}" if len(comparison.sites) > 2 else ""
    name = f"{naming.title(window)}{several}"
    *above, last = textwrap.wrap(name, _NAME_COLUMNS, initial_indent="  ", subsequent_indent="    ")
    return [*above, _row(last, _signed(pair.past.opens.paired), _signed(pair.past.opens.unpaired))]


def _row(name: str, same: str, other: str) -> str:
    return f"{name:<{_NAME_COLUMNS}}{same:>{_DAYS_COLUMNS}}{other:>{_DAYS_COLUMNS}}"


def _signed(days: Spread) -> str:
    return f"{_whole(days.p10):+d} to {_whole(days.p90):+d}"
