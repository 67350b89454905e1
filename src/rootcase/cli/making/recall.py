"""rootcase make recall."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.making.units import units_option
from rootcase.cli.options import fieldbook_option, json_option, open_book, out, tell
from rootcase.ground.quantity import System
from rootcase.ground.words import say


@click.command(help=say("batch.help.recall"))
@click.argument("number")
@fieldbook_option
@units_option
@json_option
def recall(number: str, fieldbook_path: Path | None, system: System, as_json: bool) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.report.text.recall import recall_lines
    from rootcase.services import recall as recalling
    from rootcase.services.make_batch import batch_named

    with open_book(fieldbook_path) as book:
        found = recalling.recall(book, batch_named(book, number))
    if as_json:
        out(stage_json(found))
    else:
        tell(*recall_lines(found, system))
