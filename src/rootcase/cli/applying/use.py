"""rootcase apply use."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.applying.told import tell_ground, told_options
from rootcase.ground.words import say


@click.command(help=say("windows.help.use"))
@click.argument("name")
@click.option("--weekdays", default="", help=say("windows.help.weekdays"))
@click.option("--place", default="", help=say("windows.help.place"))
@told_options
def use(name: str, property_name: str | None, fieldbook_path: Path | None, first: str, last: str, by: str,
        weekdays: str, place: str) -> None:
    tell_ground("use", fieldbook_path, property_name, by,
                {"name": name, "first": first, "last": last, "weekdays": weekdays, "place": place})
