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
    from rootcase.report.text.batch import batches_listed
    from rootcase.services.batch_heap import heap_uses
    from rootcase.services.make_batch import batches as made

    with open_book(fieldbook_path) as book:
        found, known = made(book), heap_uses(book.making.events())
        lines = [say("batch.line", state=state, made=line)
                 for _, _, state, line in batches_listed(found, known, book.making.now())]
    if as_json:
        out(stage_json(found))
    else:
        tell(*(lines or [say("batch.no_batches")]))
