"""Help in groups: a command with many options lists them by what they are for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import ClassVar

import click


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
