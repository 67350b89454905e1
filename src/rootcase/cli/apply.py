"""rootcase apply."""

from __future__ import annotations

import click

from rootcase.cli.lazy import Lazy
from rootcase.ground.words import say

COMMANDS: tuple[str, ...] = ("windows", "locate", "permit", "use", "route", "truck", "crew", "fill-point", "travel",
                            "plan-batch", "week", "shopping", "day", "sheet", "notice", "give", "move", "replan",
                            "log", "record", "verify", "liters")
"""Each in `cli/applying/` under its own name."""


@click.group(cls=Lazy, package="rootcase.cli.applying", names=COMMANDS, help=say("cli.help.apply"))
def apply() -> None:
    """The right day, the right load, the round, the record."""
