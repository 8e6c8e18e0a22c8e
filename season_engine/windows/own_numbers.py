"""What a grower's own numbers do to a site's usual dates, where that is more than was meant, perhaps."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from season_engine.markers.base import behind
from season_engine.phenology.dating import SeasonDating, date_markers
from season_engine.species.catalogue import OwnMarker, Species
from season_engine.species.jobs import JOBS
from season_engine.species.schema import Window
from season_engine.windows.assess import Prospect
from season_engine.windows.assessment import End, OwnNumber
from season_engine.windows.opening import open_window

MOST_DAYS = 21  # that a number may move a date without a word


@dataclass(frozen=True, slots=True)
class _Shift:
    """What a grower's number does to an end of a window."""

    marker: str
    window: Window
    end: End
    days: float  # later than by the number replaced; infinite: it no longer comes
    past: bool  # the window opens after a stage that closed it by the numbers replaced

    @property
    def telling(self) -> tuple[bool, bool, float]:
        """The one to be told of, where a number moves several windows, has the most of this."""
        return self.past, JOBS[self.window.job].told_in_full, abs(self.days)


def own_number_warnings(prospect: Prospect) -> tuple[OwnNumber, ...]:
    """Each of a grower's numbers that moves a usual date far, or past its window's end.

    Both are dated in the site's past seasons up to the day, without notes; no number of a grower's, no cost.
    """
    kind = prospect.species
    if not kind.own:
        return ()
    own = prospect.as_catalogued
    if len(own.traces) == 0:
        return ()
    replaced = date_markers(kind.without_own_numbers(), own.traces, prospect.pot)
    worst: dict[str, _Shift] = {}
    for shift in _shifts(kind, replaced, own):
        if shift.marker not in worst or shift.telling > worst[shift.marker].telling:
            worst[shift.marker] = shift
    site = prospect.view.site.name
    return tuple(_fact(kind, kind.own[name], worst[name], site) for name in kind.own if name in worst)


def _shifts(kind: Species, replaced: SeasonDating, own: SeasonDating) -> Iterator[_Shift]:
    moved = {name: abs(_days_later(_middle(replaced, name), _middle(own, name))) for name in kind.own}
    ends: tuple[End, End] = ("opens", "closes")
    for window in kind.windows:
        before, after = (open_window(dating, window.opens, window.closes) for dating in (replaced, own))
        past = _opens_past_its_end(window, replaced, own)
        for end in ends:
            by = behind(getattr(window, end), kind.markers) & kind.own.keys()
            was, now = (float(getattr(one, f"{end}_odds").by(0.5)) for one in (before, after))
            told_past = past and (end == "closes" or now > was)
            if by and np.isfinite(was) and (told_past or abs(now - was) > MOST_DAYS):
                yield _Shift(max(by, key=moved.__getitem__), window, end, now - was, told_past)
                break  # what moves both ends is told by the opening


def _opens_past_its_end(window: Window, replaced: SeasonDating, own: SeasonDating) -> bool:
    """Whether a stage that closes the window usually follows its opening before, and no longer does."""
    was, now = (max(_middle(dating, name) for name in window.opens) for dating in (replaced, own))
    return any(_middle(replaced, name) > was and _middle(own, name) <= now for name in window.closes)


def _middle(dating: SeasonDating, name: str) -> float:
    return float(dating.odds(name).by(0.5))


def _days_later(before: float, after: float) -> float:
    return 0.0 if before == after else after - before


def _fact(kind: Species, own: OwnMarker, shift: _Shift, site: str) -> OwnNumber:
    return OwnNumber(
        file=own.toml.file,
        line=own.line,
        marker=shift.marker,
        species=kind.name,
        job=shift.window.job,
        window=shift.window.name,
        end=shift.end,
        site=site,
        days=None if np.isinf(shift.days) else round(shift.days),
        past=shift.past,
    )
