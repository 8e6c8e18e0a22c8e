"""The drawings' tones, seen in grey and by colour-blind eyes; the words' pixels.

Lines and shapes that carry a meaning stand out at least 3 to 1 from what they lie on (WCAG 2.1, success
criterion 1.4.11), words at least 4.5 to 1 (1.4.3); from memory. One hue is used, so shape and hatching tell
things apart.
"""

from __future__ import annotations

import io
import re
from dataclasses import replace
from functools import cache, partial
from importlib.resources import files

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from season_engine.delivery import pictures
from season_engine.pages.pictures.charts import WIDTH
from season_engine.windows.assessment import Quantiles
from season_engine.words.report import report_sections
from tests.eyes import LOSSES, contrast, seen_with
from tests.factories import AS_OF, a_report, a_site_report, days

EYES = ("as it is", "grey", *LOSSES)
DRAWINGS = ("year", "ahead", "sum", "pairs")
SHEETS = ("light", "dark", "print")


def _colours(css: str) -> dict[str, tuple[int, int, int]]:
    found = re.findall(r"--(\w+): #(\w{3,6});", css)
    return {name: tuple(bytes.fromhex(v if len(v) == 6 else "".join(2 * c for c in v))) for name, v in found}


def sheet(name: str) -> dict[str, tuple[int, int, int]]:
    css = files("season_engine.pages").joinpath("templates", "report.css").read_text("utf-8")
    light, dark, printed = (_colours(block) for block in re.findall(r":root \{[^}]+\}", css))
    return {"light": light, "dark": light | dark, "print": light | printed}[name]


@cache
def drawn() -> dict[str, str]:
    """Each kind of drawing as SVG, by name."""
    late = tuple(replace(a, opens=a_later(a.opens)) for a in a_site_report().windows)
    told = report_sections(a_report(sites=(a_site_report(), a_site_report(windows=late))))
    site = told.sites[0]
    made = pictures._drawings()
    figures = {
        "year": made.year(site.year, AS_OF),
        "ahead": made.ahead(site.days_ahead, site.floors, AS_OF),
        "sum": made.season_sum(site.sums[0], AS_OF),
        "pairs": made.yards(told.pairs, AS_OF),
    }
    patterns = str(made.patterns())
    return {
        name: str(figure)[str(figure).find("<svg ") : str(figure).rfind("</svg>")] + patterns + "</svg>"
        for name, figure in figures.items()
    }


def a_later(q: Quantiles) -> Quantiles:
    return Quantiles(*(date and date + days(12) for date in (q.p10, q.p50, q.p90)))


@cache
def drawn_pixels(svg: str) -> NDArray[np.uint8]:
    """Red, green, blue of each pixel, shape (rows, columns, 3)."""
    picture = Image.open(io.BytesIO(pictures.png(svg))).convert("RGBA")
    channels = np.asarray(picture)
    assert (channels[..., 3] == 255).all()
    return channels[..., :3]


@pytest.mark.parametrize("eye", EYES)
@pytest.mark.parametrize("name", SHEETS)
def test_what_carries_a_meaning_stands_out(name, eye):
    tones = sheet(name)
    if eye != "as it is":
        tones = {tone: tuple(seen_with(eye, colour)) for tone, colour in tones.items()}
    for tone, least in (("ink", 4.5), ("soft", 4.5), ("hue", 3.0)):
        assert contrast(tones[tone], tones["paper"]) >= least, tone


@pytest.mark.parametrize("name", DRAWINGS)
def test_each_drawing_is_dark_marks_on_light_paper_in_any_eye(name):
    """Nothing but soft edges, light grounds and the lines of the scale lies between the two.

    What fades, and the light ground of what is only possible, is meant to be faint: outline, pattern and
    word carry the meaning. Words and patterns have tests of their own.
    """
    faint = r'<path[^>]* opacity="[^>]*>|<pattern.*?</pattern>|<text.*?</text>'
    bare = re.sub(faint, "", drawn()[name], flags=re.DOTALL)
    seen = drawn_pixels(bare.replace('class="tidy', 'class="'))
    paper = seen[0, -1]
    tones, counts = np.unique(seen.reshape(-1, 3), axis=0, return_counts=True)
    scale = contrast(sheet("light")["rule"], paper)
    marks = [t for t in tones[counts > 0.003 * counts.sum()] if contrast(t, paper) > scale + 0.01]
    assert list(sheet("light")["ink"]) in np.array(marks).tolist()
    for eye in EYES:
        see = (lambda tone: tone) if eye == "as it is" else partial(seen_with, eye)
        assert all(contrast(see(tone), see(paper)) >= 3.0 for tone in marks), eye


@pytest.mark.parametrize("name", DRAWINGS)
def test_every_word_leaves_its_pixels(name):
    """All words are taken away; the picture must change where each stood, and nowhere near its edges."""
    svg = drawn()[name]
    whole = drawn_pixels(svg)
    bare = drawn_pixels(re.sub(r"<text.*?</text>", "", svg))
    changed = (whole != bare).any(axis=2)
    units = whole.shape[1] / WIDTH
    words = re.findall(r'<text[^>]*? x="([\d.]+)" y="([\d.]+)"(?: text-anchor="(\w+)")?>([^<]+)<', svg)
    assert len(words) == svg.count("<text") > 5
    for x, y, anchor, text in words:
        wide = 5 * len(text)
        left = float(x) - {"": 0, "middle": wide / 2, "end": wide}[anchor]
        rows, columns = (
            slice(int((float(y) - 9) * units), int(float(y) * units)),
            slice(int(left * units), None),
        )
        stood = changed[rows, columns][:, : int(wide * units)]
        assert stood.sum() > 8 * len(text.replace(" ", "")), text
    rows, columns = np.nonzero(changed)
    assert 1 < columns.min() and columns.max() < whole.shape[1] - 2, "nothing is cut off at the sides"
    assert rows.max() < whole.shape[0] - 2, "nor below"


@pytest.mark.parametrize("kind", ["roots", "cut", "green"])
@pytest.mark.parametrize("due", [False, True])
def test_jobs_are_told_by_patterns_and_not_by_colour(kind, due):
    """Along a bar light and dark take turns, in grey as well."""
    svg = (
        f'<svg viewBox="0 0 360 40"><path class="{kind}{"-due" if due else ""}" d="M20,10H340V30H20Z"/>'
        f"{pictures._drawings().patterns()}</svg>"
    )
    seen = seen_with("grey", drawn_pixels(svg))
    turns = []
    for row in seen[24:56]:
        dark = contrast(row[60:660], seen[0, 0]) >= 2.0
        turns.append(np.count_nonzero(dark[1:] != dark[:-1]))
    assert max(turns) >= 60


@pytest.mark.parametrize("loss", [*LOSSES, "grey"])
def test_the_simulation_leaves_greys_alone(loss):
    grey = np.array([[0, 0, 0], [90, 90, 90], [200, 200, 200], [255, 255, 255]])
    assert np.abs(seen_with(loss, grey).astype(int) - grey).max() <= 1


def test_the_simulation_takes_red_and_green_for_alike_and_blue_for_another():
    red, green, blue = (200, 40, 40), (110, 110, 30), (40, 60, 200)
    for loss in ("protanopia", "deuteranopia"):
        r, g, b = (seen_with(loss, colour).astype(int) for colour in (red, green, blue))
        assert abs(r[0] - r[1]) < 60 and abs(g[0] - g[1]) < 60, "no red left and no green"
        assert b[2] - b[0] > 100


def test_contrast_is_21_between_black_and_white():
    """WCAG 2.1: from 1 to 21; #767676 on white, 4.54, is the best known example. From memory."""
    assert contrast((0, 0, 0), (255, 255, 255)) == pytest.approx(21)
    assert contrast((0x76, 0x76, 0x76), (255, 255, 255)) == pytest.approx(4.54, abs=0.01)
