"""The face for Python: the facts that the commands print, as objects and data frames."""

from __future__ import annotations

import datetime as dt
import io
import json
import pickle
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest
from click.testing import CliRunner

import season_engine as se
from season_engine.cli import main
from season_engine.documents.check import assessment_document
from season_engine.documents.model import json_text
from season_engine.pot import Pot
from season_engine.words.speech import for_programs
from season_engine.workspace.workspace import load_workspace
from tests.test_structure import HEAVY
from tests.workspaces import STATIONS, make_workspace
from tests.yards import NAGANO, SOUTH

MAPLE = "Acer palmatum"


@cache
def logger() -> se.Weather:
    return se.read_logger(STATIONS / "nagano.csv", NAGANO)


@cache
def view(on: str) -> se.SeasonView:
    return se.season(NAGANO, logger(), on=on)


@cache
def demo_view() -> se.SeasonView:
    return se.season(SOUTH, se.demo_weather(SOUTH, on="2026-08-10"))


@cache
def table() -> pd.DataFrame:
    """Two years of a real station's days, as pandas reads them."""
    whole = pd.read_csv(STATIONS / "nagano.csv")
    return whole[whole["date"] >= "2024"].reset_index(drop=True)


@pytest.fixture(scope="module")
def yard(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_workspace(tmp_path_factory.mktemp("yard"), since="")  # all that `logger` reads


def printed(*arguments: object) -> str:
    done = CliRunner().invoke(main, [str(one) for one in arguments])
    assert done.exit_code in (0, 10, 11, 12, 13), done.stderr
    return done.stdout


def check(folder: Path, *arguments: object) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(printed("check", *arguments, "--workspace", folder, "--json"))
    return found


def as_printed(found: se.Assessment) -> dict[str, Any]:
    with for_programs("degC"):
        document: dict[str, Any] = json.loads(json_text(assessment_document(found)))
    return document


def told(call: Callable[[], object], error: type[Exception] = se.GrowerError) -> str:
    with pytest.raises(error) as refused:
        call()
    return str(refused.value)


# The same facts


def assert_row_says(row: dict[str, Any], said: dict[str, Any]) -> None:
    """A window's row of a frame holds what `check --json` printed of it."""
    for name in ("site", "species", "job", "window", "season", "verdict", "today", "refused"):
        assert row[name] == said[name]
    numbers = {f"goes_well_{week}": one["chance_good"] for week, one in enumerate(said["ahead"])}
    numbers |= {name: said[name] for name in ("chance_given", "chance_open_now")}
    assert {name: row[name] for name in numbers} == pytest.approx(numbers, abs=1e-4)  # printed to four places
    assert said["ahead"] or np.isnan(row["goes_well_0"])
    for end in ("opens", "closes"):
        dates = {f"{end}_{share}": said[end][share] for share in ("p10", "p50", "p90")}
        dates |= {f"usual_{end}_p50": said["usual"][f"{end}_p50"]}
        for name, date in dates.items():
            assert row[name] is pd.NaT if date is None else row[name] == pd.Timestamp(date), name


@pytest.mark.parametrize("on", ["2020-02-29", "2024-08-10"])
def test_windows_are_those_that_check_judges(yard: Path, on: str) -> None:
    """A real station's; the grower's notes on this species move its dates in both."""
    seen = se.season(NAGANO, logger(), on=on, notes=se.read_workspace(yard).notes)
    rows = seen.windows(MAPLE).to_frame().to_dict("records")
    assert len(rows) > 4
    for row in rows[::3]:
        window = ("--species", MAPLE, "--window", row["window"], "--on", on)
        assert_row_says(row, check(yard, row["job"], *window))
    said = check(yard, "repotting", "--species", MAPLE, "--on", on)
    assert as_printed(seen.window(MAPLE, "repotting")) == said
    assert said["others"], "the nearest of several"


@pytest.mark.parametrize("on", ["2026-03-01", "2026-08-10"])
def test_the_demos_windows_are_those_that_check_judges(tmp_path: Path, on: str) -> None:
    site = load_workspace(tmp_path).site_named("dune-yard").site
    seen = se.season(site, se.demo_weather(site, on=on), notes=load_workspace(tmp_path).notes)
    for species, job in (("Pinus thunbergii", "repotting"), ("Ulmus parvifolia", "structural-pruning")):
        said = check(tmp_path, job, "--species", species, "--site", "dune-yard", "--on", on)
        assert as_printed(seen.window(species, job)) == said
        assert said["invented_weather"]


def test_a_trees_answer_is_that_of_check(yard: Path) -> None:
    """With its size and strength, the notes, and the trail behind the dates."""
    workspace = se.read_workspace(yard)
    there = se.season_at(workspace, on="2021-04-19")
    for tree in workspace.trees[1:3]:
        said = check(yard, "repotting", tree.id, "--on", "2021-04-19", "--explain")
        assert as_printed(there.window(tree, "repotting", explained=True)) == said
    worked, _, maple = workspace.trees[:3]
    assert {one.tree for one in there.windows(worked)} == {worked.id}
    by_hand = se.season(NAGANO, logger(), on="2021-04-19", notes=workspace.notes)
    assert list(by_hand.windows(maple)) == list(there.windows(maple))


def test_nothing_after_the_day_has_a_part(tmp_path: Path) -> None:
    """A reading far out, planted after the day, changes what is mended before it in no answer of that day."""
    header, *days = (STATIONS / "nagano.csv").read_text("utf-8").splitlines()
    lines = [header, *(day for day in days if day >= "2014")]
    cut = next(place for place, line in enumerate(lines) if line.startswith("2024-03-11"))
    (tmp_path / "whole.csv").write_text("\n".join([*lines[: cut + 300], "2026-01-01,-41,40"]) + "\n", "utf-8")
    (tmp_path / "cut.csv").write_text("\n".join(lines[:cut]) + "\n", "utf-8")
    whole, cut_off = (se.read_logger(tmp_path / f"{name}.csv", NAGANO) for name in ("whole", "cut"))
    then = whole.as_of(dt.date(2024, 3, 10))
    pd.testing.assert_frame_equal(then.to_frame(), cut_off.to_frame())
    assert then.faults == cut_off.faults
    assert then.data_through == dt.date(2024, 3, 10)
    assert se.season(NAGANO, whole, on="2024-03-10").weather.data_through == dt.date(2024, 3, 10)
    asked = se.read_logger(tmp_path / "whole.csv", NAGANO, on="2024-03-10")
    assert asked.as_of(dt.date(2024, 6, 1)).data_through == dt.date(2024, 3, 10), "never past it"
    assert pickle.loads(pickle.dumps(whole)).as_of(dt.date(2024, 3, 10)) is not None


# Weather


def test_weather_as_a_frame() -> None:
    frame = logger().to_frame()
    assert frame.index.name == "date"
    assert isinstance(frame.index, pd.DatetimeIndex)
    assert (frame.index[0], frame.index[-1]) == (pd.Timestamp("1976-01-01"), pd.Timestamp("2025-12-31"))
    assert list(frame) == ["tmin_c", "tmax_c", "observed", "filled"]
    raw = pd.read_csv(STATIONS / "nagano.csv", index_col="date", parse_dates=True)
    read = frame[frame["observed"]]
    assert (read["tmin_c"] == raw.loc[read.index, "tmin"]).all()
    assert not frame[["tmin_c", "tmax_c"]].isna().any(axis=None)
    assert (frame["observed"] ^ frame["filled"]).all(), "there is no second source"
    assert frame.attrs["units"] == {"tmin_c": "degC", "tmax_c": "degC"}
    assert frame.attrs["source"] == "logger file nagano.csv"
    assert repr(logger()) == "<18263 days of logger file nagano.csv, 1976-01-01 to 2025-12-31>"


FRAMES: dict[str, Callable[[pd.DataFrame], pd.DataFrame]] = {
    "text dates": lambda t: t,
    "an index of text": lambda t: t.set_index("date"),
    "dates in a column": lambda t: t.assign(date=pd.to_datetime(t["date"])),
    "dates of Python": lambda t: t.assign(date=pd.to_datetime(t["date"]).dt.date),
    "an index of times without a name": lambda t: t.set_index(pd.to_datetime(t["date"]).rename(None))[
        ["tmin", "tmax"]
    ],
    "an index of periods": lambda t: t.set_index(pd.PeriodIndex(t["date"], freq="D"))[["tmax", "tmin"]],
    "other spellings and columns": lambda t: t.rename(
        columns={"tmin": "Min Temp (°C)", "tmax": "T-max"}
    ).assign(rain=1),
    "single precision": lambda t: t.astype({"tmin": "float32", "tmax": "float32"}),
    "numbers that may be missing": lambda t: t.astype({"tmin": "Float64", "tmax": "Float64"}),
    "text": lambda t: t.astype(str),
    "our own": lambda _: logger().to_frame().loc["2024":],
}


@pytest.mark.parametrize("kind", FRAMES)
def test_frames_in_any_spelling_are_the_same_readings(kind: str) -> None:
    """As the logger's file has them, bit for bit."""
    found = se.read_frame(FRAMES[kind](table()), NAGANO)
    assert found.series.first_day == dt.date(2024, 1, 1)
    read = found.to_frame()[found.observed]
    assert len(read) > 700
    file = table().set_index(pd.to_datetime(table()["date"])).loc[read.index, ["tmin", "tmax"]]
    assert (read[["tmin_c", "tmax_c"]].to_numpy() == file.to_numpy()).all()


def test_readings_of_every_hour_become_days() -> None:
    """Highest and lowest of a made curve; times with a zone are taken to the sun of the yard."""
    hours = pd.date_range("2024-01-01", periods=24 * 40, freq="h")
    temp = 10 + np.arange(hours.size) // 24 * 0.25 - 5 * np.cos(2 * np.pi * (hours.hour - 2) / 24)
    plain = se.read_frame(pd.DataFrame({"temp": temp}, index=hours), NAGANO).to_frame()
    assert len(plain) == 40
    np.testing.assert_allclose(plain["tmin_c"], 5 + np.arange(40) * 0.25)
    np.testing.assert_allclose(plain["tmax_c"], 15 + np.arange(40) * 0.25)
    ahead = pd.Timedelta(hours=round(NAGANO.longitude * 4) / 60)  # four minutes a degree
    zoned = pd.DataFrame({"temp": temp}, index=(hours - ahead).tz_localize("UTC"))
    pd.testing.assert_frame_equal(se.read_frame(zoned, NAGANO).to_frame(), plain)
    in_fahrenheit = pd.DataFrame({"Temperature (°F)": temp * 1.8 + 32}, index=hours)
    np.testing.assert_allclose(
        se.read_frame(in_fahrenheit, NAGANO, units="degF").to_frame()["tmin_c"], plain["tmin_c"]
    )


def test_faults_of_frames_are_told() -> None:
    good = table()
    assert "tmax" in told(lambda: se.read_frame(good[["date", "tmin"]], NAGANO))
    assert '"date" column' in told(lambda: se.read_frame(good[["tmin", "tmax"]], NAGANO))
    twice = pd.concat([good[:3], good[2:].assign(tmin=-20.0)])
    assert "data frame, line 4, date" in told(lambda: se.read_frame(twice, NAGANO))
    assert 'line 1, tmin: "1O.5"' in told(lambda: se.read_frame(good.assign(tmin="1O.5"), NAGANO))
    assert "no temperature" in told(lambda: se.read_frame(good.assign(tmin="warm"), NAGANO))
    assert "no reading" in told(lambda: se.read_frame(good[:0], NAGANO))
    assert "not a list" in told(lambda: se.read_frame([1], NAGANO))  # type: ignore[arg-type]
    named = good.rename(columns={"tmin": "tmin (F)"})
    assert "degF" in told(lambda: se.read_frame(named, NAGANO, units="degC"))
    assert "not a unit" in told(lambda: se.read_frame(good, NAGANO, units="K"))  # type: ignore[arg-type]


def test_a_latitude_without_its_minus_is_told() -> None:
    wrong = se.Site("yard", -NAGANO.latitude, NAGANO.longitude)
    for call in (
        lambda: se.read_logger(STATIONS / "nagano.csv", wrong),
        lambda: se.read_frame(table(), wrong),
        lambda: se.season(wrong, logger()),
    ):
        assert f"Write latitude {NAGANO.latitude}" in told(call)


def test_places_and_days_that_cannot_be() -> None:
    assert "Latitude comes first" in told(
        lambda: se.demo_weather(se.Site("y", 145.0, -37.8), on="2026-01-01")
    )
    assert "longitude" in told(lambda: se.demo_weather(se.Site("y", 1.0, float("nan")), on="2026-01-01"))
    assert '"tomorrow" is not a date' in told(lambda: se.season(NAGANO, logger(), on="tomorrow"))
    assert "1850" in told(lambda: se.season(NAGANO, logger(), on="1066-10-14"))
    assert "nothing up to" in told(lambda: se.season(NAGANO, logger(), on="1970-01-01"), se.WeatherError)
    assert "last reading" in told(lambda: se.season(NAGANO, logger(), on="2026-08-10"), se.WeatherError)
    assert "does not exist" in told(lambda: se.read_logger("no.csv", NAGANO), se.WeatherError)
    moment = pd.Timestamp("2024-08-10 12:00")
    assert se.season(NAGANO, logger(), on=moment).on == dt.date(2024, 8, 10)
    assert se.season(NAGANO, logger()).on == dt.date(2025, 12, 31), "the last day with readings"


# Measures and sums


def test_measures_are_those_of_the_command(yard: Path) -> None:
    seen = view("2024-08-10")
    for options, frame in (
        (("--from", "2023-10-01"), seen.measures()),
        (("--from", "2023-12-01", "--to", "2023-12-31"), seen.measures("2023-12-01", "2023-12-31")),
        (
            ("--from", "2024-04-01", "--base", 10, "--upper", 30),
            seen.measures(dt.date(2024, 4, 1), base_c=10, upper_c=30),
        ),
    ):
        text = printed("measures", "--workspace", yard, "--on", seen.on, *options)
        expected = pd.read_csv(io.StringIO(text), index_col="date", parse_dates=True)
        pd.testing.assert_frame_equal(frame, expected, check_index_type=False, atol=1e-11, rtol=0)
    assert list(seen.measures().attrs["units"]) == list(seen.measures())
    assert seen.measures(base_c=10).attrs["units"]["gdd_c"] == "growing degree days above 10 degC"
    assert seen.measures("2030-01-01").empty


@pytest.mark.parametrize("seen", [lambda: view("2022-04-14"), demo_view])
def test_the_season_so_far_is_the_sum_of_its_days(seen: Callable[[], se.SeasonView]) -> None:
    """A season without a 29 February, in either hemisphere; heat from midwinter."""
    measures = seen().measures()
    for name in ("chill_portions", "chilling_hours", "utah_units", "gdd_c", "gdh_c"):
        frame = seen().so_far(name, years=True)
        start = measures.index[0] + pd.Timedelta(days=0 if "chill" in name or "utah" in name else 92)
        assert frame.index[0] == start
        mine = measures[name][start:].cumsum()
        so_far = frame["this_season"].dropna()
        np.testing.assert_allclose(so_far, mine[so_far.index], atol=1e-9)
        assert so_far.index[-1] == min(measures.index[-1], frame.index[-1])
        past = frame[[one for one in frame if "/" in one]]
        assert past.shape[1] >= 28
        np.testing.assert_allclose(past.quantile([0.1, 0.5, 0.9], axis=1).T, frame[["p10", "p50", "p90"]])
    assert list(seen().so_far()) == ["this_season", "p10", "p50", "p90"]
    assert seen().so_far().attrs["units"] == "chill portions"


def test_a_past_season_is_what_its_own_measures_add_up_to() -> None:
    past = view("2024-08-10").so_far(years=True)["2020/21"]
    then = view("2024-08-10").measures("2020-10-01", "2021-06-30")["chill_portions"].cumsum()
    np.testing.assert_allclose(
        past.iloc[-1], then.iloc[-1], rtol=1e-3
    )  # other leap years: days a hair longer


def test_rival_models_are_columns_more_with_their_units(yard: Path) -> None:
    seen = view("2024-08-10")
    frame = seen.measures("2023-12-01", "2023-12-31", chill=["legave_2008"], degree_days=["single_sine"])
    options = ("--from", "2023-12-01", "--to", "2023-12-31", "--chill", "legave_2008")
    text = printed("measures", "--workspace", yard, "--on", seen.on, *options, "--degree-days", "single_sine")
    expected = pd.read_csv(io.StringIO(text), index_col="date", parse_dates=True)
    pd.testing.assert_frame_equal(frame, expected, check_index_type=False, atol=1e-11, rtol=0)
    assert list(frame.attrs["units"]) == list(frame)
    assert 'Did you mean "legave_2008"?' in told(lambda: seen.measures(chill=["legave2008"]))


def test_a_pot_is_three_columns_more_with_their_unit(yard: Path) -> None:
    seen = view("2024-08-10")
    pot = replace(seen.site, sun_on_pots="shade").standing(Pot.of_tree(3))
    frame = seen.measures("2024-01-10", "2024-01-31", pot=pot)
    options = ("--from", "2024-01-10", "--to", "2024-01-31", "--pot", 3, "--pot-in", "shade")
    text = printed("measures", "--workspace", yard, "--on", seen.on, *options)
    expected = pd.read_csv(io.StringIO(text), index_col="date", parse_dates=True)
    pd.testing.assert_frame_equal(frame, expected, check_index_type=False, atol=1e-11, rtol=0)
    assert list(frame.attrs["units"]) == list(frame)
    assert {frame.attrs["units"][name] for name in frame if name.startswith("root_zone")} == {"degC"}


def test_a_sum_that_is_not_kept_is_told() -> None:
    assert 'Did you mean "chill_portions"?' in told(lambda: view("2022-04-14").so_far("chil portions"))
    assert "There are" in told(lambda: view("2022-04-14").so_far("rain"))


def test_frosts_grow_with_the_level_and_end_in_summer() -> None:
    hard, light = (view("2022-04-14").frosts(level) for level in (-3.0, 1.0))
    assert (hard["chance"] <= light["chance"]).all()
    assert light["chance"].max() > 0
    assert light["chance"].iloc[-1] == 0
    assert light["first"].iloc[0] == pd.Timestamp("2022-04-15")
    assert ((light["last"] - light["first"]).dt.days[1:] == 6).all()


# Windows


def test_windows_are_a_sequence() -> None:
    found = demo_view().windows("Japanese maple")
    assert len(found) == len(list(found)) == len(found.to_frame())
    assert isinstance(found[0], se.Assessment)
    assert list(found[1:]) == list(found)[1:]
    assert isinstance(found[:2], se.Windows)
    assert found[0].job in repr(found)
    empty = found[:0].to_frame()
    assert list(empty) == list(found.to_frame()) and empty.empty


def test_what_windows_are_listed() -> None:
    seen = demo_view()
    told_in_full, all_of_them = seen.windows("Pinus thunbergii"), seen.windows("Pinus thunbergii", all=True)
    keys = [(one.job, one.window) for one in all_of_them]
    assert {(one.job, one.window) for one in told_in_full} < set(keys)
    assert {"feeding", "collecting"} <= {job for job, _ in keys}
    of_job = seen.windows("black pine", job="Repotting")
    assert {one.job for one in of_job} == {"repotting"}
    large, small = (
        seen.windows("Pinus thunbergii", job="decandling", size=size) for size in ("large", "small")
    )
    assert large[0].opens.p50 != small[0].opens.p50 or large[0].closes != small[0].closes
    assert {one.severity for one in seen.windows("Pinus thunbergii", job="repotting", all=True)} > {
        one.severity for one in of_job
    }


def test_names_that_are_not_known_are_told_with_what_may_be_meant() -> None:
    seen = demo_view()
    assert 'Did you mean "Acer palmatum"?' in told(lambda: seen.windows("Acer palmatim"))
    assert 'Did you mean "repotting"?' in told(lambda: seen.window(MAPLE, "repoting"))
    assert "no window" in told(lambda: seen.window(MAPLE, "decandling"))
    assert "no window" in told(lambda: seen.windows(MAPLE, job="decandling", all=True))


def test_a_species_of_ones_own(tmp_path: Path) -> None:
    file = tmp_path / "mine.toml"
    file.write_text('[species."Juniperus ficta"]\ngroup = "juniper"\ncommon = ["made-up juniper"]\n', "utf-8")
    seen = se.season(SOUTH, demo_view().weather, on="2026-08-10", catalogue=file)
    assert seen.windows("made-up juniper")[0].species == "Juniperus ficta"
    assert "mine.toml" in told(
        lambda: se.season(SOUTH, demo_view().weather, catalogue=tmp_path / "no-mine.toml")
    )


def test_a_workspace_has_to_be_there(yard: Path, tmp_path: Path) -> None:
    assert "season-engine init" in told(lambda: se.read_workspace(tmp_path))
    assert "no site" in told(lambda: se.season_at(se.read_workspace(yard), "elsewhere", on="2024-01-01"))


# The package


def test_the_package_loads_nothing_heavy_until_it_is_used() -> None:
    code = "import sys, season_engine; print(*sys.modules); from season_engine import *; print(*sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    bare, named = ({name.partition(".")[0] for name in line.split()} for line in done.stdout.splitlines())
    assert bare & {*HEAVY, "numpy", "pydantic"} == set()
    assert named & HEAVY == set()


def test_every_name_is_there_and_says_what_it_is() -> None:
    assert set(se.__all__) <= set(dir(se))
    for name in se.__all__:
        assert getattr(se, name).__doc__, name
    with pytest.raises(AttributeError, match="no attribute 'seasons'"):
        se.seasons  # noqa: B018


def test_every_fact_is_said_as_json_has_it(yard: Path) -> None:
    a = se.season_at(se.read_workspace(yard), on="2025-04-14").window("Pinus thunbergii", "repotting")
    said = [*map(se.in_words, (a.today_why, *a.reasons, *a.hazards, *a.notes, *a.sources))]
    assert all(said) and not any("°" in text for text in said)
    with pytest.raises(TypeError, match="str is no fact"):
        se.in_words("today")
