"""The command line. Each command's module is loaded when the command is called, so that help is quick."""

from __future__ import annotations

from importlib import import_module
from typing import Any

import click

from season_engine.commands import colour
from season_engine.commands.own_fault import EXIT_OWN_FAULT, refusal, told
from season_engine.commands.shape import Group
from season_engine.errors import GrowerError
from season_engine.files.text import did_you_mean, shortened

WIDEST = 110  # columns of help, however wide the terminal is
COMMANDS = {
    "init": "Write a commented workspace to edit.",
    "report": "Write this week's report as HTML, text and JSON.",
    "ready": "Say whether all is in place for next Monday's report.",
    "check": "Say whether it is too early, or too late, for a job.",
    "journal": "Add what you saw or did to the journal.",
    "species": "Tell what is known of a species, or list them all.",
    "jobs": "List the jobs.",
    "compare": "Say by how many days jobs come sooner or later at other sites.",
    "backtest": "Say how good the forecasts would have been.",
    "batch": "Judge windows of thousands of sites, as a Parquet dataset.",
    "batch-map": "Draw maps of what a batch wrote, or write them for programs.",
    "weather": "Show what temperatures there are, their faults and gaps.",
    "measures": "Print daily chill and heat as CSV.",
    "notes": "Share your notes of growth stages, without names.",
    "fit-catalogue": "Fit rules on many yards' notes, as a catalogue file.",
    "completion": "Print what makes a shell complete command lines.",
}


class _Commands(Group):
    """Loads commands by name; prints a grower's error as it stands and exits with its code.

    Any other error is a fault of the program's own and is told as such.
    """

    def make_context(
        self, info_name: str | None, args: list[str], parent: click.Context | None = None, **extra: Any
    ) -> click.Context:
        return super().make_context(info_name, args, parent, color=colour.wanted(), **extra)

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        command: click.Command = import_module(f"season_engine.commands.{cmd_name.replace('-', '_')}").command
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args and args[0] not in COMMANDS and not args[0].startswith("-") and not ctx.resilient_parsing:
            hint = did_you_mean(args[0], COMMANDS) or f"The commands are {', '.join(COMMANDS)}."
            ctx.fail(f'There is no command "{shortened(args[0])}". {hint}')
        return super().resolve_command(ctx, args)

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
            click.echo(colour.as_fault(str(grower) if grower else told(ctx, error)), err=True)
            ctx.exit(grower.exit_code if grower else EXIT_OWN_FAULT)


@click.group(
    cls=_Commands,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": WIDEST},
    examples=(
        'season-engine init my-yard --latitude 47.25 --longitude 8.5 --tree "Japanese maple"',
        "season-engine report",
        'season-engine check repotting "black pine"',
    ),
)
@click.version_option(package_name="season_engine", message="%(version)s")
def main() -> None:
    """Work out from your own weather when each tree is ready for each heavy job."""


if __name__ == "__main__":
    main()
