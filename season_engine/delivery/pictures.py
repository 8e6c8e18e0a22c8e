"""The report's drawings as PNG pictures: mail programs show neither inline SVG nor pictures in addresses."""

from __future__ import annotations

import datetime as dt
from functools import cache
from importlib.resources import as_file, files
from typing import Any

import resvg_py
from jinja2 import Environment, PackageLoader, StrictUndefined

from season_engine.report import phrases
from season_engine.report.cards import Card
from season_engine.report.charts import ribbon, sum_chart
from season_engine.report.sections import SumLine

SVG = "http://www.w3.org/2000/svg"
WIDTH_PX = 720  # shown at half that, for sharp screens
PAPER = "#faf8f2"
STYLE = """
text { font-family: "DejaVu Sans"; font-size: 10px; fill: #62655b }
.now { stroke: #22251f; stroke-width: 1 }
.axis { stroke: #d9d5c7; stroke-width: 1 }
.chance { fill: #3d4f7c; fill-opacity: .82 }
.usual { fill: url(#hatch); stroke: #3d4f7c; stroke-width: .8 }
.hatching { stroke: #3d4f7c; stroke-width: 1; stroke-opacity: .75 }
.band { fill: #3d4f7c; fill-opacity: .16 }
.past { fill: none; stroke: #3d4f7c; stroke-width: 1; stroke-dasharray: 3 3 }
.this { fill: none; stroke: #22251f; stroke-width: 2; stroke-linejoin: round; stroke-linecap: round }
.dot { fill: #22251f }
"""


class Album:
    """The pictures of one message by their content ids; a drawing asked for is added."""

    def __init__(self) -> None:
        self.pictures: dict[str, bytes] = {}

    def window(self, card: Card) -> str:
        """Content id of a window's drawing; empty where there is nothing to draw."""
        return self._add(str(_drawings().window(card)))

    def season_sum(self, line: SumLine, as_of: dt.date) -> str:
        """Content id of a season sum's drawing; empty where there is nothing to draw."""
        return self._add(str(_drawings().season_sum(line, as_of)))

    def _add(self, figure: str) -> str:
        start, end = figure.find("<svg "), figure.rfind("</svg>")
        if start < 0:
            return ""
        name = f"drawing-{len(self.pictures) + 1}@season-engine"
        self.pictures[name] = png(figure[start:end] + str(_drawings().hatch()) + "</svg>")
        return name


def png(svg: str) -> bytes:
    """Draw an SVG of the report's template; its text in the font that comes with the package."""
    with as_file(files("season_engine.delivery") / "fonts" / "DejaVuSans.ttf") as font:
        return resvg_py.svg_to_bytes(
            svg_string=svg.replace("<svg ", f'<svg xmlns="{SVG}" ', 1),
            style_sheet=STYLE,
            background=PAPER,
            width=WIDTH_PX,
            font_files=[str(font)],
            skip_system_fonts=True,
        )


@cache
def _drawings() -> Any:
    """The macros that draw on the report's page."""
    environment = Environment(
        loader=PackageLoader("season_engine.report"), autoescape=True, undefined=StrictUndefined
    )
    environment.globals.update(phrases=phrases, ribbon=ribbon, sum_chart=sum_chart)
    return environment.get_template("drawings.html").module
