"""The page in a real browser, on a phone's width and a desk's: nothing hangs over the edge.

Needs chromium. Skipped where it is missing, unless SEASON_ENGINE_BROWSER_TESTS=required.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from dataclasses import replace
from importlib.resources import files
from pathlib import Path

import pytest

from season_engine.delivery.folder import write_report
from season_engine.pages.page import report_page
from tests.factories import AS_OF, a_report, a_site_report, days, some_weather

NAMES = ("chromium", "chromium-browser", "chrome")
LONG = "Longbarrow" * 12  # one word, wider than a phone

# The page in a frame of the width asked for (a window can't be made as narrow as a phone). What the page
# measures is put into its title by a line of script added to a copy of it.
HARNESS = """<!doctype html><title>waiting</title>
<iframe src="page.html" style="border:0;width:{width}px;height:2000px" onload="
  const page = document.querySelector('iframe').contentDocument;
  page.querySelectorAll('details').forEach(d => d.open = true);
  const over = [...page.querySelectorAll('body *:not(.defs):not(.defs *)')]
    .filter(e => e.getBoundingClientRect().right > {width} + 1 || e.getBoundingClientRect().left < -1);
  document.title = 'measured ' + page.documentElement.scrollWidth + ' ' + over.length + ' '
    + page.querySelectorAll('svg[role=img]').length;
"></iframe>"""


# Asks the page's own window for what it fetched; and axe-core, put into it, for what would shut readers out.
REQUESTS = """<!doctype html><title>waiting</title>
<iframe src="page.html" style="border:0;width:390px;height:2000px" onload="
  const seen = document.querySelector('iframe').contentWindow.performance.getEntriesByType('resource');
  document.title = 'requests ' + seen.length;
"></iframe>"""
AXE = """<!doctype html><title>waiting</title>
<iframe src="page.html" style="border:0;width:{width}px;height:2000px" onload="
  const window_ = document.querySelector('iframe').contentWindow;
  const script = window_.document.createElement('script');
  window_.document.querySelectorAll('details').forEach(d => d.open = true);
  script.src = 'axe.min.js';
  script.onload = () => window_.axe.run(window_.document).then(found => {{
    const bad = found.violations.filter(v => ['serious', 'critical'].includes(v.impact));
    document.title = 'axe ' + found.passes.length + ' passed; ' + bad.map(
      v => v.id + ' at ' + v.nodes.slice(0, 3).map(n => n.target.join(' '))).join('; ') + '.';
  }});
  window_.document.head.append(script);
"></iframe>"""


@pytest.fixture(scope="module")
def chromium() -> str:
    found = next((path for path in map(shutil.which, NAMES) if path), None)
    if found is None:
        message = "chromium isn't installed, so the page wasn't opened in a browser"
        if os.environ.get("SEASON_ENGINE_BROWSER_TESTS") == "required":
            pytest.fail(message)
        pytest.skip(message)
    return found


def title_after(chromium: str, folder: Path, page: str, harness: str, width: int = 390) -> str:
    """The title that the harness ends up with, the page being in its frame."""
    (folder / "page.html").write_text(page, encoding="utf-8")
    (folder / "harness.html").write_text(harness, encoding="utf-8")
    run = subprocess.run(
        [
            chromium, "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
            "--disable-background-networking", "--disable-component-update", "--disable-sync",
            "--disable-dev-shm-usage", "--allow-file-access-from-files", "--virtual-time-budget=5000",
            f"--user-data-dir={folder / 'profile'}", f"--window-size={width + 200},2200", "--dump-dom",
            (folder / "harness.html").as_uri(),
        ],
        check=True, capture_output=True, text=True, timeout=120,
    )  # fmt: skip
    found = re.search(r"<title>(.*?)</title>", run.stdout, re.DOTALL)
    assert found and found[1] != "waiting", f"the page was never looked at: {run.stdout[:300]}"
    return found[1]


def measured(chromium: str, folder: Path, page: str, width: int) -> tuple[int, int, int]:
    """Width the page wants, elements over the edge, and drawings, all <details> being open."""
    title = title_after(chromium, folder, page, HARNESS.format(width=width), width)
    wanted, over, drawings = map(int, title.removeprefix("measured ").split())
    return wanted, over, drawings


def long_names():
    site = a_site_report(
        tree_names={"M1": LONG, "P1": LONG}, not_covered=(LONG,), weather=some_weather(source=LONG)
    )
    windows = tuple(replace(a, common_name=LONG) for a in site.windows)
    return replace(site, site=replace(site.site, name=LONG), windows=windows)


@pytest.mark.parametrize("width", [390, 1280])
def test_nothing_hangs_over_the_edge(chromium, tmp_path, width):
    page = report_page(a_report(demo=True, sites=(a_site_report(), long_names())))
    wanted, over, drawings = measured(chromium, tmp_path, page, width)
    assert wanted <= width
    assert over == 0
    assert drawings == 2 * 4 + 1, "the trees' year, the days ahead and two sums a yard, and what both share"


@pytest.mark.parametrize("width", [390, 1280])
def test_the_index_of_weeks_stays_within_its_width(chromium, tmp_path, width):
    for week in range(3):
        write_report(a_report(as_of=AS_OF - days(7 * week), sites=(long_names(),)), tmp_path / "out")
    page = (tmp_path / "out" / "index.html").read_text("utf-8")
    wanted, over, _ = measured(chromium, tmp_path, page, width)
    assert (wanted <= width, over) == (True, 0)


def test_the_measurement_sees_a_page_that_is_too_wide(chromium, tmp_path):
    page = report_page(a_report()).replace("<main>", '<main><div style="width:600px">wide</div>')
    wanted, over, _ = measured(chromium, tmp_path, page, 390)
    assert wanted > 390
    assert over >= 1


def test_the_page_asks_for_nothing(chromium, tmp_path):
    page = report_page(a_report())
    assert title_after(chromium, tmp_path, page, REQUESTS) == "requests 0"
    asks = page.replace("<main>", '<main><img src="http://127.0.0.1:9/x.png" alt="">')
    assert title_after(chromium, tmp_path, asks, REQUESTS) == "requests 1", "one that asks is seen"


@pytest.mark.parametrize("width", [390, 1280])
def test_nothing_shuts_a_reader_out(chromium, tmp_path, width):
    """axe-core, the rules of WCAG 2 that a machine can check and more: nothing serious or critical."""
    pytest.importorskip("axe_core_python", reason="axe-core isn't installed")
    axe = files("axe_core_python").joinpath("axe.min.js").read_text("utf-8")
    (tmp_path / "axe.min.js").write_text(axe, encoding="utf-8")
    page = report_page(a_report(sites=(a_site_report(), a_site_report())))
    title = title_after(chromium, tmp_path, page, AXE.format(width=width), width)
    assert re.fullmatch(r"axe \d+ passed; \.", title), title
    assert int(title.split()[1]) > 15
    unnamed = page.replace(
        "<h2>ridge</h2>", '<h2>ridge</h2><img src="data:image/gif;base64,R0lGODlhAQABAAAAACw=">'
    )
    assert "image-alt" in title_after(chromium, tmp_path, unnamed, AXE.format(width=width), width)


FIRST = """<!doctype html><title>waiting</title>
<iframe src="page.html" style="border:0;width:390px;height:2000px" onload="
  const firsts = [...document.querySelector('iframe').contentDocument.querySelectorAll('.first')];
  document.title = 'heights ' + firsts.map(e => Math.round(e.getBoundingClientRect().height)).join(' ');
"></iframe>"""


def test_each_yards_first_screen_fits_a_phone(chromium, tmp_path):
    page = report_page(a_report(sites=(a_site_report(), a_site_report())))
    title = title_after(chromium, tmp_path, page, FIRST)
    heights = [int(height) for height in title.split()[1:]]
    assert len(heights) == 2 and max(heights) <= 700
