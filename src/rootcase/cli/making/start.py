"""rootcase make start."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.options import fieldbook_option, open_book, tell
from rootcase.ground.words import say


@click.command(help=say("batch.help.start"))
@click.argument("heap")
@click.option("--by", required=True, help=say("batch.help.by"))
@fieldbook_option
def start(heap: str, by: str, fieldbook_path: Path | None) -> None:
    from rootcase.services.heap import heap_named
    from rootcase.services.make_batch import start_batch

    with open_book(fieldbook_path) as book:
        tell(say("batch.started", number=start_batch(book, heap_named(book, heap).id, by).number))
