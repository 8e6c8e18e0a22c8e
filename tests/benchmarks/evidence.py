"""Print anew what the pages of evidence show: each table by the command that is named under it.

`python -m tests.benchmarks.evidence [WORD]`: all of them, many minutes on two cores, or those whose
command holds the word; it tells how long each took. A printed part stands between a line `<!-- printed -->`
and one "Printed by `...`"; what needs another machine, or the code of another day, says "Printed once, on
such a day, by `...`" and is left alone. The rest of a page is written by hand and has no table.
"""

from __future__ import annotations

import re
import subprocess
import sys
import time
from pathlib import Path

PROJECT = Path(__file__).parents[2]
PAGES = sorted((PROJECT / "docs" / "evidence").glob("*.md"))
PRINTED = re.compile(
    r"(?P<above><!-- printed -->\n)(?P<text>.*?)"
    r"(?P<below>\nPrinted (?P<once>once, on \d{4}-\d\d-\d\d, )?by `python -m (?P<command>[^`]+)`)",
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
        if found["command"] != command or found["once"]:
            return found[0]
        return f"{found['above']}\n{told}\n{found['below']}"

    return PRINTED.sub(put, page)


def main(word: str = "") -> None:
    for page in PAGES:
        found = [one for one in PRINTED.finditer(page.read_text("utf-8")) if not one["once"]]
        for command in (one["command"] for one in found if word in one["command"]):
            began = time.monotonic()
            anew = printed_anew(page.read_text("utf-8"), command)
            page.write_text(anew, "utf-8")  # at once, since the next may take minutes
            sys.stderr.write(f"{time.monotonic() - began:4.0f} s  {command}\n")


if __name__ == "__main__":
    main(*sys.argv[1:])
