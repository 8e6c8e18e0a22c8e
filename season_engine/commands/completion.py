"""`completion`: what makes a shell complete this program's command lines."""

from __future__ import annotations

import click
from click.shell_completion import get_completion_class

from season_engine.commands.completing import VARIABLE
from season_engine.commands.shape import Command

SHELLS = ("bash", "zsh", "fish")


@click.command(
    "completion",
    cls=Command,
    examples=tuple(f"season-engine completion {shell}" for shell in SHELLS),
)
@click.argument("shell", type=click.Choice(SHELLS))
@click.pass_context
def command(ctx: click.Context, shell: str) -> None:
    """Print what makes a shell complete commands, options, jobs, sites, trees and species.

    To switch it on, add a line to the shell's own settings and open a new terminal:

    \b
    bash, in ~/.bashrc:  eval "$(season-engine completion bash)"
    zsh, in ~/.zshrc:    eval "$(season-engine completion zsh)"
    fish, in ~/.config/fish/config.fish:
                         season-engine completion fish | source

    The program has to be found by its name there. Zsh wants "autoload -Uz compinit && compinit" before it,
    unless that stands there already.
    """  # noqa: D301 - click leaves a paragraph after \\b as it is
    root = ctx.find_root()
    kind = get_completion_class(shell)
    assert kind is not None  # click has these three
    click.echo(kind(root.command, {}, root.info_name or "", VARIABLE).source())
