"""The page in a real browser, on a phone's width and a desk's: nothing hangs over the edge.

Needs chromium. Skipped where it is missing, unless SEASON_ENGINE_BROWSER_TESTS=required.
"""

from __future__ import annotations

import html
import json
import os
import re
import shutil
import subprocess
import tempfile
from dataclasses import dataclass, replace
from importlib.resources import files
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import pytest

from season_engine.delivery.folder import write_report
from season_engine.pages.page import report_page
from tests.factories import AS_OF, a_report, a_site_report, days, some_weather
from tests.once import once_a_run

NAMES = ("chromium", "chromium-browser", "chrome")
LONG = "Longbarrow" * 12  # one word, wider than a phone

WIDTHS = (390, 1280)

# A browser takes seconds to start: all pages stand in frames of one, over each other, each as wide as it is
# asked for (a window can't be made as narrow as a phone).
MEASURE = """
  details.forEach(d => d.open = true);
  const over = [...page.querySelectorAll('body *:not(.defs):not(.defs *)')]
    .filter(e => e.getBoundingClientRect().right > width + 1 || e.getBoundingClientRect().left < -1);
  return [page.documentElement.scrollWidth, over.length, page.querySelectorAll('svg[role=img]').length];
"""
REQUESTS = "return view.performance.getEntriesByType('resource').length;"
# axe-core, put into the page, says what would shut readers out.
AXE = """
  details.forEach(d => d.open = true);
  const script = page.createElement('script');
  script.src = 'axe.min.js';
  const ready = new Promise((done, failed) => { script.onload = done; script.onerror = failed; });
  page.head.append(script);
  await ready;
  const found = await view.axe.run(page);
  const bad = found.violations.filter(v => ['serious', 'critical'].includes(v.impact));
  const where = v => v.nodes.slice(0, 3).map(n => n.target.join(' '));
  return [found.passes.length, bad.map(v => v.id + ' at ' + where(v))];
"""
# With <details> as they come.
FIRST = "return [...page.querySelectorAll('.first')].map(e => e.getBoundingClientRect().height);"

HARNESS = """<!doctype html><title>waiting</title>
<style>iframe { position: absolute; left: 0; top: 0; border: 0; height: 2000px }</style>
<script>
const asks = {asks};
Promise.all(asks.map(([file, width, ask]) => new Promise(answered => {
  const frame = document.createElement('iframe');
  frame.style.width = width + 'px';
  frame.onload = async () => {
    const view = frame.contentWindow, page = frame.contentDocument;
    const asked = new (async () => {}).constructor('view', 'page', 'details', 'width', ask);
    try { answered(await asked(view, page, page.querySelectorAll('details'), width)); }
    catch (error) { answered('failed: ' + error); }
  };
  frame.src = file;
  document.documentElement.append(frame);
}))).then(all => document.title = JSON.stringify(all));
</script>"""


@dataclass(frozen=True)
class Look:
    """A page, and what is asked of it in a frame of a width."""

    page: str
    ask: str
    width: int = 390


@pytest.fixture(scope="module")
def chromium() -> str:
    found = next((path for path in map(shutil.which, NAMES) if path), None)
    if found is None:
        message = "chromium isn't installed, so the page wasn't opened in a browser"
        if os.environ.get("SEASON_ENGINE_BROWSER_TESTS") == "required":
            pytest.fail(message)
        pytest.skip(message)
    return found


def looked_at(chromium: str, looks: dict[str, Look]) -> dict[str, Any]:
    """What each page answers."""
    with tempfile.TemporaryDirectory() as name:
        folder, asks = Path(name), []
        for number, look in enumerate(looks.values()):
            (folder / f"{number}.html").write_text(look.page, encoding="utf-8")
            asks.append((f"{number}.html", look.width, look.ask))
        if find_spec("axe_core_python"):
            axe = files("axe_core_python").joinpath("axe.min.js").read_text("utf-8")
            (folder / "axe.min.js").write_text(axe, encoding="utf-8")
        (folder / "harness.html").write_text(HARNESS.replace("{asks}", json.dumps(asks)), encoding="utf-8")
        run = subprocess.run(
            [
                chromium, "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
                "--disable-background-networking", "--disable-component-update", "--disable-sync",
                "--disable-dev-shm-usage", "--allow-file-access-from-files", "--virtual-time-budget=20000",
                f"--user-data-dir={folder / 'profile'}", "--window-size=1480,2200", "--dump-dom",
                (folder / "harness.html").as_uri(),
            ],
            check=True, capture_output=True, text=True, timeout=120,
        )  # fmt: skip
    found = re.search(r"<title>(.*?)</title>", run.stdout, re.DOTALL)
    assert found and found[1] != "waiting", f"the pages were never looked at: {run.stdout[:300]}"
    return dict(zip(looks, json.loads(html.unescape(found[1])), strict=True))


def long_names():
    site = a_site_report(
        tree_names={"M1": LONG, "P1": LONG}, not_covered=(LONG,), weather=some_weather(source=LONG)
    )
    windows = tuple(replace(a, common_name=LONG) for a in site.windows)
    return replace(site, site=replace(site.site, name=LONG), windows=windows)


def looks() -> dict[str, Look]:
    """All that is asked below, by name."""
    whole = report_page(a_report(demo=True, sites=(a_site_report(), long_names())))
    one = report_page(a_report())
    two = report_page(a_report(sites=(a_site_report(), a_site_report())))
    unnamed = two.replace(
        "<h2>ridge</h2>", '<h2>ridge</h2><img src="data:image/gif;base64,R0lGODlhAQABAAAAACw=">'
    )
    wide = one.replace("<main>", '<main><div style="width:600px">wide</div>')
    asking = one.replace("<main>", '<main><img src="http://127.0.0.1:9/x.png" alt="">')
    found = {
        "too wide": Look(wide, MEASURE),
        "quiet": Look(one, REQUESTS),
        "asking": Look(asking, REQUESTS),
        "first screens": Look(two, FIRST),
    }
    for width in WIDTHS:
        found[f"report {width}"] = Look(whole, MEASURE, width)
        found[f"weeks {width}"] = Look(index_of_weeks(), MEASURE, width)
        found[f"axe {width}"] = Look(two, AXE, width)
        found[f"axe, unnamed {width}"] = Look(unnamed, AXE, width)
    return found


def index_of_weeks() -> str:
    with tempfile.TemporaryDirectory() as folder:
        for week in range(3):
            write_report(a_report(as_of=AS_OF - days(7 * week), sites=(long_names(),)), Path(folder) / "out")
        return (Path(folder) / "out" / "index.html").read_text("utf-8")


@pytest.fixture(scope="module")
def seen(chromium: str) -> dict[str, Any]:
    """The answers to all looks."""
    return once_a_run("pages in a browser", lambda: looked_at(chromium, looks()))


@pytest.mark.parametrize("width", WIDTHS)
def test_nothing_hangs_over_the_edge(seen, width):
    wanted, over, drawings = seen[f"report {width}"]
    assert wanted <= width
    assert over == 0
    assert drawings == 2 * 4 + 1, "the trees' year, the days ahead and two sums a yard, and what both share"


@pytest.mark.parametrize("width", WIDTHS)
def test_the_index_of_weeks_stays_within_its_width(seen, width):
    wanted, over, _ = seen[f"weeks {width}"]
    assert (wanted <= width, over) == (True, 0)


def test_the_measurement_sees_a_page_that_is_too_wide(seen):
    wanted, over, _ = seen["too wide"]
    assert wanted > 390
    assert over >= 1


def test_the_page_asks_for_nothing(seen):
    assert seen["quiet"] == 0
    assert seen["asking"] == 1, "one that asks is seen"


@pytest.mark.parametrize("width", WIDTHS)
def test_nothing_shuts_a_reader_out(seen, width):
    """axe-core, the rules of WCAG 2 that a machine can check and more: nothing serious or critical."""
    pytest.importorskip("axe_core_python", reason="axe-core isn't installed")
    passed, bad = seen[f"axe {width}"]
    assert bad == [] and passed > 15
    assert any("image-alt" in one for one in seen[f"axe, unnamed {width}"][1])


def test_each_yards_first_screen_fits_a_phone(seen):
    heights = seen["first screens"]
    assert len(heights) == 2 and max(heights) <= 700
