from __future__ import annotations

import re
from pathlib import Path

import pytest

from season_engine.errors import EXIT_BAD_INPUT, GrowerError
from season_engine.files import whole
from season_engine.files.text import read_text
from season_engine.files.toml_faults import checked
from season_engine.files.toml_lines import TomlText
from season_engine.weather.sources.logger_file import LoggerFile
from season_engine.workspace.logger_settings import LoggerColumns
from season_engine.workspace.said_trees import SaidTree
from season_engine.workspace.settings import LoggerWeather, Settings, StationWeather
from season_engine.workspace.start import FirstLogger, FirstMail, FirstYard, init_workspace
from season_engine.workspace.workspace import load_workspace

TREES = (SaidTree("Acer palmatum", "large"), SaidTree("Acer palmatum"), SaidTree("Japanese black pine"))
YARD = FirstYard(-45.25, 169.5, 120.0, trees=TREES)
THREE = ("season.toml", "trees.csv", "journal.csv")


def settings_in(folder: Path) -> Settings:
    return checked(TomlText("season.toml", read_text(folder / "season.toml")), Settings)


def names(folder: Path) -> set[str]:
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}


@pytest.mark.parametrize("inside", [".", "new/yard"])
def test_what_is_written_can_be_loaded(tmp_path: Path, inside: str) -> None:
    folder = tmp_path / inside
    written = init_workspace(folder, YARD)
    assert {path.relative_to(folder).as_posix() for path in written} == {*THREE, "data_cache/.gitignore"}
    assert names(folder) == {*THREE, "data_cache/.gitignore"}
    workspace = load_workspace(folder)
    assert not workspace.demo
    assert workspace.invented_sites == ("my-yard",)
    site = workspace.sites[0].site
    assert (site.latitude, site.longitude, site.elevation_m) == (-45.25, 169.5, 120.0)
    assert [(tree.id, tree.site, tree.species, tree.size) for tree in workspace.trees] == [
        ("a1", "my-yard", "Acer palmatum", "large"),
        ("a2", "my-yard", "Acer palmatum", "medium"),
        ("j1", "my-yard", "Japanese black pine", "medium"),
    ]
    assert workspace.notes == ()


def test_a_station_its_years_and_a_mail_account_stand_in_the_settings(tmp_path: Path) -> None:
    mail = FirstMail("me@example.org", "mail.example.org", "me")
    init_workspace(tmp_path, FirstYard(51.0, 11.0, station="nearest", mail=mail))
    settings = settings_in(tmp_path)
    assert settings.site[0].weather == StationWeather(source="station", station="nearest")
    assert settings.email and (settings.email.host, settings.email.to) == (mail.host, (mail.to,))
    (tmp_path / "a.csv").write_text("date,tmin,tmax\n2024-01-01,1,2\n", "utf-8")
    init_workspace(
        tmp_path / "b",
        FirstYard(51.0, 11.0, logger=FirstLogger(str(tmp_path / "a.csv")), reference_station=True),
    )
    weather = settings_in(tmp_path / "b").site[0].weather
    assert isinstance(weather, LoggerWeather) and weather.reference_station == "nearest"


def test_without_trees_or_height_there_are_none(tmp_path: Path) -> None:
    init_workspace(tmp_path, FirstYard(51.0, 11.0))
    assert len((tmp_path / "trees.csv").read_text("utf-8").splitlines()) == 1
    workspace = load_workspace(tmp_path)
    assert workspace.trees == ()
    assert workspace.sites[0].site.elevation_m is None


@pytest.mark.parametrize("where", ["yard/logger.csv", "mine/readings.csv", 'mine/odd "name".csv'])
def test_a_logger_s_file_is_named_from_the_folder(tmp_path: Path, where: str) -> None:
    file = tmp_path / where
    file.parent.mkdir()
    file.write_text("date,tmin,tmax\n2024-01-01,1,2\n", "utf-8")
    init_workspace(tmp_path / "mine", FirstYard(51.0, 11.0, logger=FirstLogger(str(file))))
    workspace = load_workspace(tmp_path / "mine")
    weather = workspace.sites[0].weather
    assert isinstance(weather, LoggerFile)
    assert not Path(weather.readings.file).is_absolute()
    assert (weather.readings.folder / weather.readings.file).samefile(file)
    assert weather.readings.folder == tmp_path / "mine"
    assert workspace.invented_sites == ()
    assert "invented" not in (tmp_path / "mine" / "season.toml").read_text("utf-8")


def switched_on(text: str, *starts: str) -> str:
    """The template with those switched-off lines put in force."""
    for start in starts:
        text, count = re.subn(rf"^# ({re.escape(start)})", r"\1", text, count=1, flags=re.MULTILINE)
        assert count == 1, start
    return text


MAIL = ("[email]", "host", "port", "security", "username", "password_env", "from", "to", "[report]", "out")
SCHOOL = ("catalogue", "[[school]]", "group", "job", "take")


@pytest.mark.parametrize(
    ("lines", "weather"),
    [
        (
            ('source = "logger"', "file", "units", "date_format", "columns", "sensor", "clock"),
            LoggerWeather(
                source="logger",
                file="my-yard.csv",
                units="degF",
                date_format="%d/%m/%Y",
                columns=LoggerColumns(temp="Outdoor"),
                sensor="Back garden",
                clock="UTC",
            ),
        ),
        (('source = "station"', "station ="), StationWeather(source="station", station="nearest")),
    ],
)
def test_the_switched_off_lines_are_right(
    tmp_path: Path, lines: tuple[str, ...], weather: LoggerWeather | StationWeather
) -> None:
    init_workspace(tmp_path, YARD)
    path = tmp_path / "season.toml"
    text = path.read_text("utf-8").replace('source = "demo"', "#", 1)
    path.write_text(switched_on(text, "timezone", *lines, *MAIL, *SCHOOL), "utf-8")
    settings = checked(TomlText(str(path), read_text(path)), Settings)
    assert settings.site[0].weather == weather
    assert settings.catalogue == ("my-species.toml",)
    assert (settings.school[0].group, settings.school[0].take) == ("evergreen azalea", "after bloom")
    assert settings.email is not None and settings.email.password_env == "SEASON_MAIL_PASSWORD"


@pytest.mark.parametrize("name", THREE)
def test_nothing_is_overwritten_and_nothing_half_written(tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_text("mine")
    with pytest.raises(GrowerError) as caught:
        init_workspace(tmp_path, YARD)
    assert caught.value.exit_code == EXIT_BAD_INPUT
    assert caught.value.file == str(tmp_path / name)
    assert names(tmp_path) == {name}
    assert (tmp_path / name).read_text() == "mine"


def test_a_cache_folder_that_is_there_is_kept(tmp_path: Path) -> None:
    kept = tmp_path / "data_cache" / ".gitignore"
    kept.parent.mkdir()
    kept.write_text("mine")
    init_workspace(tmp_path, YARD)
    assert kept.read_text() == "mine"


@pytest.mark.parametrize("failing", [*THREE, ".gitignore"])
def test_a_full_disk_leaves_no_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, failing: str) -> None:
    replace = whole.os.replace

    def full(source: str, target: Path) -> None:
        if target.name == failing:
            raise OSError(28, "No space left on device")
        replace(source, target)

    monkeypatch.setattr(whole.os, "replace", full)
    with pytest.raises(GrowerError, match="No space left") as caught:
        init_workspace(tmp_path, YARD)
    assert caught.value.exit_code == EXIT_BAD_INPUT
    assert names(tmp_path) == set()


def test_a_file_in_place_of_the_folder(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(GrowerError, match="Nothing can be written here"):
        init_workspace(tmp_path / "file", YARD)
