"""Past reports held against what came: by hand, by the season's weather, by notes."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

from season_engine.note import Note
from season_engine.site import Season
from season_engine.species.catalogue import load_catalogue
from season_engine.verify.cases import WindowOpening
from season_engine.verify.own_record import Said, Statement
from season_engine.verify.own_score import (
    Outcome,
    bands,
    first_in,
    outcomes,
    own_score,
    own_summary,
    past_season,
)
from season_engine.windows.assess import Prospect
from season_engine.windows.assessment import Quantiles
from season_engine.windows.opening import open_window
from tests.yards import NAGANO, readings, view_on

MAPLE = load_catalogue().find("Acer palmatum")
WINDOW = next(one for one in MAPLE.windows if (one.job, one.name) == ("repotting", "spring"))
ON = dt.date(2024, 9, 1)


def days(number: int) -> dt.timedelta:
    return dt.timedelta(days=number)


def said(p50: dt.date, half: int = 7, **changes) -> Said:
    opens = Quantiles(p50 - days(half), p50, p50 + days(half))
    none = Quantiles(None, None, None)
    one = Said("Acer palmatum", "repotting", "spring", None, "2023/24", "wait", "no", 0.9, 0.0, opens, none,
               p50 + days(5))  # fmt: skip
    return replace(one, **changes)


def prospect(on: dt.date = ON, notes: tuple[Note, ...] = ()) -> Prospect:
    return Prospect(view_on(NAGANO, readings(NAGANO), on), MAPLE, "medium", notes)


def scored(*statements: Statement, on: dt.date = ON, notes: tuple[Note, ...] = ()) -> list[Outcome]:
    seen = prospect(on, notes)
    return outcomes(statements, load_catalogue(), lambda *_: seen, on)


def statement(as_of: dt.date, *of: Said) -> Statement:
    return Statement(as_of, as_of, "nagano", of)


def an_outcome(as_of: dt.date, p50: dt.date, came: dt.date, n: int = 0, **changes) -> Outcome:
    one = Outcome(
        WindowOpening("A", "a", "repotting", f"w{n}"),
        "nagano",
        "2023/24",
        as_of,
        said(p50),
        p50,
        came,
        "weather",
    )
    return replace(one, **changes)


def test_means_by_hand() -> None:
    start = dt.date(2024, 2, 1)
    errors = [4, -2, 0, 10, -9]
    found = [
        an_outcome(start, start + days(21), start + days(21 - error), n) for n, error in enumerate(errors)
    ]
    found[0] = replace(found[0], came_by="notes")
    s = own_summary(found)
    assert (s.n, s.mae, s.bias) == (5, 5.0, pytest.approx(0.6))
    assert s.rmse == pytest.approx((201 / 5) ** 0.5)
    assert s.coverage80 == pytest.approx(3 / 5)  # seven days either way hold errors of 4, 2 and 0
    assert s.width80 == 14
    assert s.mae_usual == pytest.approx((9 + 3 + 5 + 15 + 4) / 5)  # the usual date was five days later
    assert s.not_reached == pytest.approx(0.1)
    score = own_score(found)
    assert score is not None
    assert (score.n, score.mae, score.inside, score.by_notes) == (5, 5.0, 3, 1)
    assert own_score(found[:4]) is None  # too few to tell of


def test_each_opening_counts_once_as_the_earliest_report_of_its_weeks_saw_it() -> None:
    came = dt.date(2024, 3, 20)
    found = [an_outcome(came - days(7 * week), came + days(week), came) for week in (8, 6, 5, 3, 2, 1, 0)]
    by_band = {band: [one.error_days for one in some] for _, band, some in bands(found)}
    assert by_band == {
        (4, 6): [5],
        (2, 3): [3],
        (0, 1): [1],
    }  # the date given eight weeks before lies nine on
    assert [one.error_days for one in first_in((2, 6), found)] == [5]


def test_an_open_range_holds_any_later_date() -> None:
    start = dt.date(2024, 3, 1)
    open_end = Quantiles(start + days(10), start + days(20), None)
    one = an_outcome(start, start + days(20), start + days(99), said=said(start, opens=open_end))
    assert one.inside
    assert one.width_days is None
    assert own_summary([one]).width80 is None


def test_what_came_by_the_weather_is_what_whole_past_seasons_say() -> None:
    """Two ways to the same date: traces of whole past seasons there, the season as observed here."""
    later = dt.date(2025, 11, 1)
    past = open_window(prospect(later).past, WINDOW.opens, WINDOW.closes)
    middles = np.median(past.opens, axis=1) - past.traces.season_start
    for year, middle in list(zip(past.traces.labels.tolist(), middles.tolist(), strict=True))[-10:]:
        date, by = past_season(prospect(later), year).opened(WINDOW)
        assert by == "weather"
        assert Season(year, "north").day_of(date) == pytest.approx(middle, abs=1)


@pytest.mark.parametrize("month", [2, 4, 7, 9, 12])
def test_what_came_stays_what_it_is(month: int) -> None:
    """An opening that is settled on a day is the same seen from years later; one that isn't has no date."""
    pine = load_catalogue().find("Pinus thunbergii")

    def seen_from(on: dt.date) -> dict[str, dt.date | None]:
        season = past_season(Prospect(view_on(NAGANO, readings(NAGANO), on), pine), 2022)
        return {one.name: came and came[0] for one in pine.windows if (came := season.opened(one)) or True}

    early, final = seen_from(dt.date(2023, month, 15)), seen_from(dt.date(2025, 12, 31))
    assert None not in final.values()
    for name, date in early.items():
        assert date is None or abs(date - final[name]) <= days(1), name
    # Heat left to the end of the season opens the decandling: in September it still hangs on the autumn.
    assert any(date is None for date in early.values()) == (month < 12)


def test_an_opening_is_scored_once_its_range_is_past() -> None:
    """Nothing later than the day of scoring tells: seen from then, the file might end there."""
    date, _ = past_season(prospect(), 2023).opened(WINDOW)
    made = statement(date - days(28), said(date + days(3), half=10))
    end = date + days(13)
    assert scored(made, on=end) == []
    (one,) = scored(made, on=end + days(1))
    assert (one.came, one.came_by, one.error_days, one.weeks_ahead) == (date, "weather", 3, 4)
    late = statement(date - days(28), said(date - days(20), half=2))  # its range is past, the buds are not
    assert scored(late, on=date - days(10)) == []


def test_what_is_no_forecast_is_not_scored() -> None:
    date, _ = past_season(prospect(), 2023).opened(WINDOW)
    none = Quantiles(date, None, None)
    made = [
        statement(date + days(9), said(date)),  # past when it was said
        statement(date - days(90), said(date)),  # too far off
        statement(date - days(20), said(date, tree="m1")),
        statement(date - days(20), said(date, opens=none)),
        statement(date - days(20), said(date, half=0)),  # to the day, as by day length: no foresight
        statement(date - days(20), said(date, window="no longer known")),
    ]
    assert scored(*made) == []


def test_a_note_of_the_deciding_stage_is_what_came() -> None:
    date, _ = past_season(prospect(), 2023).opened(WINDOW)
    seen = date + days(6)
    marker = next(name for name in WINDOW.opens if MAPLE.markers[name].bbch is not None)
    stage = MAPLE.markers[marker].bbch
    note = Note(seen, "nagano", species="Acer palmatum", bbch=stage)
    made = statement(date - days(28), said(date))
    (one,) = scored(made, notes=(note,))
    assert (one.came, one.came_by, one.error_days) == (seen, "notes", -6)
    (unseen,) = scored(made, notes=(replace(note, sighting="not-yet"),))
    assert unseen.came_by == "weather"
