"""rootcase make batch."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.making.units import units_option
from rootcase.cli.options import fieldbook_option, json_option, open_book, out, tell
from rootcase.ground.quantity import System
from rootcase.ground.words import say


@click.command(help=say("batch.help.batch"))
@click.argument("number")
@fieldbook_option
@units_option
@json_option
def batch(number: str, fieldbook_path: Path | None, system: System, as_json: bool) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.report.text.batch import batch_lines
    from rootcase.services.batch_seen import batch_seen

    with open_book(fieldbook_path) as book:
        now = book.making.now()
        seen = batch_seen(book, number, now)
    if as_json:
        out(stage_json(seen.batch))
    else:
        tell(*batch_lines(seen, now, system))
