"""rootcase make ring."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.making.units import units_option
from rootcase.cli.options import fieldbook_option, open_book, tell
from rootcase.ground.quantity import System
from rootcase.ground.words import say


@click.command(help=say("batch.help.ring"))
@click.argument("number")
@click.argument("property_name", metavar="PROPERTY")
@click.argument("note", default="")
@click.option("--by", required=True, help=say("batch.help.by"))
@fieldbook_option
@units_option
def ring(number: str, property_name: str, note: str, by: str, fieldbook_path: Path | None, system: System) -> None:
    from rootcase.report.text.recall import recall_lines
    from rootcase.services.make_batch import batch_named, note_ring
    from rootcase.services.observe import find_property
    from rootcase.services.recall import recall

    with open_book(fieldbook_path) as book:
        rung = find_property(book, property_name, "PROPERTY")
        batch = note_ring(book, batch_named(book, number).id, rung.id, by, note)
        tell(*recall_lines(recall(book, batch), system))
