"""The report's drawings as PNG pictures: mail programs show neither inline SVG nor pictures in addresses."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from html import unescape
from importlib.resources import as_file, files
from typing import Any

import resvg_py
from jinja2 import Environment, PackageLoader, StrictUndefined

from season_engine.pages.pictures.drawings import DRAWERS
from season_engine.words.speech import say
from season_engine.words.year_ahead import YearRow

SVG = "http://www.w3.org/2000/svg"
WIDTH_PX = 720  # shown at half that, for sharp screens


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture's content id, and the drawing's own title: its description is as long as the mail."""

    name: str
    alt: str


class Album:
    """The pictures of one message by their content ids; a drawing asked for is added, an empty one not."""

    def __init__(self) -> None:
        self.pictures: dict[str, bytes] = {}

    def year(self, rows: Sequence[YearRow], as_of: dt.date) -> Picture | None:
        """The year ahead of some trees."""
        return self._add(_drawings().year(rows, as_of))

    def _add(self, figure: str) -> Picture | None:
        start, end = figure.find("<svg "), figure.rfind("</svg>")
        if start < 0:
            return None
        svg = str(figure[start:end])
        name = f"drawing-{len(self.pictures) + 1}@season-engine"
        self.pictures[name] = png(f"{svg}{_drawings().patterns()}</svg>")
        title = " ".join(re.findall(r"<title>(.*?)</title>", svg, re.DOTALL))
        return Picture(name, unescape(say("Drawing: {title}; in words on the page", title=title)))


def png(svg: str) -> bytes:
    """Draw an SVG of the report's template; its text in the font that comes with the package."""
    with as_file(files("season_engine.delivery") / "fonts" / "DejaVuSans.ttf") as font:
        return resvg_py.svg_to_bytes(
            svg_string=svg.replace("<svg ", f'<svg xmlns="{SVG}" ', 1),
            style_sheet=style(),
            background=colours()["paper"],
            width=WIDTH_PX,
            font_files=[str(font)],
            skip_system_fonts=True,
        )


@cache
def style() -> str:
    """The page's own style of its drawings, in its light colours and our font."""
    rules = re.sub(r"var\(--(\w+)\)", lambda name: colours()[name[1]], _template("drawings.css"))
    return f'{rules}\ntext {{ font-family: "DejaVu Sans"; font-size: 11px }}\n'


@cache
def colours() -> dict[str, str]:
    """The page's light colours by name."""
    return dict(re.findall(r"--(\w+): (#\w{6})", _template("report.css").split("}")[0]))


def _template(name: str) -> str:
    return files("season_engine.pages").joinpath("templates", name).read_text("utf-8")


@cache
def _drawings() -> Any:
    """The macros that draw on the report's page."""
    environment = Environment(
        loader=PackageLoader("season_engine.pages"), autoescape=True, undefined=StrictUndefined
    )
    environment.globals.update(DRAWERS)
    return environment.get_template("drawings.html").module
