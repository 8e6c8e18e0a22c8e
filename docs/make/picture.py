"""The README's picture: the first screen of a report on the demo, as a browser shows it.

Run ``make picture`` to take it anew. It needs chromium, which opens nothing but a file of this machine.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from PIL import Image

PICTURE = Path(__file__).parents[1] / "monday.png"
DAY, YARD = "2026-04-13", "lower-yard"
WIDE, HIGH = 760, 905  # CSS pixels
COLOURS = 32  # the page has few: a small file, and nothing that shows


def main() -> None:
    """Write the report of an invented Monday, open it and keep what is seen first."""
    browser = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("chrome")
    if browser is None:
        sys.exit("The picture is taken by chromium, which is missing (on Debian: apt install chromium).")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        program = Path(sys.executable).with_name("season-engine")
        report = [str(program), "report", "--on", DAY, "--site", YARD, "--workspace", name]
        subprocess.run(report, check=True, capture_output=True)
        (page,) = folder.glob("reports/2*/report.html")
        shot = folder / "shot.png"
        subprocess.run(
            [
                *(browser, "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars"),
                *(f"--user-data-dir={folder / 'profile'}", f"--window-size={WIDE},{HIGH}"),
                *(f"--screenshot={shot}", page.as_uri()),
            ],
            check=True,
            capture_output=True,
        )
        with Image.open(shot) as seen:
            seen.convert("RGB").quantize(COLOURS).save(PICTURE, optimize=True)


if __name__ == "__main__":
    main()
