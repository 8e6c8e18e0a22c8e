"""Print anew what the pages of evidence show: each table by the command that is named under it.

`python -m tests.benchmarks.evidence [WORD]`: all of them, a quarter of an hour on two cores, or those whose
command holds the word. A printed part stands between a line `<!-- printed -->` and one "Printed by `...`";
the rest of a page is written by hand.
"""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

PROJECT = Path(__file__).parents[2]
PAGES = (PROJECT / "docs" / "evidence" / "forecasts.md", PROJECT / "DEVELOPERS.md")
PRINTED = re.compile(
    r"(?P<above><!-- printed -->\n)(?P<text>.*?)(?P<below>\nPrinted by `python -m (?P<command>[^`]+)`)",
    re.DOTALL,
)


def printed_anew(page: str, word: str = "") -> str:
    """The page with what its commands print now."""

    def run(found: re.Match[str]) -> str:
        if word not in found["command"]:
            return found[0]
        sys.stderr.write(f"{found['command']}\n")
        command = [sys.executable, "-m", *found["command"].split()]
        told = subprocess.run(command, cwd=PROJECT, stdout=subprocess.PIPE, check=True, encoding="utf-8")
        return f"{found['above']}\n{told.stdout.strip()}\n{found['below']}"

    return PRINTED.sub(run, page)


def main(word: str = "") -> None:
    for page in PAGES:
        page.write_text(printed_anew(page.read_text("utf-8"), word), "utf-8")


if __name__ == "__main__":
    main(*sys.argv[1:])
