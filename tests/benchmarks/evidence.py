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


def printed_anew(page: str, command: str) -> str:
    """The page with what one of its commands prints now."""
    told = subprocess.run(
        [sys.executable, "-m", *command.split()],
        cwd=PROJECT,
        stdout=subprocess.PIPE,
        check=True,
        encoding="utf-8",
    ).stdout.strip()

    def put(found: re.Match[str]) -> str:
        return f"{found['above']}\n{told}\n{found['below']}" if found["command"] == command else found[0]

    return PRINTED.sub(put, page)


def main(word: str = "") -> None:
    for page in PAGES:
        commands = [found["command"] for found in PRINTED.finditer(page.read_text("utf-8"))]
        for command in (one for one in commands if word in one):
            sys.stderr.write(f"{command}\n")
            anew = printed_anew(page.read_text("utf-8"), command)
            page.write_text(anew, "utf-8")  # at once, since the next may take minutes


if __name__ == "__main__":
    main(*sys.argv[1:])
