"""Columns that mark how good readings are, marks and notes beside values, and tenths of degrees."""

from __future__ import annotations

import datetime as dt

import pytest

from season_engine.errors import GrowerError
from season_engine.weather.logger.verdicts import verdict_of
from tests.weather.readings_made import DAYS, READINGS, read, says, says_days, spelt, spelt_days
from tests.weather.test_logger_told_dates import refusal

GOOD = [one for place, one in enumerate(READINGS) if not 50 <= place < 60]


def marked(column: str, marks: tuple[str, str, str], about: str = "") -> str:
    """Readings of which ten are bad, half of them so that it can be seen, and five entered by hand."""
    fine, by_hand, bad = marks
    lines = [about, f"time,temp °C,{column}"] if about else [f"time,temp °C,{column}"]
    for place, (at, c) in enumerate(READINGS):
        mark = bad if 50 <= place < 60 else by_hand if 80 <= place < 85 else fine
        lines.append(f"{at:%Y-%m-%d %H:%M},{79.8 if mark == bad and place % 2 else c},{mark}")
    return "\n".join(lines)


@pytest.mark.parametrize(
    ("column", "marks", "about"),
    [
        ("QF", ("0", "1", "2"), "# QF: 0 = good, 1 = entered by hand, 2 = sensor failure (do not use)"),
        ("QF", ("0", "1", "2"), "# QF: 0 - dobre, 1 - uzupełnione ręcznie, 2 - awaria czujnika (nie używać)"),
        ("Flag", ("G", "H", "X"), "# Flags\n# G good\n# H manual\n# X rejected"),
        (
            "Calidad",
            ("V", "P", "D"),
            "S/D: sin dato. Calidad: V = validado; P = provisorio; D = dudoso (no utilizar).",
        ),
        (
            "Calidad",
            ("V", "P", "D"),
            "S/D: sin dato. Calidad: V = validado P = provisorio D = dudoso (no utilizar).",
        ),
        ("quality", ("good", "manual", "bad"), ""),
        ("Qualität", ("gut", "von Hand", "Fehler"), ""),
    ],
)
def test_marks_that_are_explained(column: str, marks: tuple[str, str, str], about: str) -> None:
    record = read(marked(column, marks, about))
    (left,) = (one for one in record.form.left if one.kind == "flag")
    assert says(record, GOOD) and left.lines == 10


def test_marks_that_nothing_explains_are_asked_about() -> None:
    text = marked("QF", ("0", "1", "2"))
    assert 'flags = ["0"]' in refusal(text)
    assert says(read(text, flags=("0", "1")), GOOD)
    assert "no reading is marked" in refusal(text, flags=("9",))
    doubtful = marked("QF", ("0", "1", "2"), "# QF: 0 = good, 1 = estimated, 2 = failure")
    assert 'flags = ["0"]' in refusal(doubtful)
    letters = marked("flag", ("", "", "B"))
    assert 'flags = [""]' in refusal(letters)
    assert says(read(letters, flags=("",)), GOOD)
    assert says(read(letters.replace(",flag", ",grade"), flags=("",), columns={"flag": "grade"}), GOOD)


def test_a_mark_that_all_readings_bear_says_nothing() -> None:
    assert says(read(spelt("time,temp °C,QC", lambda at, c: f"{at:%Y-%m-%d %H:%M},{c},8")))


def test_each_extreme_has_its_own_marks() -> None:
    odd = DAYS[9][0]
    text = spelt_days(
        "DATE,TMAX,TMAX_FLAG,TMIN,TMIN_FLAG",
        lambda day, low, high: f"{day},{45.5 if day == odd else high},{'X' * (day == odd)},{low},",
    )
    assert 'flags = [""]' in refusal(text)
    assert says_days(read(text, flags=("",)), [one for one in DAYS if one[0] != odd])


# Phrases as such legends have them, by hand
@pytest.mark.parametrize(
    ("said", "verdict"),
    [
        ("good", "good"),
        ("no error", "good"),
        ("kein Fehler", "good"),
        ("not valid", "bad"),
        ("nicht verwenden", "bad"),
        ("sensor failure", "bad"),
        ("entered by hand", "good"),
        ("estimated", "unclear"),
        ("good, but suspect", "unclear"),
        ("7", "unclear"),
    ],
)
def test_what_words_say_of_readings(said: str, verdict: str) -> None:
    assert verdict_of(said) == verdict


def with_cell(at_place: int, cell: str, end: str = "") -> str:
    rows = [
        f"{at:%Y-%m-%d %H:%M},{cell.format(c=c) if place == at_place else c}"
        for place, (at, c) in enumerate(READINGS)
    ]
    return "\n".join(["time,temp °C", *rows, end])


@pytest.mark.parametrize("cell", ["{c} frost", "{c} (gel)", "{c} °C (heavy frost)", "{c}; dew"])
def test_a_note_beside_a_value_leaves_it_alone(cell: str) -> None:
    assert says(read(with_cell(7, cell)))


@pytest.mark.parametrize("cell", ["{c} error", "{c} (do not use)", "frost"])
def test_a_note_that_calls_a_value_bad_takes_it_out(cell: str) -> None:
    assert says(read(with_cell(7, cell)), [one for place, one in enumerate(READINGS) if place != 7])


@pytest.mark.parametrize("cell", ["{c}*", "{c} e", "{c} suspect", "{c} indoors"])
def test_a_mark_beside_a_value_is_asked_about(cell: str) -> None:
    text, mark = with_cell(7, cell), cell[3:].strip()
    assert f'flags = ["", "{mark}"]' in refusal(text)
    assert says(read(text, flags=("", mark)))
    assert says(read(text, flags=("",)), [one for place, one in enumerate(READINGS) if place != 7])


@pytest.mark.parametrize("cell", ["{c}-", "{c} below"])
def test_a_value_that_may_be_meant_below_zero_is_refused(cell: str) -> None:
    assert "may be meant to be below zero" in refusal(with_cell(7, cell))
    kept = [one for place, one in enumerate(READINGS) if place != 7]
    assert says(read(with_cell(7, cell), flags=("",)), kept)


def test_a_footnote_explains_a_mark() -> None:
    assert says(read(with_cell(7, "{c}*", "* = read by hand")))


def test_tenths_that_nothing_tells_are_asked_about() -> None:
    text = spelt("time,temp", lambda at, c: f"{at:%Y-%m-%d %H:%M},{round(c * 10)}")
    assert "tenths = true" in refusal(text)
    assert says(read(text, tenths=True))
    days = spelt_days(
        "", lambda day, low, high: f"{day:%Y%m%d} {round(high * 10):5d} {round(low * 10):5d}"
    ).lstrip("\n")
    assert "tenths = true" in refusal(days)
    assert says_days(read(days, tenths=True))
    assert "no degrees, nor tenths" in refusal(
        spelt("time,temp", lambda at, c: f"{at:%Y-%m-%d %H:%M},{round(c * 1000)}")
    )


def test_tenths_of_the_rain_are_not_those_of_degrees() -> None:
    header = "Rain in tenths of a millimetre\nDate,Min °C,Max °C,Rain"
    assert says_days(read(spelt_days(header, lambda day, low, high: f"{day},{low},{high},12")))
    whole = [(day, float(round(low)), float(round(high))) for day, low, high in DAYS]
    assert says_days(
        read(spelt_days(header, lambda day, low, high: f"{day},{low:.0f},{high:.0f},12", whole)), whole
    )


def test_a_line_of_units_may_say_tenths() -> None:
    def spell(day: dt.date, low: float, high: float) -> str:
        return f" 4712 {day:%Y} {day.month:3d} {day.day:3d} {round(low * 10):6d} {round(high * 10):6d}"

    header = (
        "Period : 2024-01-01 -- 2025-02-03\n\n Stn    År Mån Dag   Tmin   Tmax\n"
        "                     0,1 C  0,1 C\n------"
    )
    assert says_days(read(spelt_days(header, spell)))


def test_lines_above_tell_what_columns_hold() -> None:
    about = "# TA_5: temperature near the ground, 5 cm\n# TA_200: air temperature, 2 m\n"
    text = spelt(about + "time,TA_5,TA_200", lambda at, c: f"{at:%Y-%m-%d %H:%M},{c - 2:.1f},{c}")
    assert says(read(text))
    with pytest.raises(GrowerError, match="could both be"):
        read(text.removeprefix(about))


@pytest.mark.parametrize("hour", ["(à 6 h)", "(06:30)", "[at 6 am]", "(um 6 Uhr)", "(6h)", "(kl. 6.30 h)"])
def test_the_hour_of_an_extreme_in_brackets_is_no_part_of_it(hour: str) -> None:
    text = spelt_days("date;tmin;tmax", lambda day, low, high: f"{day};{low} {hour};{high}")
    assert says_days(read(text))


@pytest.mark.parametrize("note", ["(6)", "(11.5)", "(26 h)"])
def test_other_numbers_in_brackets_are_refused(note: str) -> None:
    lines = spelt_days("date;tmin;tmax", lambda day, low, high: f"{day};{low};{high}").splitlines()
    day, low, high = lines[9].split(";")
    lines[9] = f"{day};{low} {note};{high}"
    assert note in refusal("\n".join(lines))


def test_kelvins_that_a_header_tells_are_read() -> None:
    for header in ("time,temp K", "time,T_air [K]", "time,kelvin"):
        assert says(read(spelt(header, lambda at, c: f"{at:%Y-%m-%d %H:%M},{c + 273.15:.2f}")))
    celsius = spelt("time,temp K", lambda at, c: f"{at:%Y-%m-%d %H:%M},{c}")  # K is a kind of sensor, too
    assert says(read(celsius))


def test_kelvins_and_many_columns_are_refused_in_short() -> None:
    bare = refusal(spelt("time,temp", lambda at, c: f"{at:%Y-%m-%d %H:%M},{c + 273.15:.2f}"))
    assert "no unit is told" in bare
    names = ",".join(f"P{at}" for at in range(1, 28))
    many = refusal(spelt(f"time,{names}", lambda at, c: f"{at:%Y-%m-%d %H:%M}" + f",{c}" * 27))
    assert '27 columns, "P1" and "P27" among them' in many and "P14" not in many
