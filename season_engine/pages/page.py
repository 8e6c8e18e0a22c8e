"""The report as one HTML page that needs nothing else: no script, no picture, no address."""

from __future__ import annotations

from functools import cache

from jinja2 import Environment, PackageLoader, StrictUndefined, Template

from season_engine.pages.pictures.drawings import DRAWERS
from season_engine.report.contents import Report
from season_engine.words.report import report_sections
from season_engine.words.speech import speaking


def report_page(report: Report, last_week: str = "") -> str:
    """The whole report; every name and note is escaped. `last_week`: the folder of the one before, if any."""
    with speaking(report.language, report.units):
        return page_template("report.html").render(report=report_sections(report), last_week=last_week)


@cache
def page_template(name: str) -> Template:
    """One of the package's pages."""
    environment = Environment(
        loader=PackageLoader("season_engine.pages"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.globals.update(DRAWERS)
    return environment.get_template(name)
