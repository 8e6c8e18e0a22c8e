"""The manual page, made of the help of every command.

Run ``python -m season_engine.man_page`` to write it anew.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import click

from season_engine.cli import COMMANDS, main
from season_engine.commands.shape import Group
from season_engine.files.whole import write_whole

PAGE = Path(__file__).parents[1] / "docs" / "man" / "season-engine.1"
NAME = "season-engine"
_AS_IT_STANDS = "\b\n"  # before a paragraph that click leaves unwrapped


def page() -> str:
    """The whole page, in the language of man(7)."""
    top = click.Context(main, info_name=NAME, **main.context_settings)
    lines = [
        f'.TH {NAME.upper()} 1 "" "{NAME}" "User commands"',
        ".SH NAME",
        f"{_plain(NAME)} \\- {_plain(_small(main.help or ''))}",
        ".SH SYNOPSIS",
        f".B {_plain(NAME)}",
        ".I COMMAND",
        "[OPTIONS] [ARGS]...",
        ".SH COMMANDS",
    ]
    for name, told in COMMANDS.items():
        lines += [".TP", f".B {_plain(name)}", _plain(told)]
    lines += [".SH OPTIONS", *_options(main, top)]
    for command in COMMANDS:
        lines += _sections(main.get_command(top, command), top)
    lines += [".SH EXAMPLES", *_examples(main)]
    return "\n".join(lines) + "\n"


def _sections(command: click.Command | None, above: click.Context) -> Iterator[str]:
    """A command's own section, and those of the commands below it."""
    assert command is not None  # it is one of `COMMANDS`
    ctx = click.Context(command, info_name=command.name, parent=above)
    yield f'.SH "{ctx.command_path.removeprefix(NAME).strip().upper()}"'
    yield f".B {_plain(ctx.command_path)}"
    yield _plain(" ".join(command.collect_usage_pieces(ctx)))
    yield from _paragraphs(command.help or "")
    yield from _options(command, ctx)
    if ending := getattr(command, "ending", None):
        yield from (".PP", _plain(ending()))
    if examples := [*_examples(command)]:
        yield from (".PP", "Examples:", *examples)
    if isinstance(command, Group):
        for name in command.list_commands(ctx):
            yield from _sections(command.get_command(ctx, name), ctx)


def _options(command: click.Command, ctx: click.Context) -> Iterator[str]:
    for parameter in command.get_params(ctx):
        record = parameter.get_help_record(ctx)
        if record and record[1]:  # an argument has none
            yield from (".TP", f".B {_plain(record[0])}", _plain(record[1]))


def _paragraphs(text: str) -> Iterator[str]:
    for paragraph in text.split("\n\n"):
        yield ".PP"
        if paragraph.startswith(_AS_IT_STANDS):
            yield from (".nf", *map(_plain, paragraph.removeprefix(_AS_IT_STANDS).split("\n")), ".fi")
        else:
            yield _plain(" ".join(paragraph.split()))


def _examples(command: click.Command) -> Iterator[str]:
    examples = getattr(command, "examples", ())
    if examples:
        yield from (".PP", ".nf", ".RS", *map(_plain, examples), ".RE", ".fi")


def _plain(text: str) -> str:
    """Text in which nothing is a command of man(7)."""
    escaped = text.replace("\\", "\\e").replace("-", "\\-").replace("~", "\\(ti").replace("^", "\\(ha")
    return re.sub(r"^([.'])", r"\\&\1", escaped)


def _small(sentence: str) -> str:
    return sentence[:1].lower() + sentence[1:].rstrip(".")


if __name__ == "__main__":
    write_whole(PAGE, page())
