from __future__ import annotations

import csv
import io
import re
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from season_engine.cli import main
from season_engine.measures.chill_models import CHILL_MODELS
from season_engine.measures.degree_days import CUTOFFS, METHODS
from season_engine.measures.heat_models import HEAT_MODELS
from season_engine.traces.measured_days import ROOT_ZONE_UNITS, degree_days_column, units
from tests.test_edges import toml_changed
from tests.workspaces import SETTINGS, STATIONS, make_workspace

PAGE = Path(__file__).parents[2] / "docs" / "measures.md"
CHILL, HEAT, DEGREE_DAYS = (",".join(names) for names in (CHILL_MODELS, HEAT_MODELS, METHODS))
ALL = ("--chill", CHILL, "--heat", HEAT, "--degree-days", DEGREE_DAYS)
COLUMNS = ("date", *units())
FIRST, LAST = "2018-09-01", "2020-03-31"


@pytest.fixture(scope="module")
def yard(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two winters and a summer of a real station, with 11 November 2018 missing."""
    folder = tmp_path_factory.mktemp("yard")
    (folder / "season.toml").write_text(SETTINGS, "utf-8")
    head, *rows = (STATIONS / "nagano.csv").read_text("utf-8").splitlines()
    kept = [row for row in rows if FIRST <= row[:10] <= LAST and not row.startswith("2018-11-11")]
    (folder / "nagano.csv").write_text("\n".join([head, *kept]) + "\n", "utf-8")
    return folder


def refused(folder: Path, *arguments: str) -> str:
    result = CliRunner().invoke(main, ["measures", "--workspace", str(folder), *arguments])
    assert (result.exit_code, result.stdout) == (2, "")
    return " ".join(result.stderr.split())


def table(folder: Path, *arguments: str) -> dict[str, np.ndarray]:
    """Columns by name: dates as text, the others as numbers, NaN for an empty field."""
    result = CliRunner().invoke(main, ["measures", "--workspace", str(folder), "--on", LAST, *arguments])
    assert result.exit_code == 0, result.stderr
    head, *rows = csv.reader(io.StringIO(result.stdout))
    columns = dict(zip(head, np.array(rows).T, strict=True))
    assert len(columns) == len(head), "two columns of one name"
    return {
        name: values if name == "date" else np.array([float(one or "nan") for one in values])
        for name, values in columns.items()
    }


def csv_head(folder: Path, *arguments: str) -> list[str]:
    result = CliRunner().invoke(main, ["measures", "--workspace", str(folder), "--on", LAST, *arguments])
    assert result.exit_code == 0, result.stderr
    (head,) = csv.reader(io.StringIO(result.stdout))
    return head


@pytest.fixture(scope="module")
def everything(yard: Path) -> dict[str, np.ndarray]:
    return table(yard, *ALL)


def test_what_is_asked_for_comes_behind_the_fixed_columns(everything, yard) -> None:
    asked = [model.column for model in (*CHILL_MODELS.values(), *HEAT_MODELS.values())]
    assert [*everything] == [*COLUMNS, *asked, *map(degree_days_column, METHODS)]
    plain = table(yard)
    assert tuple(plain) == COLUMNS
    for name, values in plain.items():
        np.testing.assert_array_equal(everything[name], values, err_msg=name)


@pytest.mark.parametrize(
    ("fixed", "asked"),
    [
        ("chilling_hours", "weinberger_1950_chilling_hours"),
        ("utah_units", "richardson_1974_utah_chill_units"),
        ("chill_portions", "fishman_1987_chill_portions"),
    ],
)
def test_a_model_that_is_always_there_counts_the_same_when_asked_for(everything, fixed, asked) -> None:
    np.testing.assert_array_equal(everything[asked], everything[fixed])


def test_chill_portions_start_anew_each_season(everything) -> None:
    """At the second season's start the store is empty, and warm days fill none."""
    start = [*everything["date"]].index("2019-10-01")
    portions = everything["fishman_1987_chill_portions"]
    assert portions[:start].sum() > 60 and portions[start : start + 10].sum() == 0


def test_each_counts_from_what_it_says(everything) -> None:
    tmin, tmax = everything["tmin_c"], everything["tmax_c"]
    mean = (tmin + tmax) / 2
    # Legave et al. (2008) as in the R package dormancyR: 1 - |T - 1| / 24 of the daily mean, no less than 0.
    expected = np.maximum(1 - np.abs(mean - 1) / 24, 0)
    np.testing.assert_allclose(everything["legave_2008_chill_units"], expected, atol=1e-9)
    # A triangle above 7.15 degC, the mean of the published thresholds.
    anti_chill = everything["cesaraccio_2004_anti_chill_days"]
    assert anti_chill.sum() > 0 > everything["cesaraccio_2004_chill_days"].sum()
    whole = tmin > 7.15
    np.testing.assert_allclose(anti_chill[whole], mean[whole] - 7.15, atol=1e-9)
    # Hourly: between what the day's coldest and warmest moment would give, 1 / (1 + exp(-0.185 (T - 18.4))).
    coldest = np.minimum(tmin[1:-1], tmin[2:])
    low, high = (1 / (1 + np.exp(-0.185 * (one - 18.4))) for one in (coldest, tmax[1:-1]))
    share = everything["haenninen_1990_forcing_units"][1:-1]
    assert (low <= share).all() and (share <= high).all()
    # At 25 degC a day is worth a day, below it less (abstract of Ono & Konno 1999, and the law).
    assert (np.sign(everything["ono_konno_1999_days_at_25_degc"] - 1) == np.sign(mean - 25)).all()


def test_base_upper_and_cutoff_hold_for_all_degree_days(yard, everything) -> None:
    limits = ("--from", "2019-07-01", "--to", "2019-08-31", "--base", "10", "--upper", "28")
    found = {way: table(yard, *limits, "--degree-days", DEGREE_DAYS, "--cutoff", way) for way in CUTOFFS}
    for method in METHODS:
        level, folded, stops = (found[way][degree_days_column(method)].sum() for way in CUTOFFS)
        if method == "modified_average":
            assert level == folded == stops
        else:
            assert stops < folded < level
        assert level < everything[degree_days_column(method)].sum()
    np.testing.assert_array_equal(found["vertical"]["gdd_c"], found["horizontal"]["gdd_c"])


def test_a_day_without_readings_is_filled_or_left_out(yard) -> None:
    days = ("--from", "2018-11-08", "--to", "2018-11-13", *ALL)
    found = {way: table(yard, *days, "--missing", way) for way in ("fill", "refuse", "leave-out", "scale-up")}
    gap, before = 3, 2
    assert found["fill"]["observed_share"][gap] == 0 < found["fill"]["observed_share"][before] < 1
    for name in set(found["fill"]) - {"date", "day_length_h", "observed_share"}:
        assert np.isfinite(found["fill"][name]).all(), name
        for way in ("refuse", "leave-out", "scale-up"):
            assert np.isnan(found[way][name][gap]), (way, name)
    hours = {way: columns["gdh_c"][before] for way, columns in found.items()}
    share = found["fill"]["observed_share"][before]
    assert np.isnan(hours["refuse"]) and 0 < hours["leave-out"] <= hours["fill"]
    assert hours["scale-up"] == pytest.approx(hours["leave-out"] / share)
    assert np.isfinite(found["refuse"]["gdd_c"][[before, gap + 1]]).all()


def test_a_pots_columns_come_last_and_change_no_other(yard, everything) -> None:
    found = table(yard, *ALL, "--pot", "3")
    assert [*found] == [*everything, *ROOT_ZONE_UNITS]
    for name, values in everything.items():
        np.testing.assert_array_equal(found[name], values, err_msg=name)
    low, mean, high = (found[name] for name in ROOT_ZONE_UNITS)
    assert (low < mean).all() and (mean < high).all()
    july = np.char.startswith(found["date"].astype(str), "2019-07")
    assert 1 < (high - found["tmax_c"])[july].mean() < 6
    assert (low >= found["tmin_c"].min()).all()


def test_a_pot_stands_in_half_sun_unless_it_is_told_to_stand_otherwise(yard) -> None:
    plain = table(yard, "--pot", "3")
    sun, half, shade = (table(yard, "--pot", "3", "--pot-in", where) for where in ("sun", "half", "shade"))
    for name in ROOT_ZONE_UNITS:
        np.testing.assert_array_equal(plain[name], half[name])
        assert (shade[name] <= half[name]).all() and (half[name] <= sun[name]).all()
    assert sun["root_zone_max_c"].max() > 40 > shade["root_zone_max_c"].max()


def test_a_pot_stands_as_the_site_says(tmp_path) -> None:
    yard = make_workspace(tmp_path / "yard")
    dark = table(yard, "--pot", "3", "--pot-in", "sun")["root_zone_max_c"]
    toml_changed('name = "nagano"', 'name = "nagano"\nsun_on_pots = "full"\npot_colour = "dark"')(yard)
    told = table(yard, "--pot", "3")["root_zone_max_c"]
    assert (told >= dark).all() and told.max() > dark.max() + 2  # unglazed ceramic takes in less


def test_a_pots_day_is_the_same_wherever_the_table_begins(yard) -> None:
    whole = table(yard, "--pot", "500")
    start = [*whole["date"]].index("2019-03-01")
    later = table(yard, "--pot", "500", "--from", "2019-03-01")
    for name in ROOT_ZONE_UNITS:
        np.testing.assert_allclose(later[name], whole[name][start:], atol=2e-3)


def test_a_pot_without_readings_and_with_none_to_tell(yard) -> None:
    days = ("--from", "2018-11-07", "--to", "2018-11-15", "--pot", "3")
    filled, refused = (table(yard, *days, "--missing", way) for way in ("fill", "refuse"))
    for name in ROOT_ZONE_UNITS:
        assert np.isfinite(filled[name]).all()
        assert np.flatnonzero(np.isnan(refused[name])).tolist() == [3, 4, 5, 6]  # 10 to 13 November
        np.testing.assert_allclose(refused[name][[0, 1, 2, 7, 8]], filled[name][[0, 1, 2, 7, 8]], atol=0.1)
    for nothing in (("--from", "2030-01-01"), ("--to", "1990-01-01")):
        assert [*ROOT_ZONE_UNITS] == csv_head(yard, "--pot", "3", *nothing)[-3:]


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--chill", "weinburger_1950"), 'Did you mean "weinberger_1950"? They are weinberger_1950, rich'),
        (("--chill", "legave_2008,"), '"" is not a chill model. They are weinberger_1950'),
        (("--heat", "gdd"), f"They are {', '.join(HEAT_MODELS)}."),
        (("--degree-days", "single sin"), 'Did you mean "single_sine"? They are modified_average'),
        (("--upper", "5"), "--upper 5 has to lie above --base, which is 5."),
        (("--base", "nan"), "nan is not a temperature."),
        (("--upper", "20", "--cutoff", "vertical"), "one of them with --degree-days."),
        (("--degree-days", "single_sine", "--cutoff", "vertical"), "give --upper"),
        (("--missing", "drop"), "'drop' is not one of 'fill'"),
        (("--pot", "0"), "a pot holds from 0.05 to 500 litres here, not 0."),
        (("--pot", "-3"), "not -3."),
        (("--pot", "501"), "not 501."),
        (("--pot", "nan"), "not nan."),
        (("--pot", "large"), "'large' is not a valid float"),
        (("--pot-in", "shade"), "give its litres with --pot."),
        (("--pot", "3", "--pot-in", "garage"), "'garage' is not one of 'sun', 'half', 'shade'"),
    ],
)
def test_a_slip_is_told_with_what_there_is(yard, arguments, said) -> None:
    assert said in refused(yard, *arguments)


def test_names_may_be_written_with_hyphens_and_twice(yard) -> None:
    found = table(yard, "--to", FIRST, "--chill", " Legave-2008, legave_2008")
    assert tuple(found) == (*COLUMNS, "legave_2008_chill_units")


def chill_rows() -> list[str]:
    return [
        f"| `{key}` | `{model.column}` | {model.unit} | {model.needs} | {model.chills_between_c[0]:g} to "
        f"{model.chills_between_c[1]:g} | {model.meant_for} | {model.source} |"
        for key, model in CHILL_MODELS.items()
    ]


def heat_rows() -> list[str]:
    return [
        f"| `{key}` | `{model.column}` | {model.unit} | {model.needs} | {model.meant_for} | {model.source} |"
        for key, model in HEAT_MODELS.items()
    ]


def test_the_page_has_a_row_for_every_column_and_no_other() -> None:
    """With unit, range and source as the code has them; a row it lacks is shown as it should be."""
    lines = PAGE.read_text("utf-8").splitlines()
    assert [row for row in (*chill_rows(), *heat_rows()) if row not in lines] == []
    first = [re.findall(r"`(.*?)`", row) for row in lines if row.startswith("| `")]
    fixed = [names[0] for names in first if names[0] in COLUMNS]
    assert fixed == [*COLUMNS]
    asked = [names[1] for names in first if len(names) > 1 and names[1].startswith(f"{names[0]}_")]
    models = [model.column for model in (*CHILL_MODELS.values(), *HEAT_MODELS.values())]
    assert asked == [*models, *map(degree_days_column, METHODS)]
    of_pot = [tuple(row.split(" | ")[:2]) for row in lines if row.startswith("| `root_zone_")]
    assert of_pot == [(f"| `{name}`", unit) for name, unit in ROOT_ZONE_UNITS.items()]


def test_help_says_where_the_page_is() -> None:
    told = " ".join(CliRunner().invoke(main, ["measures", "--help"]).stdout.split())
    assert "docs/measures.md" in told
    assert [name for name in (*CHILL_MODELS, *HEAT_MODELS, *METHODS) if name not in told] == []
