"""Which of a job's windows is judged: the one that may be worked, else the nearest."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st

from season_engine.cli import main
from season_engine.species.catalogue import load_catalogue
from season_engine.windows.assess import Prospect, assess
from season_engine.windows.assessment import NOWHERE, Assessment, Standing
from season_engine.windows.choice import nearest_first, windows_asked_for
from season_engine.windows.verdict import verdict_on
from tests.factories import AS_OF, an_assessment, days
from tests.schemas import assert_valid
from tests.workspaces import make_two_yards
from tests.yards import SOUTH, view


def a_window(name: str, opens: int, closes: int, today: str = "do", *, too_late: bool = False) -> Assessment:
    """A window that opens and closes so many days from the day judged."""
    stands = Standing(AS_OF + days(opens), AS_OF + days(closes), unsure=False)
    verdict = verdict_on(AS_OF, stands)
    changes: dict[str, Any] = {
        "window": name,
        "standing": stands,
        "verdict": verdict,
        "today": today if verdict in ("open", "last-call") else "no",
        "opens_too_late": too_late,
    }
    return replace(an_assessment(), **changes)


NEVER = replace(an_assessment(), window="never", verdict="not-here", today="no", standing=NOWHERE)
OPEN = a_window("open", -20, 30)
CLOSING = a_window("closing", -30, 5)
COVERED = a_window("covered", -30, 3, "only-with-shelter")
REFUSED = a_window("refused to this tree", -20, 30, "no")
HELD = a_window("held", -20, 30, "hold")
SOON = a_window("soon", 13, 60)
SHUT = a_window("shut three weeks", -60, -21)
SHUT_LONG = a_window("shut long", -200, -100)
FAR = a_window("four months off", 120, 150)
NEAR = a_window("near", 20, 40)
TOO_LATE = a_window("after all warmth", -5, 20, "hold", too_late=True)
TOO_LATE_SOON = a_window("soon after all warmth", 3, 20, too_late=True)


@pytest.mark.parametrize(
    ("nearest", "others"),
    [
        (CLOSING, (OPEN, COVERED, HELD, SOON, SHUT, FAR, NEVER)),
        (COVERED, (HELD, SOON)),
        (REFUSED, (a_window("tomorrow", 1, 60), HELD)),
        (SOON, (HELD, a_window("shut yesterday", -20, -1))),
        (HELD, (SHUT, a_window("shut yesterday", -20, -1), NEAR)),
        (SHUT, (FAR, SHUT_LONG)),
        (NEAR, (SHUT,)),
        (a_window("as near", 21, 40), (SHUT,)),
        (FAR, (NEVER,)),
        (SHUT_LONG, (TOO_LATE, TOO_LATE_SOON, NEVER)),
        (TOO_LATE, (TOO_LATE_SOON, NEVER)),
        (NEVER, ()),
    ],
    ids=lambda one: one.window if isinstance(one, Assessment) else "",
)
def test_the_one_that_matters_stands_first(nearest: Assessment, others: tuple[Assessment, ...]) -> None:
    for windows in ((nearest, *others), (*reversed(others), nearest)):
        assert nearest_first(windows)[0] is nearest


def test_of_windows_that_most_seasons_lack_the_likelier_stands_first() -> None:
    rarely, often = (replace(NEVER, chance_given=share) for share in (0.1, 0.4))
    assert nearest_first((rarely, often))[0] is often


@given(st.lists(st.tuples(st.integers(-200, 200), st.integers(1, 120)), min_size=1, max_size=4))
@settings(max_examples=20, deadline=None)
def test_none_is_nearer_than_the_one_judged(spans: list[tuple[int, int]]) -> None:
    """No window open or opening within the fortnight is passed over, and else none is fewer days away."""
    found = nearest_first(a_window(f"{opens}", opens, opens + length) for opens, length in spans)
    verdicts = [one.verdict for one in found]
    if {"open", "last-call"} & set(verdicts):
        assert verdicts[0] in ("open", "last-call")
    elif "soon" in verdicts:
        assert verdicts[0] == "soon"
    else:
        away = [max(opens, -(opens + length)) for opens, length in spans]
        first = found[0].standing
        assert first.opens is not None and first.closes is not None
        assert min(away) == max((first.opens - AS_OF).days, (AS_OF - first.closes).days)


def check(folder: Path, job: str, *arguments: str) -> tuple[dict[str, Any], int]:
    done = CliRunner().invoke(main, ["check", job, *arguments, "--json", "--workspace", str(folder)])
    document = json.loads(done.stdout)
    assert_valid(document, "check")
    return document, done.exit_code


def test_a_southern_juniper_after_its_spring_window_is_too_late_not_too_early(tmp_path: Path) -> None:
    call = ("--species", "Juniperus chinensis", "--site", "dune-yard", "--on")
    found, code = check(tmp_path, "repotting", *call, "2026-10-10")
    assert (code, found["verdict"], found["window"]) == (11, "closed", "spring")
    (other,) = found["others"]
    assert (other["window"], other["verdict"]) == ("late summer", "wait")
    assert other["opens"]["p50"].startswith("2027-03")
    told = CliRunner().invoke(main, ["check", "repotting", *call, "2026-10-10", "--workspace", str(tmp_path)])
    also = "The other window: late summer (opens about 6 Mar 2027)."
    assert also in " ".join(told.stdout.split())
    found, code = check(tmp_path, "repotting", *call, "2027-01-05")
    assert (code, found["verdict"], found["window"]) == (10, "wait", "late summer")


@pytest.fixture(scope="module")
def two_yards(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_two_yards(tmp_path_factory.mktemp("choice") / "yards")


@pytest.mark.parametrize("on", ["2021-09-15", "2021-10-12"])
def test_small_pines_are_not_told_to_wait_for_a_count_that_is_not_made_here(two_yards: Path, on: str) -> None:
    """A warm real station: counted back from its late frost, decandling would open in autumn."""
    call = ("--species", "black pine", "--site", "kagoshima", "--size", "small", "--on", on)
    found, code = check(two_yards, "decandling", *call)
    assert (code, found["verdict"], found["window"]) == (11, "closed", "early summer, small trees")
    (other,) = found["others"]
    assert (other["window"], other["verdict"]) == ("summer, by days before frost", "not-here")
    named = (*call, "--window", other["window"])
    assert check(two_yards, "decandling", *named)[1] == 12  # named, it is judged, and why is told
    told = CliRunner().invoke(main, ["check", "decandling", *named, "--workspace", str(two_yards)]).stdout
    assert "where it is later or rare, short days end growth" in " ".join(told.split())


def test_a_southern_juniper_s_year_reads_as_a_grower_would_say_it() -> None:
    """Every other week where answers turn soon; one turns to the other window halfway between the two."""
    kind, told = load_catalogue().find("Juniperus chinensis"), list[str]()
    for week in (1, 5, *range(7, 18, 2), *range(21, 34, 4), *range(35, 42, 2), 45, 49):
        prospect = Prospect(view(SOUTH, dt.date(2024, 7, 1) + dt.timedelta(weeks=week)), kind)
        windows = windows_asked_for(kind, "repotting", "medium", None)
        first = nearest_first(assess(prospect, window) for window in windows)[0]
        told.append(f"{first.window}: {first.verdict}")
    assert list(dict.fromkeys(told)) == [
        *(f"spring: {verdict}" for verdict in ("wait", "soon", "open", "last-call", "closed")),
        *(f"late summer: {verdict}" for verdict in ("wait", "soon", "open", "last-call", "closed")),
    ]
