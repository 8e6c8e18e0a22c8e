"""What the package tells of its dates beside growers' is what the table gives."""

from __future__ import annotations

import datetime as dt

from season_engine.files.toml_lines import TomlText
from season_engine.prints.answer import answer_text
from season_engine.species.catalogue import load_catalogue
from season_engine.species.held import Held, held, stage_held, window_held, window_key
from season_engine.windows.answer import answer_about
from season_engine.windows.assess import Prospect
from season_engine.windows.explain import explain
from season_engine.words import prose
from tests.practice.ends import End, practice_ends
from tests.practice.table import Row
from tests.practice.written import practice_toml, shipped_file
from tests.yards import SOUTH, view

OWN = """
[species."Acer palmatum".marker.leaves_open]
kind = "heat_after"
label = "leaves open"
after = "buds_swelling"
need = 300
unit = "growing degree days above 0 degC"
from = "practice"
"""


def test_the_shipped_file_is_of_the_catalogue_and_the_table_as_they_are() -> None:
    stale = "run `make practice WRITE=1`, then `make knowledge`"
    assert shipped_file().read_text("utf-8") == practice_toml(practice_ends()), stale


def test_each_is_of_a_window_or_stage_that_there_is() -> None:
    for name, windows in held().window.items():
        assert windows.keys() <= {window_key(one) for one in load_catalogue().find(name).windows}
    for name, stages in held().stage.items():
        assert stages.keys() <= load_catalogue().find(name).markers.keys()


def end_off(days: int, climate: str = "EUR", state: str = "counted") -> End:
    row = Row("repotting", "spring", "Acer palmatum", climate, "03-05", "04-13", 65, "", (), "")
    return End(row, "opens", "03-05", state, dt.date(2025, 3, 5), days)  # type: ignore[arg-type]


def test_figures_counted_by_hand() -> None:
    off = [1, -2, 3, -4, 5, 6, 7, 8, 22, -30]
    ends = [end_off(days, climate) for days, climate in zip(off, ("EUR", "TOK") * 5, strict=True)]
    assert practice_toml([*ends, end_off(90, "NEW", "left out")]).endswith(
        '[window."Acer palmatum"]\n"repotting, spring" = { climates = 2, ends = 10, within_21_days = 8, '
        "middle_days = 5, eight_in_ten_days = 8 }\n"
    )


def test_the_trail_behind_a_window_tells_it() -> None:
    prospect = Prospect(view(SOUTH, dt.date(2025, 7, 20)), load_catalogue().find("Acer palmatum"))
    window = next(one for one in prospect.species.windows if (one.job, one.name) == ("repotting", "spring"))
    told = explain(prospect, window, 0)
    assert told.held == window_held("Acer palmatum", window)
    by_name = {step.reason.marker: step.held for step in told.steps}
    assert by_name["leaves_open"] == stage_held("Acer palmatum", "leaves_open") is not None
    assert by_name["midwinter"] is None
    text = " ".join(answer_text(answer_about(prospect, [window], explained=True)).split())
    assert isinstance(told.held, Held)
    assert f"eight in ten lie within {prose.counted(told.held.eight_in_ten_days, 'day')} of theirs" in text


def test_of_a_growers_own_number_nothing_was_measured() -> None:
    known = load_catalogue((TomlText("own.toml", OWN),))
    prospect = Prospect(view(SOUTH, dt.date(2025, 7, 20)), known.find("Acer palmatum"))
    window = next(one for one in prospect.species.windows if (one.job, one.name) == ("repotting", "spring"))
    told = explain(prospect, window, 0)
    assert told.held is None
    by_name = {step.reason.marker: step.held for step in told.steps}
    assert by_name["leaves_open"] is None
    assert by_name["buds_swelling"] is not None, "that doesn't hang on it"
