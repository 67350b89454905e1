"""rootcase apply liters."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.making.cells import read_cells, require_none
from rootcase.cli.making.units import units_option
from rootcase.cli.options import fieldbook_option, open_book, tell
from rootcase.ground.quantity import System
from rootcase.ground.words import say


@click.command(help=say("log.help.litres"))
@click.argument("number", required=False, default="")
@click.argument("typed", metavar="[left=VOLUME|lost=VOLUME|rinse=VOLUME|made=VOLUME] [where=TEXT]", nargs=-1)
@click.option("--by", default="", help=say("log.help.by"))
@fieldbook_option
@units_option
def liters(number: str, typed: tuple[str, ...], by: str, fieldbook_path: Path | None, system: System) -> None:
    from rootcase.report.text.record import account_line
    from rootcase.services.log import KINDS, accounts, take_litres
    from rootcase.services.make_batch import batch_named

    cells = read_cells(typed, "liters", (*KINDS, "where"))
    with open_book(fieldbook_path) as book:
        batch = batch_named(book, number) if number else None
        told = [{"what": what, "volume": cells[what], "where": cells.get("where", "")} for what in KINDS
                if batch is not None and what in cells]
        if batch is not None:
            require_none(take_litres(book, batch, told, by, system))
        tell(*(account_line(each.number, found, system) for each, found in accounts(book)
               if batch is None or each.id == batch.id))
