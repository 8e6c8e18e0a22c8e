"""The page: valid, whole, harmless, and the same for every reader."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from functools import cache
from importlib.resources import files

import html5lib
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from season_engine.delivery.folder import write_report
from season_engine.facts import Text
from season_engine.pages.page import report_page
from season_engine.prints.report import report_text
from season_engine.windows.window_notes import Noted
from season_engine.words import notices, prose
from season_engine.words.speech import said
from tests.factories import AS_OF, a_report, a_site_report, days, some_weather

SVG = "{http://www.w3.org/2000/svg}"
HOSTILE = "<script>alert(1)</script>\"'&amp; ../../etc \n</style></title><img src=x onerror=alert(1)>"


def parsed(page: str):
    """The page as a browser's parser reads it (html5lib follows the WHATWG rules); any error is raised."""
    return html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(page)


def tags_and_attributes(page: str) -> Counter[tuple[str, tuple[str, ...]]]:
    return Counter((e.tag, tuple(sorted(e.attrib))) for e in parsed(page).iter() if isinstance(e.tag, str))


def words(page: str) -> str:
    body = parsed(page).find("body")
    return " ".join("".join(body.itertext()).split())


def with_texts(name: str, tree: str, note: str):
    """A report in which every free text of a grower is one of these."""
    site = a_site_report(
        tree_names={"M1": tree, "M2": tree, "P1": tree, "E1": tree, "L1": tree},
        not_covered=(tree,),
        weather=some_weather(source=note),
    )
    windows = tuple(replace(a, notes=(Noted(Text(note)),), common_name=tree or "x") for a in site.windows)
    site = replace(site, site=replace(site.site, name=name), windows=windows)
    return a_report(sites=(site, a_site_report()))


@cache
def harmless_tags():
    return tags_and_attributes(report_page(with_texts("ridge", "Lantern", "a note")))


@settings(max_examples=12, deadline=None)
@given(st.text(min_size=1), st.text(min_size=1), st.text(min_size=1))
@example(HOSTILE, HOSTILE, HOSTILE)
@example("{{ 7 * 7 }}", "{% raw %}", "javascript:alert(1)")
def test_no_name_or_note_adds_a_tag_or_an_attribute(name, tree, note):
    if not all(prose.plain(text) for text in (name, tree, note)):
        return  # a blank note rightly has no line at all
    page = report_page(with_texts(name, tree, note))
    assert tags_and_attributes(page) == harmless_tags()


def test_a_hostile_name_is_shown_as_it_is_written():
    page = report_page(with_texts(HOSTILE, "a {{ 7 * 7 }} pine", "x"))
    assert prose.plain(HOSTILE) in words(page)
    assert "{{ 7 * 7 }}" in words(page)


def test_the_page_needs_nothing_else():
    page = report_page(a_report())
    assert not re.search(r"https?:|//[a-z]|@import|url\((?!#)", page)
    tags = {e.tag for e in parsed(page).iter() if isinstance(e.tag, str)}
    assert not tags & {"script", "link", "img", "iframe", "object", "embed", "form", "base"}
    assert "table" not in tags, "nothing that would have to be scrolled sideways on a phone"


def test_every_drawing_can_be_read_aloud():
    body = parsed(report_page(a_report()))
    drawings = [e for e in body.iter() if e.tag in ("svg", f"{SVG}svg") and e.get("role") == "img"]
    assert len(drawings) == 1 + 1 + 2, "the trees' year, the days ahead, and two sums"
    for drawing in drawings:
        texts = {e.tag.removeprefix(SVG): "".join(e.itertext()).strip() for e in list(drawing)[:2]}
        assert list(texts) == ["title", "desc"]
        assert all(texts.values())
    others = [e for e in body.iter() if e.tag in ("svg", f"{SVG}svg") and e.get("role") != "img"]
    assert all(e.get("aria-hidden") == "true" for e in others)


def test_sites_can_be_jumped_to():
    body = parsed(report_page(a_report(sites=(a_site_report(), a_site_report()))))
    ids = [e.get("id") for e in body.iter() if e.get("id")]
    assert len(ids) == len(set(ids))
    inside = {a.get("href") for a in body.iter("a") if a.get("href").startswith("#")}
    assert inside == {f"#{i}" for i in ids if i.startswith("site-")} == {"#site-1", "#site-2"}


def test_a_page_leads_to_the_week_before_all_weeks_and_the_calendar_and_all_of_them_are_there(tmp_path):
    beside = ["../index.html", "season-calendar.ics"]
    for weeks_ago, wanted in ((2, beside), (0, ["../2026-W31/report.html", *beside])):
        folder = write_report(a_report(as_of=AS_OF - days(7 * weeks_ago)), tmp_path)
        links = [a.get("href") for a in parsed((folder / "report.html").read_text("utf-8")).iter("a")]
        assert links == wanted
        assert all((folder / link).is_file() for link in links)


def test_page_and_text_say_the_same():
    page, text = words(report_page(a_report())), " ".join(report_text(a_report()).split())
    for sentence in (
        "Cover P2 by Wed 12 Aug; repot Lantern by Tue 1 Sep; one bud to look at",
        "Lantern (Japanese maple). Repotting by Tue 1 Sep.",
        "Six of the seven days since Tue 4 Aug were colder than usual:",
        "Two other windows rest. Next to open: olive, repotting (spring), about Tue 20 Oct;",
        "Three other trees need nothing now.",
        said(notices.UNSEEN),
        prose.plain(notices.CHILL_PORTION),
        "Not in the catalogue, so nothing is said about: Cedrus atlantica.",
    ):
        assert sentence in page
        assert sentence in text


def test_invented_weather_is_called_invented():
    assert said(notices.INVENTED) not in words(report_page(a_report()))
    invented = a_site_report(weather=some_weather(invented=True))
    assert words(report_page(a_report(sites=(invented,)))).count(said(notices.INVENTED)) == 1
    demo = words(report_page(a_report(demo=True, sites=(invented,))))
    assert (demo.count(said(notices.DEMONSTRATION)), said(notices.INVENTED) in demo) == (1, False)


def test_a_refusal_stands_in_the_place_of_advice():
    refused = a_site_report(weather=None, refusal="the last reading is 75 days old", windows=(), trees=())
    said = words(report_page(a_report(sites=(refused,))))
    assert "The last reading is 75 days old." in said
    assert "Work first" not in said


def _luminance(colour: str) -> float:
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("scheme", [0, 1], ids=["light", "dark"])
def test_text_stands_out_from_the_paper(scheme):
    """At least 4.5 to 1: WCAG 2.1, criterion 1.4.3, with its formula of relative luminance; from memory."""
    css = files("season_engine.pages").joinpath("templates", "report.css").read_text("utf-8")
    colours = [
        dict(re.findall(r"--(\w+): (#\w{6});", block)) for block in re.findall(r":root \{[^}]+\}", css)
    ]
    paper = _luminance(colours[scheme]["paper"])
    for name in ("ink", "soft", "hue"):
        low, high = sorted((paper, _luminance(colours[scheme][name])))
        assert (high + 0.05) / (low + 0.05) >= 4.5, name
