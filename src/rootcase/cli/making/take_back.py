"""rootcase make take-back."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.making.cells import require_none
from rootcase.cli.making.units import units_option
from rootcase.cli.options import fieldbook_option, open_book, tell
from rootcase.ground.quantity import System
from rootcase.ground.words import say


@click.command("take-back", help=say("batch.help.take_back"))
@click.argument("number")
@click.argument("what")
@click.argument("reason")
@click.option("--heap", "of_heap", is_flag=True, help=say("batch.help.take_back_heap"))
@click.option("--by", required=True, help=say("batch.help.by"))
@fieldbook_option
@units_option
def take_back(number: str, what: str, reason: str, of_heap: bool, by: str, fieldbook_path: Path | None,
              system: System) -> None:
    from rootcase.report.text.batch import batch_finding, batch_lede, taken_back_told
    from rootcase.report.text.heap import finding
    from rootcase.services import heap
    from rootcase.services.batch_seen import batch_seen
    from rootcase.services.taken_back import batch_of_step, take_step_back, told_entry

    with open_book(fieldbook_path) as book:
        if of_heap:
            found = heap.heap_named(book, number)
            require_none(heap.take_back(book, found, told_entry(found, what), reason, by=by).wrong)
            tell(finding(*heap.judged_heap(book, found.id), system))
            return
        batch, told = batch_of_step(book, number, what)
        take_step_back(book, batch, told.id, reason, by)
        now = book.making.now()
        seen = batch_seen(book, number, now)
        tell(taken_back_told(seen, system)[-1], batch_finding(seen, now), batch_lede(seen, now))
