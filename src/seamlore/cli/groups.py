"""Help in groups: a command with many options lists them by what they are for; and help in British words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import ClassVar

import click

from seamlore.wording import reworded


class SpokenHelp(click.HelpFormatter):
    """Help in the wording that is spoken, put so before lines are broken."""

    def write_text(self, text: str) -> None:
        """Write a paragraph."""
        super().write_text(reworded(text))

    def write_dl(self, rows: Iterable[tuple[str, str]], col_max: int = 30, col_spacing: int = 2) -> None:
        """Write options or commands, each with what it does; choices are taken in either wording."""
        super().write_dl([(reworded(first), reworded(second)) for first, second in rows], col_max, col_spacing)


class Spoken(click.Context):
    """What a command is called in, its help in the wording that is spoken."""

    formatter_class = SpokenHelp


class Grouped(click.Command):
    """A command whose help lists its options in groups.

    `groups` gives the heading of each group and its options as they are written; the rest come last, under Options.
    """

    groups: ClassVar[Mapping[str, Sequence[str]]] = {}

    def format_options(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the options, group by group."""
        known = {
            name: record
            for param in self.get_params(ctx)
            if (record := param.get_help_record(ctx)) is not None
            for name in param.opts
        }
        listed = set()
        for heading, names in self.groups.items():
            listed |= set(names)
            with formatter.section(heading):
                formatter.write_dl([known[name] for name in names])
        rest = [record for name, record in known.items() if name.startswith("--") and name not in listed]
        with formatter.section("Options"):
            formatter.write_dl(rest)
