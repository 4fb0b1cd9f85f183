"""The help of commands with many options: under headings, the essentials first."""

from __future__ import annotations

from typing import Any

import click

from protractor.inputs.declaration import ESSENTIALS

REST = "Other options"
"""The heading of options that belong to no group, where others do."""

MANY = 12
"""From so many options on a help has headings."""


class Option(click.Option):
    """An option that comes under a heading of the help."""

    def __init__(self, *words: Any, group: str = "", **settings: Any) -> None:
        super().__init__(*words, **settings)
        self.group = group


class Command(click.Command):
    """A command whose help lists its options by their groups when there are many.

    The essentials come first; the other groups follow in the order of their first options.
    """

    def format_options(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        options = [each for each in self.get_params(ctx) if isinstance(each, click.Option)]
        if len(options) < MANY:
            super().format_options(ctx, formatter)
            return
        groups: dict[str, list[tuple[str, str]]] = {ESSENTIALS: []}
        rest: list[tuple[str, str]] = []
        for each in options:
            record, group = each.get_help_record(ctx), getattr(each, "group", "")
            if record is not None:
                (groups.setdefault(group, []) if group else rest).append(record)
        for heading, records in {**groups, REST: rest}.items():
            if records:
                with formatter.section(heading):
                    formatter.write_dl(records)
