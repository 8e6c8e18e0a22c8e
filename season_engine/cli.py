"""The command line. Each command's module is loaded when the command is called, so that help is quick."""

from __future__ import annotations

from importlib import import_module
from typing import Any

import click

from season_engine.commands.own_fault import EXIT_OWN_FAULT, refusal, told
from season_engine.errors import GrowerError

COMMANDS = {
    "init": "Write a commented workspace to edit.",
    "report": "Write this week's report as HTML, text and JSON.",
    "check": "Say whether it is too early, or too late, for a job.",
    "journal": "Add what you saw or did to the journal.",
    "compare": "Say by how many days jobs come sooner or later at other sites.",
    "backtest": "Say how good the forecasts would have been.",
    "batch": "Judge windows of thousands of sites, as a Parquet dataset.",
    "weather": "Show what temperatures there are, their faults and gaps.",
    "measures": "Print daily chill and heat as CSV.",
    "notes": "Share your notes of growth stages, without names.",
    "fit-catalogue": "Fit rules on many yards' notes, as a catalogue file.",
}


class _Commands(click.Group):
    """Loads commands by name; prints a grower's error as it stands and exits with its code.

    Any other error is a fault of the program's own and is told as such.
    """

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        command: click.Command = import_module(f"season_engine.commands.{cmd_name.replace('-', '_')}").command
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))

    def invoke(self, ctx: click.Context) -> Any:
        try:
            return super().invoke(ctx)
        except (click.ClickException, click.Abort, click.exceptions.Exit, BrokenPipeError):
            raise  # click's own words, or a reader such as `head` that has seen enough
        except Exception as error:
            grower = error if isinstance(error, GrowerError) else refusal(error)
            click.echo(str(grower) if grower else told(ctx, error), err=True)
            ctx.exit(grower.exit_code if grower else EXIT_OWN_FAULT)


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="season_engine", message="%(version)s")
def main() -> None:
    """Work out from your own weather when each tree is ready for each heavy job."""


if __name__ == "__main__":
    main()
