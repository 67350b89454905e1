"""rootcase make end."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import click

from rootcase.cli.options import fieldbook_option, open_book, tell
from rootcase.ground.words import say


@click.command(help=say("batch.help.end"))
@click.argument("number")
@click.argument("how", type=click.Choice(("compost_water", "poured_out")))
@click.argument("where")
@click.option("--by", required=True, help=say("batch.help.by"))
@fieldbook_option
def end(number: str, how: Literal["compost_water", "poured_out"], where: str, by: str,
        fieldbook_path: Path | None) -> None:
    from rootcase.report.text.batch import became_line, caution_lines
    from rootcase.services.make_batch import batch_named, end_batch

    with open_book(fieldbook_path) as book:
        tell(became_line(end_batch(book, batch_named(book, number).id, how, where, by)), *caution_lines("end_batch"))
