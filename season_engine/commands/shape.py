"""What every command has in common beside its options: examples under its help."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import click


class _Exemplified(click.Command):
    """A command whose help ends with examples, each a line to copy as it stands.

    `ending` gives what stands below them, worked out only where it is read.
    """

    def __init__(
        self,
        *arguments: Any,
        examples: Sequence[str] = (),
        ending: Callable[[], str] | None = None,
        **attributes: Any,
    ) -> None:
        super().__init__(*arguments, **attributes)
        self.examples = tuple(examples)
        self.ending = ending

    def format_epilog(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the examples, and what else stands at the end."""
        if self.ending:
            self.epilog = self.ending()
        if self.examples:
            with formatter.section("Examples"):
                for line in self.examples:  # never wrapped
                    formatter.write(f"{'':>{formatter.current_indent}}{line}\n")
        super().format_epilog(ctx, formatter)


class Command(_Exemplified):
    """One that does something."""


class Group(_Exemplified, click.Group):
    """One that holds others."""
