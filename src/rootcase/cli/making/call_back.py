"""rootcase make call-back."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.making.units import units_option
from rootcase.cli.options import fieldbook_option, open_book, tell
from rootcase.ground.quantity import System
from rootcase.ground.words import say


@click.command(help=say("batch.help.call_back"))
@click.argument("number")
@click.argument("why")
@click.option("--by", required=True, help=say("batch.help.by"))
@fieldbook_option
@units_option
def call_back(number: str, why: str, by: str, fieldbook_path: Path | None, system: System) -> None:
    from rootcase.report.text.recall import recall_lines
    from rootcase.services import make_batch
    from rootcase.services.recall import recall

    with open_book(fieldbook_path) as book:
        batch = make_batch.call_back(book, make_batch.batch_named(book, number).id, why, by)
        tell(*recall_lines(recall(book, batch), system))
