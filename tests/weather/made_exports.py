"""Logger files made up in a random mix of styles, with what they truly say."""

from __future__ import annotations

import datetime as dt
import math
import random
from collections.abc import Callable
from dataclasses import dataclass, field
from zoneinfo import ZoneInfo

from season_engine.site import Site

PLACES = [  # latitude, longitude, height, time zone
    (52.5, 13.4, 40, "Europe/Berlin"),
    (40.4, -3.7, 650, "Europe/Madrid"),
    (41.6, -93.6, 290, "America/Chicago"),
    (45.5, -73.6, 30, "America/Toronto"),
    (-37.8, 145.0, 60, "Australia/Melbourne"),
    (-33.4, -70.6, 550, "America/Santiago"),
    (35.7, 139.7, 40, "Asia/Tokyo"),
    (60.2, 24.9, 20, "Europe/Helsinki"),
    (-25.7, 28.2, 1300, "Africa/Johannesburg"),
    (51.5, -0.1, 20, "Europe/London"),
]
# Time, date, outdoors, indoors, soil, humidity, by language; what a cell without a reading says
WORDS = {
    "en": (
        "Time",
        "Date",
        "Outdoor temperature",
        "Indoor temperature",
        "Soil temperature",
        "Humidity",
        "no data",
    ),
    "de": (
        "Uhrzeit",
        "Datum",
        "Außentemperatur",
        "Innentemperatur",
        "Bodentemperatur",
        "Luftfeuchte",
        "Fehler",
    ),
    "fr": (
        "Heure",
        "Date",
        "Température extérieure",
        "Température intérieure",
        "Température du sol",
        "Humidité",
        "Err",
    ),
    "es": (
        "Hora",
        "Fecha",
        "Temperatura exterior",
        "Temperatura interior",
        "Temperatura del suelo",
        "Humedad",
        "s/d",
    ),
    "it": (
        "Ora",
        "Data",
        "Temperatura esterna",
        "Temperatura interna",
        "Temperatura suolo",
        "Umidità",
        "n.d.",
    ),
    "pt": (
        "Hora",
        "Data",
        "Temperatura externa",
        "Temperatura interna",
        "Temperatura do solo",
        "Umidade",
        "erro",
    ),
    "nl": (
        "Tijd",
        "Datum",
        "Buitentemperatuur",
        "Binnentemperatuur",
        "Bodemtemperatuur",
        "Vochtigheid",
        "fout",
    ),
    "sv": ("Tid", "Datum", "Utetemperatur", "Innetemperatur", "Marktemperatur", "Luftfuktighet", "saknas"),
    "da": ("Tid", "Dato", "Udetemperatur", "Indetemperatur", "Jordtemperatur", "Luftfugtighed", "fejl"),
    "pl": (
        "Godzina",
        "Data",
        "Temperatura na zewnątrz",
        "Temperatura wewnątrz",
        "Temperatura gleby",
        "Wilgotność",
        "brak",
    ),
    "cs": ("Čas", "Datum", "Venkovní teplota", "Vnitřní teplota", "Teplota půdy", "Vlhkost", "chyba"),
    "fi": ("Kello", "Päivämäärä", "Ulkolämpötila", "Sisälämpötila", "Maan lämpötila", "Kosteus", "ei tietoa"),
    "hu": (
        "Idő",
        "Dátum",
        "Külső hőmérséklet",
        "Belső hőmérséklet",
        "Talajhőmérséklet",
        "Páratartalom",
        "hiba",
    ),
    "ja": ("時刻", "日付", "外気温", "室内温度", "地温", "湿度", "欠測"),
}
MONTHS = {
    "en": "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec",
    "de": "Jan Feb Mär Apr Mai Jun Jul Aug Sep Okt Nov Dez",
    "fr": "janv. févr. mars avr. mai juin juil. août sept. oct. nov. déc.",
    "es": "ene feb mar abr may jun jul ago sep oct nov dic",
    "it": "gen feb mar apr mag giu lug ago set ott nov dic",
    "pt": "jan fev mar abr mai jun jul ago set out nov dez",
    "nl": "jan feb mrt apr mei jun jul aug sep okt nov dec",
    "sv": "jan feb mar apr maj jun jul aug sep okt nov dec",
    "da": "jan feb mar apr maj jun jul aug sep okt nov dec",
    "pl": "sty lut mar kwi maj cze lip sie wrz paź lis gru",
    "cs": "ledna února března dubna května června července srpna září října listopadu prosince",
}
ALPHABETS = {"pl": "cp1250", "cs": "cp1250", "hu": "cp1250", "ja": "cp932"}
DATES: dict[str, Callable[[dt.datetime, str], str]] = {
    "iso": lambda at, _: f"{at:%Y-%m-%d}",
    "slashes, year first": lambda at, _: f"{at:%Y/%m/%d}",
    "dots": lambda at, _: f"{at:%d.%m.%Y}",
    "dots, short": lambda at, _: f"{at.day}.{at.month}.{at:%y}",
    "day first": lambda at, _: f"{at:%d/%m/%Y}",
    "day first, short": lambda at, _: f"{at:%d/%m/%y}",
    "month first": lambda at, _: f"{at.month}/{at.day}/{at.year}",
    "month first, short": lambda at, _: f"{at:%m/%d/%y}",
    "compact": lambda at, _: f"{at:%Y%m%d}",
    "named": lambda at, lang: f"{at.day} {MONTHS.get(lang, MONTHS['en']).split()[at.month - 1]} {at.year}",
    "named, dashes": lambda at, lang: (
        f"{at.day:02d}-{MONTHS.get(lang, MONTHS['en']).split()[at.month - 1]}-{at:%y}"
    ),
}
TIMES: dict[str, Callable[[dt.datetime], str]] = {
    "minutes": lambda at: f"{at:%H:%M}",
    "seconds": lambda at: f"{at:%H:%M:%S}",
    "halves": lambda at: f"{at:%I:%M %p}",
    "a. m.": lambda at: f"{at:%I:%M:%S} {'a' if at.hour < 12 else 'p'}. m.",
    "h": lambda at: f"{at:%H} h {at:%M}",
    "dots": lambda at: f"{at.hour}.{at:%M}",
}


@dataclass
class Made:
    """A file, where it stood, and its readings."""

    content: bytes
    site: Site
    style: list[str] = field(default_factory=list)
    utc_s: list[int] = field(default_factory=list)
    own_s: list[int] = field(default_factory=list)  # on its own clock
    temp_c: list[float] = field(default_factory=list)


def made_export(seed: int) -> Made:
    """A file of some days in a style drawn by a seed."""
    draw = random.Random(seed)
    latitude, longitude, height, zone = draw.choice(PLACES)
    made = Made(b"", Site("yard", latitude, longitude, height))
    step = draw.choice((15, 20, 30, 60))
    start = dt.datetime(2024, 1, 1, tzinfo=dt.UTC) + dt.timedelta(
        days=draw.randrange(700), minutes=step * draw.randrange(50)
    )
    moments = [start + dt.timedelta(minutes=step * at) for at in range(draw.randint(8, 25) * 24 * 60 // step)]
    language = draw.choice(list(WORDS))
    writer = _Writer(draw, made, language, ZoneInfo(zone))
    made.content = writer.content(moments)
    return made


def _air_c(moment: dt.datetime, site: Site, draw: random.Random) -> float:
    """Air outdoors: a year's and a day's wave by the sun, and noise."""
    year = math.cos(2 * math.pi * (moment.timetuple().tm_yday - (201 if site.latitude > 0 else 18)) / 365)
    sun_h = (moment.hour + moment.minute / 60 + site.longitude / 15) % 24
    mean = 27 - 0.42 * abs(site.latitude) - 0.0065 * (site.elevation_m or 0)
    day = 4.5 * math.cos(2 * math.pi * (sun_h - 15) / 24)
    return mean + year * 0.2 * abs(site.latitude) + day + draw.gauss(0, 0.3)


class _Writer:
    """Writes readings in one style."""

    def __init__(self, draw: random.Random, made: Made, language: str, zone: ZoneInfo) -> None:
        self.draw, self.made, self.language, self.zone = draw, made, language, zone
        self.separator = draw.choice((",", ",", ";", ";", "\t"))
        self.comma = (self.separator != "," and draw.random() < 0.5) or (
            self.separator == "," and draw.random() < 0.15
        )
        self.clock = draw.choice(("wall", "wall", "standard", "standard", "utc", "offset", "epoch"))
        self.date, self.time = draw.choice(list(DATES)), draw.choice(list(TIMES))
        self.two = draw.random() < 0.4
        self.fahrenheit = draw.random() < 0.25
        self.unit_at = draw.choice(("header", "header", "line", "cells", "none"))
        self.columns = draw.choice(
            (("out",), ("out", "hum"), ("in", "out"), ("in", "out", "hum", "soil"), ("soil", "hum", "out"))
        )
        self.odd = draw.random()
        made.style = [
            language,
            self.separator,
            "comma" if self.comma else "point",
            self.clock,
            self.date,
            self.time,
            "two cells" if self.two else "one cell",
            "F" if self.fahrenheit else "C",
            self.unit_at,
            "/".join(self.columns),
        ]

    def content(self, moments: list[dt.datetime]) -> bytes:
        """The file."""
        draw = self.draw
        rows = [row for moment in moments if (row := self._row(moment))]
        if draw.random() < 0.2:
            rows.reverse()
            self.made.style.append("newest first")
            for one in (self.made.utc_s, self.made.own_s, self.made.temp_c):
                one.reverse()
        head, units = self._head()
        lines = [self._line(head), *([self._line(units)] if units else []), *map(self._line, rows)]
        if draw.random() < 0.3:
            lines.insert(len(lines) // 2, lines[0])
            self.made.style.append("header again")
        if draw.random() < 0.4:
            lines = [f"Logger{self.separator}yard 7", f"Serial{self.separator}00417", "", *lines]
            self.made.style.append("preamble")
        if draw.random() < 0.3:
            lines += ["", f"Minimum{self.separator}{self._number(-3.2)}", "End of data"]
            self.made.style.append("footer")
        text = draw.choice(("\n", "\r\n", "\r")).join(lines) + "\n" * draw.randint(0, 1)
        alphabet = draw.choice(("utf-8", "utf-8-sig", "utf-16", ALPHABETS.get(self.language, "cp1252")))
        self.made.style.append(alphabet)
        return text.encode(alphabet, "replace")

    def _head(self) -> tuple[list[str], list[str]]:
        time, date, *words = WORDS[self.language][:6]
        names = dict(zip(("out", "in", "soil", "hum"), words, strict=True))
        unit = "°F" if self.fahrenheit else "°C"
        told = [
            f"{names[one]} ({unit if one != 'hum' else '%'})" if self.unit_at == "header" else names[one]
            for one in self.columns
        ]
        first = (
            [date, time] if self._cells_of_time == 2 else [f"{time} (UTC)" if self.clock == "utc" else time]
        )
        if self.clock == "utc" and self._cells_of_time == 2:
            first[1] += " UTC"
        units = (
            [""] * len(first) + [unit if one != "hum" else "%" for one in self.columns]
            if self.unit_at == "line"
            else []
        )
        return [*first, *told], units

    @property
    def _cells_of_time(self) -> int:
        return 2 if self.two and self.clock not in ("offset", "epoch") else 1

    def _row(self, moment: dt.datetime) -> list[str]:
        draw, made = self.draw, self.made
        wall = moment.astimezone(self.zone)
        standard = (moment + (wall.utcoffset() or dt.timedelta()) - (wall.dst() or dt.timedelta())).replace(
            tzinfo=None
        )
        own = {"wall": wall.replace(tzinfo=None), "standard": standard}.get(
            self.clock, moment.replace(tzinfo=None)
        )
        air = round(_air_c(moment, made.site, draw), 1)
        cells = [self._cell(one, air) for one in self.columns]
        if draw.random() < 0.01:
            cells[self.columns.index("out")] = draw.choice(("", "---", WORDS[self.language][6]))
        else:
            made.utc_s.append(int(moment.timestamp()))
            made.own_s.append(int(own.replace(tzinfo=dt.UTC).timestamp()))
            made.temp_c.append(air if not self.fahrenheit else (round(air * 1.8 + 32, 1) - 32) / 1.8)
        return [*self._stamp(moment, wall, own), *cells]

    def _stamp(self, moment: dt.datetime, wall: dt.datetime, own: dt.datetime) -> list[str]:
        if self.clock == "epoch":
            return [str(int(moment.timestamp()))]
        if self.clock == "offset":
            return [wall.isoformat(timespec="seconds")]
        date, time = DATES[self.date](own, self.language), TIMES[self.time](own)
        return [date, time] if self.two else [f"{date} {time}"]

    def _cell(self, one: str, air: float) -> str:
        if one == "hum":
            return str(self.draw.randint(45, 99))
        value = {"out": air, "in": 20 + self.draw.gauss(0, 0.5), "soil": 11 + self.draw.gauss(0, 0.3)}[one]
        text = self._number(value * 1.8 + 32 if self.fahrenheit else value)
        return f"{text} {'°F' if self.fahrenheit else '°C'}" if self.unit_at == "cells" else text

    def _number(self, value: float) -> str:
        text = f"{value:.1f}"
        return text.replace(".", ",") if self.comma else text

    def _line(self, cells: list[str]) -> str:
        quoted = [f'"{cell}"' if self.separator in cell else cell for cell in cells]
        return self.separator.join(quoted)
