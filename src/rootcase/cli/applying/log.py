"""rootcase apply log."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.making.cells import read_cells, require_none
from rootcase.cli.making.units import units_option
from rootcase.cli.options import fieldbook_option, open_book, tell
from rootcase.ground.errors import Missing
from rootcase.ground.quantity import System
from rootcase.ground.words import say

_NAMES = ("remedy", "day", "started", "ended", "which", "load", "volume", "mass", "amount", "area", "helpers",
          "no_helper", "restricted", "whole", "slot", "plan")


@click.command(help=say("log.help.log"))
@click.argument("property_name", metavar="PROPERTY")
@click.argument("tree", metavar="TREE")
@click.argument("typed", metavar="[NAME=VALUE]...", nargs=-1)
@click.option("--by", required=True, help=say("log.help.by"))
@fieldbook_option
@units_option
def log(property_name: str, tree: str, typed: tuple[str, ...], by: str, fieldbook_path: Path | None,
        system: System) -> None:
    from rootcase.report.text.record import flag_lines
    from rootcase.services.log import TEXTS, take_log

    cells = read_cells(typed, "log", (*_NAMES, *TEXTS))
    with open_book(fieldbook_path) as book:
        ground = next((each for each in book.properties() if property_name in (each.id, each.name)), None)
        if ground is None:
            raise Missing(say("fieldbook.no_such_property"), value=property_name)
        an_id = next((each.id for each in book.record(ground.id).trees if tree in (each.id, each.label)), "")
        came = take_log(book, ground, {**cells, "tree": an_id, "by": by}, by, system)
        require_none(came.wrong)
        one = book.recording.words(came.slot)[-1]
        tell(say("log.kept", number=one.number), *flag_lines(one))
