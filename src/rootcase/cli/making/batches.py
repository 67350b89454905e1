"""rootcase make batches."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.options import fieldbook_option, json_option, open_book, out, tell
from rootcase.ground.words import say


@click.command(help=say("batch.help.batches"))
@fieldbook_option
@json_option
def batches(fieldbook_path: Path | None, as_json: bool) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.report.text.batches import batch_line
    from rootcase.services import make_batch

    with open_book(fieldbook_path) as book:
        found = make_batch.batches(book)
        lines = [batch_line(batch, make_batch.zone_of(book, batch)) for batch in found]
    if as_json:
        out(stage_json(found))
    else:
        tell(*(lines or [say("batch.no_batches")]))
