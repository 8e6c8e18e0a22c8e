"""Colours on a terminal: click leaves them out of files and pipes, and `wanted` where nobody wants them."""

from __future__ import annotations

import os

import click

_BY_EXIT = {0: "green", 10: "yellow", 11: "red", 12: "red", 13: "yellow"}


def wanted() -> bool | None:
    """False where the environment asks for none; None leaves it to where the text goes."""
    return False if os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb" else None


def as_fault(text: str) -> str:
    """An error."""
    return click.style(text, fg="red")


def as_warning(text: str) -> str:
    """What to mind."""
    return click.style(text, fg="yellow")


def as_fine(text: str) -> str:
    """That all is well."""
    return click.style(text, fg="green")


def with_verdict(text: str, exit_code: int, *words: str) -> str:
    """An answer, with the first line that begins with each of these words coloured by the verdict's code."""
    for one in words:
        text = text.replace(f"\n{one}", f"\n{click.style(one, fg=_BY_EXIT[exit_code], bold=True)}", 1)
    return text


def with_states(text: str) -> str:
    """Lines that begin with how it stands, with that word coloured."""
    for state, colour in {"fine": "green", "look": "yellow", "wrong": "red"}.items():
        text = text.replace(f"\n{state} ", f"\n{click.style(state, fg=colour)} ")
    return text


def with_warnings(text: str) -> str:
    """What a command prints, with the items of its lists coloured, which are its warnings."""
    lines = text.splitlines(keepends=True)
    return "".join(as_warning(line) if line.startswith("  - ") else line for line in lines)
