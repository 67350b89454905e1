"""rootcase apply locate."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.applying.told import tell_ground, told_options
from rootcase.ground.words import say


@click.command(help=say("windows.help.locate"))
@click.argument("number")
@click.option("--private", "private_lines", is_flag=True, help=say("windows.help.private"))
@click.option("--place", default="", help=say("windows.help.place"))
@told_options
def locate(number: str, property_name: str | None, fieldbook_path: Path | None, first: str, last: str, by: str,
           private_lines: bool, place: str) -> None:
    tell_ground("locate", fieldbook_path, property_name, by,
                {"number": number, "first": first, "last": last, "place": place,
                 "private": "yes" if private_lines else ""})
