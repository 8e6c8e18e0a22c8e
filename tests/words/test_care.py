"""The week's small care: changes in words, the rest in one line."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from season_engine.note import Note
from season_engine.species.catalogue import load_catalogue
from season_engine.species.jobs import JOBS
from season_engine.tree import Tree
from season_engine.trees.history import history_of
from season_engine.windows.assess import Prospect, assess
from season_engine.windows.care import Care, beside_one_another, small_care
from season_engine.windows.hazard import ForecastExtreme, Hazard, HotDays
from season_engine.words.care import care_lines, spared_lines
from season_engine.words.line import Line
from season_engine.words.naming import job_and_window
from tests.benchmarks.harm_weeks import made_yard
from tests.factories import a_site_report
from tests.yards import NAGANO, SOUTH, view

ON = dt.date(2026, 4, 1)


def care(job: str, opens: int | None, closes: int | None, verdict="open", name="larch") -> Care:
    dates = [None if days is None else ON + dt.timedelta(days) for days in (opens, closes)]
    return Care("Larix decidua", name, job, "spring", verdict, *dates)


def test_what_starts_and_stops_is_told_with_its_day() -> None:
    lines = care_lines(
        [
            care("feeding", 3, 90, "soon"),
            care("feeding", 3, 90, "soon", "elm"),
            care("wiring", -90, 8, "last-call"),
        ],
        ON,
    )
    assert lines == (
        ("Feeding", "Starts about 4 Apr on larch and elm."),
        ("Wiring", "Stops about 9 Apr on larch."),
    )


def test_what_goes_on_is_one_line_and_what_rests_is_none() -> None:
    lines = care_lines(
        [
            care("shade", -30, 60),
            care("wire-check", -30, 60),
            care("wire-check", -31, 60, name="elm"),
            care("feeding", 40, 90, "wait"),
            care("cuttings", -90, -20, "closed"),
            care("winter-shelter", None, None, "not-here"),
        ],
        ON,
    )
    assert lines == (("Going on", "Shade and wire check."),)


def test_what_its_job_s_hazards_hold_does_not_go_on_and_says_why() -> None:
    hot = Hazard("heat", 0.9, 7, HotDays(35.0), ForecastExtreme(ON + dt.timedelta(2), 41.0))
    held = replace(care("feeding", -60, 90), held=hot)
    assert care_lines([held, care("wire-check", -60, 90)], ON) == (
        ("Going on", "Wire check."),
        ("On hold", "Feeding of larch: about 41 °C is forecast for Fri 3 Apr."),
    )


def test_feeding_is_held_by_a_forecast_as_check_holds_it() -> None:
    """The catalogue's hazard of feeding: a day of 33 within a week on maples."""
    on = dt.date(2025, 1, 13)
    hot, mild = ([(20.0, high)] * 7 for high in (40.0, 24.0))
    for ahead, expected in ((hot, True), (mild, False)):
        yard = made_yard(SOUTH, on, ahead)
        maple = yard.catalogue.find("Acer palmatum")
        feeding = [one for one in small_care(yard.prospect(maple, "medium"), None) if one.job == "feeding"]
        assert [one.on_hold for one in feeding if one.verdict == "open"] == [expected]
        window = next(one for one in maple.windows if one.job == "feeding")
        assert (assess(yard.prospect(maple, "medium"), window).today == "hold") == expected


def test_nothing_to_say() -> None:
    assert care_lines([], ON) == ()


SPARED = replace(care("feeding", -9, 90), spared=("T1", "T2"))


def test_trees_left_out_about_work_on_their_roots_are_named() -> None:
    site = a_site_report(care=(SPARED,), tree_names={"T1": "Rill", "T2": "Crag"})
    told = "Not yet for Rill and Crag: roots were worked within a month, or are to be worked now."
    assert spared_lines(site, ON) == (Line("Feeding", told),)
    assert care_lines([SPARED], ON) == (("Going on", "Feeding."),)


def test_what_is_for_none_of_the_trees_is_not_told_to_go_on() -> None:
    assert care_lines([replace(SPARED, for_none=True)], ON) == ()
    resting = replace(SPARED, opens=ON + dt.timedelta(60), verdict="wait")
    assert spared_lines(a_site_report(care=(resting,)), ON) == ()


def test_feeding_leaves_out_trees_just_repotted_and_those_to_repot_first() -> None:
    """A tree of each kind: just repotted, to be repotted now, weak, and one like any other."""
    kind, on = load_catalogue().find("Pinus thunbergii"), dt.date(2025, 4, 16)
    trees = [Tree(one, "nagano", kind.name, vigour="weak" if one == "W" else "normal") for one in "RNWO"]
    noted = [Note(dt.date(2025, 4, 1), "nagano", "R", job="repotting")]
    states = [history_of(tree, noted, on) for tree in trees]
    prospect = Prospect(view(NAGANO, on), kind)
    found = {one.job: one for one in small_care(prospect, states, {"N"})}
    assert (found["feeding"].spared, found["feeding"].for_none) == (("R", "N"), False)
    assert found["wiring"].spared == ()
    only = {one.job: one for one in small_care(prospect, states[:2], {"N"})}
    assert only["feeding"].for_none
    weak = {one.job for one in small_care(prospect, [states[2]])}
    assert "bud-thinning" not in weak and "feeding" in weak
    assert "bud-thinning" in {one.job for one in small_care(prospect)}


def shelter(on: int, closes: dict[str, int], opens: int = -10) -> tuple[tuple[str, str], ...]:
    """What is said so many days on of a fig's cover, by when each of its windows closes."""
    as_of = ON + dt.timedelta(on)
    windows = [
        replace(
            care("winter-shelter", opens, end, "open" if ON + dt.timedelta(end) > as_of else "closed", "fig"),
            window=name,
        )
        for name, end in closes.items()
    ]
    return care_lines(beside_one_another(windows), as_of)


def test_a_tree_brought_under_cover_is_not_put_out_as_the_days_for_it_end() -> None:
    fig = {"going in": 20, "under cover": 150}
    told = ("Winter shelter (going in)", 'Until about 21 Apr on fig, then "under cover".')
    going_on = ("Going on", "Winter shelter (under cover).")
    assert shelter(12, fig) == (told, going_on)
    assert shelter(22, fig) == (going_on,)
    assert shelter(145, fig) == (("Winter shelter (under cover)", "Stops about 29 Aug on fig."),)


def test_two_windows_of_a_job_that_lie_apart_each_stop_by_their_name() -> None:
    leafless, hard = (
        replace(care("wiring", -60, 5, "last-call"), window="leafless"),
        replace(care("wiring", 13, 90, "wait"), window="leaves hard"),
    )
    stops = (("Wiring (leafless)", "Stops about 6 Apr on larch."),)
    assert care_lines(beside_one_another([leafless, hard]), ON) == stops
    soon = replace(hard, opens=ON + dt.timedelta(12))
    until = (("Wiring (leafless)", 'Until about 6 Apr on larch, then "leaves hard".'),)
    assert care_lines(beside_one_another([leafless, soon]), ON) == until
    by_calendar = replace(leafless, closes_by="calendar")
    until = (("Wiring (leafless)", 'Until early April, by the calendar, on larch, then "leaves hard".'),)
    assert care_lines(beside_one_another([by_calendar, soon]), ON) == until


def test_a_window_that_never_comes_goes_on_with_nothing() -> None:
    leafless = replace(care("wiring", -60, 5, "last-call"), window="leafless")
    never = replace(care("wiring", 6, 90, "not-here"), window="leaves hard")
    assert care_lines(beside_one_another([leafless, never]), ON)[0][1] == "Stops about 6 Apr on larch."


def test_a_job_that_goes_on_is_named_by_its_windows_only_where_all_have_several() -> None:
    pine = beside_one_another(
        replace(care("feeding", -60, end), window=name)
        for name, end in {"growing season": 60, "autumn": 90}.items()
    )
    assert care_lines(pine, ON) == (("Going on", "Feeding (growing season) and feeding (autumn)."),)
    assert care_lines([*pine, care("feeding", -60, 60)], ON) == (("Going on", "Feeding."),)


DAYS = st.integers(-60, 60)


@given(st.lists(st.tuples(DAYS, st.integers(1, 120)), min_size=2, max_size=4))
def test_nothing_is_said_to_stop_while_another_window_of_the_job_is_open(
    spans: list[tuple[int, int]],
) -> None:
    windows = [
        replace(care("wiring", first, first + long, "open"), window=f"w{n}")
        for n, (first, long) in enumerate(spans)
    ]
    stops = [
        one
        for one in windows
        for line in care_lines(beside_one_another(windows), ON)
        if line[0].endswith(f"({one.window})") and line[1].startswith("Stop")
    ]
    assert not [
        (one, other)
        for one in stops
        for other in windows
        if other.opens <= one.closes + dt.timedelta(7) and other.closes > one.closes
    ]


def test_every_window_of_small_care_that_has_a_sister_is_told_by_a_name_of_its_own() -> None:
    """All species: no two windows of one job may be mistaken for one another."""
    for kind in load_catalogue().species.values():
        small = [
            Care(kind.name, kind.common[0], window.job, window.name, "open", None, None)
            for window in kind.full_windows
            if not JOBS[window.job].told_in_full
        ]
        for one, other in combinations(beside_one_another(small), 2):
            assert one.job != other.job or (
                one.one_of_several and job_and_window(one) != job_and_window(other)
            )


def test_a_fig_in_nagano_is_not_put_out_before_spring() -> None:
    """Growers there have all figs in by November and out in May (common practice, no source)."""
    fig = load_catalogue().find("Ficus microcarpa")
    for week in range(26):
        on = dt.date(2024, 10, 7) + dt.timedelta(weeks=week)
        told = dict(care_lines(small_care(Prospect(view(NAGANO, on), fig)), on))
        assert not any("top" in text for job, text in told.items() if job.startswith("Winter shelter")), on
        assert "Winter shelter" not in told, on
        if on.month in (11, 12, 1, 2):
            assert any("under cover" in text for line in told.items() for text in line), on
