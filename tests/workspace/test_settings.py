from __future__ import annotations

import datetime as dt
import typing
from pathlib import Path

import pytest

from season_engine.errors import GrowerError, InputErrors
from season_engine.files.text import listed, read_text
from season_engine.files.toml_faults import checked
from season_engine.files.toml_lines import TomlText
from season_engine.locale import languages
from season_engine.pot import Pot
from season_engine.weather.invented.climates import CLIMATES
from season_engine.workspace.mail_settings import is_loopback
from season_engine.workspace.settings import (
    Climate,
    DemoWeather,
    FileForecast,
    LoggerWeather,
    ServiceForecast,
    Settings,
    StationWeather,
)
from season_engine.workspace.workspace import load_workspace

SITE = '[[site]]\nname = "ridge"\nlatitude = -45.0\nlongitude = 169\n'
DEMO = '[site.weather]\nsource = "demo"\n'
MAIL = '[email]\nhost = "mail.example.org"\nfrom = "yard@example.org"\nto = ["grower@example.org"]\n'


def read(folder: Path, text: str) -> Settings:
    path = folder / "season.toml"
    path.write_text(text, "utf-8")
    return checked(TomlText(str(path), read_text(path)), Settings)


def faults(folder: Path, text: str) -> list[tuple[int | None, str | None, str]]:
    """(line, field, problem and hint) of every fault, each of which must name the file."""
    with pytest.raises(InputErrors) as caught:
        read(folder, text)
    errors = caught.value.errors
    assert all(error.file == str(folder / "season.toml") for error in errors)
    return [(error.line, error.field, f"{error.problem} {error.hint}".strip()) for error in errors]


def test_everything_the_contract_shows_is_read(tmp_path: Path) -> None:
    settings = read(
        tmp_path,
        """\
units = "degF"
[[site]]
name = "ridge"
latitude = -45.0
longitude = 169.0
elevation_m = 120
timezone = "Etc/UTC"
[site.weather]
source = "logger"
file = "ridge.csv"
units = "degC"
date_format = "%d.%m.%y"
[[site]]
name = "hut"
latitude = 51
longitude = 0
[site.weather]
source = "station"
station = "nearest"
[email]
host = "mail.example.org"
port = 465
security = "tls"
username = "grower"
password_env = "SEASON_MAIL_PASSWORD"
from = "yard@example.org"
to = ["grower@example.org", "other@example.org"]
[report]
out = "out/weekly"
language = "de"
""",
    )
    ridge, hut = settings.site
    assert ridge.weather == LoggerWeather(
        source="logger", file="ridge.csv", units="degC", date_format="%d.%m.%y"
    )
    assert hut.weather == StationWeather(source="station", station="nearest")
    assert (ridge.latitude, ridge.elevation_m, hut.elevation_m) == (-45.0, 120, None)
    assert settings.email is not None
    assert settings.email.sender == "yard@example.org"
    assert settings.email.to == ("grower@example.org", "other@example.org")
    assert (settings.units, settings.report.out) == ("degF", "out/weekly")
    assert settings.report.language == "de"


def test_defaults(tmp_path: Path) -> None:
    settings = read(tmp_path, SITE + DEMO + MAIL)
    assert settings.units == "degC"
    assert (settings.report.out, settings.report.language) == ("reports", "en")
    assert settings.email is not None
    assert (settings.email.port, settings.email.security, settings.email.username) == (587, "starttls", None)


@pytest.mark.parametrize(
    ("old", "new", "line", "field", "words"),
    [
        ("latitude = -45.0", "latitude = 123", 3, "site.latitude", "must lie between -90 and 90; got 123"),
        ("latitude = -45.0", "latitude = nan", 3, "site.latitude", "finite"),
        (
            "latitude = -45.0",
            'latitude = "45 S"',
            3,
            "site.latitude",
            'a number; got "45 S". Write it without',
        ),
        ("latitude = -45.0", "lattitude = 5\nlatitude = 6", 3, "site.lattitude", 'Did you mean "latitude"?'),
        ("latitude = -45.0", "", 1, "site.latitude", '"latitude" is missing. Add it to [[site]].'),
        ("longitude = 169", "longitude = -180.5", 4, "site.longitude", "between -180 and 180; got -180.5"),
        ("longitude = 169", "longitude = true", 4, "site.longitude", "a number; got true"),
        ("longitude = 169", "longitude = 0x" + "f" * 5000, 4, "site.longitude", "number"),
        ("longitude = 169", "longitude = 1\nelevation_m = 9001", 5, "site.elevation_m", "-430 and 9000"),
        ("longitude = 169", 'longitude = 1\ntimezone = "Utopia"', 5, "site.timezone", '"Utopia" is no known'),
        ("longitude = 169", 'longitude = 1\ntimezone = "../x"', 5, "site.timezone", "is no known timezone"),
        ('"ridge"', '""', 2, "site.name", "1 to 60 characters long; got 0"),
        ('"ridge"', '" "', 2, "site.name", "must not be empty"),
        ('"ridge"', '"' + "x" * 61 + '"', 2, "site.name", "got 61"),
        ('"ridge"', r'"a\nb"', 2, "site.name", "one line"),
        ('"ridge"', r'"a\u0000b"', 2, "site.name", "control characters"),
        ('"ridge"', "7", 2, "site.name", "must be text; got 7. Put it in quotes."),
        (
            '"demo"',
            '"dmeo"',
            6,
            "site.weather.source",
            '"logger", "station" or "demo"; got "dmeo". Did you mean',
        ),
        ('"demo"', '"logger"', 5, "site.weather.file", '"file" is missing. Add it to [site.weather].'),
        ('"demo"', '"station"', 5, "site.weather.station", '"station" is missing'),
        ('"demo"', '"demo"\nfile = "x.csv"', 7, "site.weather.file", 'goes with source = "logger" only'),
        ('"demo"', '"demo"\nunits = "degF"', 7, "site.weather.units", 'goes with source = "logger" only'),
        ('"demo"', '"demo"\nclimate = "tropics"', 7, "site.weather.climate", "cool-inland-north"),
        ('"demo"', '"logger"\nfile = "x"\nunits = "K"', 8, "site.weather.units", '"degC" or "degF"; got "K"'),
        (
            '"demo"',
            '"logger"\nfile = "x"\ndate_format = "%H:%M"',
            8,
            "site.weather.date_format",
            "day, month",
        ),
        *(
            ('"demo"', f'"logger"\nfile = "x"\n{line}', 8, f"site.weather.{field}", words)
            for line, field, words in (
                ("columns = { temp = true }", "columns.temp", "header in quotes, or its number"),
                ("columns = { temp = 0 }", "columns.temp", "its number from 1"),
                ('columns = { temps = "T" }', "columns.temps", 'Did you mean "temp"?'),
                ('columns = { temp = "T", tmin = "L" }', "columns.temp", "not both"),
                ('columns = "T"', "columns", "must be a table"),
                ('clock = "local"', "clock", 'such as "UTC" or "UTC+2"'),
                ('clock = "UTC+30"', "clock", 'such as "UTC" or "UTC+2"'),
                ("sensor = 4", "sensor", "must be text"),
            )
        ),
        ('source = "demo"', "", 5, "site.weather.source", '"source" is missing'),
        (DEMO, "", 1, "site.weather", "The table [site.weather] is missing. Add it to [[site]]."),
        ("[[site]]", "[site]", 1, "site", "Write [[site]] with two brackets."),
        (SITE + DEMO, "", 1, "site", "There is no [[site]]. Add at least one."),
        (SITE + DEMO, "site = []\n", 1, "site", "needs at least one entry"),
        (
            "[[site]]",
            'unit = "degC"\n[[site]]',
            1,
            "unit",
            '"unit" is not a key of this file. Did you mean "units"?',
        ),
        ("[[site]]", 'units = "degc"\n[[site]]', 1, "units", 'got "degc". Did you mean "degC"?'),
        ('"mail.example.org"', '""', 8, "email.host", "must not be empty"),
        ("[email]", "[email]\nport = 0", 8, "email.port", "between 1 and 65535; got 0"),
        ("[email]", "[email]\nport = 25.5", 8, "email.port", "whole number"),
        ("[email]", '[email]\nsecurity = "ssl"', 8, "email.security", '"starttls", "tls" or "none"'),
        ('example.org"\nfrom', 'example.org"\nsecurity = "none"\nfrom', 9, "email.security", "this machine"),
        ('"yard@example.org"', '"yard"', 9, "email.from", 'got "yard"'),
        ('"yard@example.org"', r'"a@b\nBcc: c@d"', 9, "email.from", "one line"),
        ('["grower@example.org"]', "[]", 10, "email.to", "at least one"),
        ('["grower@example.org"]', '["a@b", "c d"]', 10, "email.to", 'got "c d"'),
        ('["grower@example.org"]', '"grower@example.org"', 10, "email.to", "must be a list"),
        ('from = "yard@example.org"', "", 7, "email.from", '"from" is missing. Add it to [email].'),
        ("[email]", '[email]\nusername = "g"', 8, "email.username", "password_env or password_file"),
        ("[email]", '[email]\npassword_env = "P"', 7, "email", "needs a username"),
        (
            "[email]",
            '[email]\nusername = "g"\npassword_env = "P"\npassword_file = "p"',
            10,
            "email.password_file",
            "not both",
        ),
        ("[email]", "[report]\nout = 3\n[email]", 8, "report.out", "must be text"),
    ],
)
def test_a_fault_is_named_with_line_and_field(
    tmp_path: Path, old: str, new: str, line: int, field: str, words: str
) -> None:
    text = SITE + DEMO + MAIL
    assert text.count(old) == 1
    assert [(found[:2], words in found[2]) for found in faults(tmp_path, text.replace(old, new))] == [
        ((line, field), True)
    ]


def test_all_faults_are_told_at_once_in_the_order_of_the_file(tmp_path: Path) -> None:
    text = 'units = "K"\n[[site]]\nname = "a"\nlatitude = 91\n[site.weather]\nsource = "logger"\n'
    text += "[email]\nport = 0\n"
    assert [found[:2] for found in faults(tmp_path, text)] == [
        (1, "units"),
        (2, "site.longitude"),
        (4, "site.latitude"),
        (5, "site.weather.file"),
        (7, "email.host"),
        (7, "email.from"),
        (7, "email.to"),
        (8, "email.port"),
    ]


def test_a_password_written_by_mistake_is_not_repeated(tmp_path: Path) -> None:
    (found,) = faults(tmp_path, SITE + DEMO + MAIL + 'password = "hunter2"\n')
    assert found[:2] == (11, "email.password")
    assert 'Did you mean "password_env"?' in found[2]
    assert "hunter2" not in found[2]


def test_site_names_differ_by_more_than_case(tmp_path: Path) -> None:
    (found,) = faults(tmp_path, SITE + DEMO + SITE.replace("ridge", "Ridge") + DEMO)
    assert found == (8, "site.name", 'site name "Ridge" is used twice.')


@pytest.mark.parametrize(
    "name", ["<b>yard</b>", 'a \\"quoted\\" yard', "../../etc", "Äcker & Höfe", "x" * 60]
)
def test_odd_site_names_are_only_names(tmp_path: Path, name: str) -> None:
    (site,) = read(tmp_path, SITE.replace("ridge", name) + DEMO).site
    assert site.name == name.replace("\\", "")


@pytest.mark.parametrize(
    ("host", "local"),
    [
        ("localhost", True),
        ("127.0.0.1", True),
        ("127.8.8.8", True),
        ("::1", True),
        ("[::1]", True),
        ("mail.example.org", False),
        ("127.0.0.1.example.org", False),
        ("localhost.example.org", False),
        ("192.0.2.1", False),
    ],
)
def test_only_this_machine_is_loopback(host: str, local: bool) -> None:
    assert is_loopback(host) is local


def test_plain_mail_to_this_machine_is_allowed(tmp_path: Path) -> None:
    mail = MAIL.replace("mail.example.org", "127.0.0.1").replace("[email]", '[email]\nsecurity = "none"')
    settings = read(tmp_path, SITE + DEMO + mail)
    assert settings.email is not None and settings.email.security == "none"


@pytest.mark.parametrize(
    ("content", "line"),
    [
        (b"units = \n", 1),
        (b"# a\n[[site]\n", 2),
        (b"# a\n# \xff\n", 2),
        (b"a = " + b"[" * 100_000, None),
        ("units = 'degC'".encode("utf-16"), 1),
    ],
)
def test_what_is_not_toml(tmp_path: Path, content: bytes, line: int | None) -> None:
    path = tmp_path / "season.toml"
    path.write_bytes(content)
    with pytest.raises(GrowerError) as caught:
        checked(TomlText(str(path), read_text(path)), Settings)
    assert (caught.value.file, caught.value.line) == (str(path), line)


def test_a_byte_order_mark_is_no_fault(tmp_path: Path) -> None:
    assert read(tmp_path, "\ufeff" + SITE + DEMO).site[0].name == "ridge"


def test_a_folder_in_place_of_the_file(tmp_path: Path) -> None:
    with pytest.raises(GrowerError, match="can't be read"):
        checked(TomlText(str(tmp_path), read_text(tmp_path)), Settings)


def test_the_climates_are_those_the_demo_weather_has() -> None:
    assert set(typing.get_args(Climate)) == set(CLIMATES)


@pytest.mark.parametrize(
    ("lines", "sun", "absorptance"),
    [
        ("", 0.5, 0.65),
        ('sun_on_pots = "full"', 1.0, 0.65),
        ('sun_on_pots = "none"\npot_colour = "light"', 0.1, 0.4),
        ('sun_on_pots = "half"\npot_colour = "dark"', 0.5, 0.9),
    ],
)
def test_pots_stand_in_half_sun_and_are_of_ceramic_unless_it_is_told(tmp_path, lines, sun, absorptance):
    text = f"""
[[site]]
name = "a"
latitude = 1.0
longitude = 2.0
bench_frost_allowance_c = 2
{lines}
[site.weather]
source = "demo"
"""
    (tmp_path / "season.toml").write_text(text, encoding="utf-8")
    site = load_workspace(tmp_path).sites[0].site
    pot = site.standing(Pot.of_tree(10))
    assert (site.bench_frost_allowance_c, pot.sun_share, pot.wall.absorptance) == (2.0, sun, absorptance)


LOGGER = 'source = "logger"\nfile = "ridge.csv"\n'


@pytest.mark.parametrize("source", [LOGGER, 'source = "station"\nstation = "nearest"\n'])
def test_days_to_keep_and_to_drop(tmp_path: Path, source: str) -> None:
    days = 'keep = ["2021-03-04", "2022-05-01/2022-05-09", 2020-01-01]\ndrop = ["2022-06-01"]\n'
    (site,) = read(tmp_path, SITE + DEMO.replace('source = "demo"\n', source + days)).site
    assert not isinstance(site.weather, DemoWeather)
    assert site.weather.keep == (
        (dt.date(2021, 3, 4), dt.date(2021, 3, 4)),
        (dt.date(2022, 5, 1), dt.date(2022, 5, 9)),
        (dt.date(2020, 1, 1), dt.date(2020, 1, 1)),
    )
    assert site.weather.drop == ((dt.date(2022, 6, 1), dt.date(2022, 6, 1)),)


@pytest.mark.parametrize(
    ("days", "field", "words"),
    [
        ('keep = ["2021-13-04"]', "keep", 'got "2021-13-04"'),
        ('keep = ["4 March 2021"]', "keep", "2022-05-01/2022-05-09"),
        ('drop = ["2022-05-01/"]', "drop", "must hold days"),
        ('drop = ["2022-05-01/2022-05-09/2022-05-10"]', "drop", "must hold days"),
        ("drop = [2022-05-01T12:00:00]", "drop", "must hold days"),
        ("keep = [3]", "keep", 'got "3"'),
        ('keep = "2021-03-04"', "keep", "must be a list"),
        ('drop = ["2022-05-09/2022-05-01"]', "drop", "ends before it begins"),
    ],
)
def test_days_that_are_none(tmp_path: Path, days: str, field: str, words: str) -> None:
    text = SITE + DEMO.replace('source = "demo"\n', f"{LOGGER}{days}\n")
    ((_, found_field, found_words),) = faults(tmp_path, text)
    assert found_field == f"site.weather.{field}"
    assert words in found_words


def test_a_day_is_not_kept_and_dropped(tmp_path: Path) -> None:
    days = 'keep = ["2022-05-01/2022-05-09"]\ndrop = ["2021-01-01", "2022-05-09/2022-06-01"]\n'
    ((line, field, words),) = faults(tmp_path, SITE + DEMO.replace('source = "demo"\n', LOGGER + days))
    assert line == (SITE + DEMO).count("\n", 0, (SITE + DEMO).index("source")) + 4
    assert field == "site.weather.drop"
    assert "2022-05-09 is among the days to keep and among those to drop" in words


def test_the_demo_has_no_days_to_drop(tmp_path: Path) -> None:
    ((_, field, words),) = faults(tmp_path, SITE + DEMO + 'drop = ["2021-01-01"]\n')
    assert field == "site.weather.drop"
    assert words.startswith('"drop" goes with source = "logger" or "station" only.')


LOGGED = '[site.weather]\nsource = "logger"\nfile = "ridge.csv"\n'


def test_a_forecast_is_asked_for_by_its_own_table_only(tmp_path: Path) -> None:
    assert read(tmp_path, SITE + LOGGED).site[0].forecast is None
    service = '[site.forecast]\nsource = "service"\ncontact = "grower@example.org"\n'
    asked = read(tmp_path, SITE + LOGGED + service).site[0].forecast
    assert asked == ServiceForecast(source="service", contact="grower@example.org")
    log = '[site.forecast]\nsource = "file"\nfile = "forecast.csv"\nunits = "degF"\n'
    own = read(tmp_path, SITE + LOGGED + log).site[0].forecast
    assert own == FileForecast(source="file", file="forecast.csv", units="degF")


@pytest.mark.parametrize(
    ("table", "line", "field", "said"),
    [
        ('source = "service"\n', 8, "site.forecast.contact", '"contact" is missing'),
        ('source = "service"\ncontact = "m\u00fcller"\n', 10, "site.forecast.contact", "in plain letters"),
        ('source = "service"\ncontact = "a\\nb: c"\n', 10, "site.forecast.contact", "one line"),
        ('source = "guess"\n', 9, "site.forecast.source", 'must be "service" or'),
        ('source = "file"\ncontact = "x"\nfile = "y"\n', 10, "site.forecast.contact", '"service" only'),
    ],
)
def test_faults_of_a_forecast_table(tmp_path: Path, table: str, line: int, field: str, said: str) -> None:
    ((at, key, text),) = faults(tmp_path, SITE + LOGGED + "[site.forecast]\n" + table)
    assert (at, key) == (line, field)
    assert said in text


@pytest.mark.parametrize(
    ("typed", "told"),
    [("DE", 'Did you mean "de"?'), ("klingon", f"the languages are {listed(languages(), 'and')}")],
)
def test_a_language_there_is_no_catalogue_for_is_a_fault(tmp_path: Path, typed: str, told: str) -> None:
    ((line, field, words),) = faults(tmp_path, SITE + DEMO + f'[report]\nlanguage = "{typed}"\n')
    assert (line, field) == (8, "report.language")
    assert f'there is no language "{typed}"' in words
    assert told in words
