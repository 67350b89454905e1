"""rootcase apply permit."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.applying.told import tell_ground, told_options
from rootcase.ground.words import say


@click.command(help=say("windows.help.permit"))
@click.argument("what")
@click.option("--number", default="", help=say("windows.help.number"))
@click.option("--remedy", required=True, help=say("windows.help.remedy"))
@told_options
def permit(what: str, property_name: str | None, fieldbook_path: Path | None, first: str, last: str, by: str,
           number: str, remedy: str) -> None:
    tell_ground("permit", fieldbook_path, property_name, by,
                {"what": what, "first": first, "last": last, "number": number, "remedy": remedy})
