"""rootcase make step."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.casework.make.checklist import STEPS
from rootcase.cli.making.cells import read_cells, require_none
from rootcase.cli.making.units import units_option
from rootcase.cli.options import fieldbook_option, open_book, tell
from rootcase.ground.quantity import System
from rootcase.ground.words import say
from rootcase.records.make.batch import Step


@click.command(help=say("batch.help.step"))
@click.argument("number")
@click.argument("step", type=click.Choice(STEPS))
@click.argument("typed", metavar="[NAME=VALUE]...", nargs=-1)
@click.option("--at", default="", help=say("batch.help.at"))
@click.option("--which", type=click.Choice(("first", "second")), default=None, help=say("batch.help.which"))
@click.option("--by", required=True, help=say("batch.help.by"))
@fieldbook_option
@units_option
def step(number: str, step: Step, typed: tuple[str, ...], at: str, which: str | None, by: str,
         fieldbook_path: Path | None, system: System) -> None:
    from rootcase.report.text.batch import batch_finding, caution_lines
    from rootcase.services.asked import read_as
    from rootcase.services.batch_forms import WHEN, WHICH, step_asks, step_words, take_step
    from rootcase.services.batch_seen import batch_seen

    cells = read_cells(typed, step, (*(ask.name for ask in step_asks(step)), *step_words(step)))
    with open_book(fieldbook_path) as book:
        when = {WHEN: at, WHICH: which or ""}
        require_none(take_step(book, batch_seen(book, number), step, {**cells, **when}, by, system))
        seen = batch_seen(book, number)
        against = next(each.against for each in seen.steps if each.step == step)
        again = seen.finding.read_again if step == "oxygen" else ()
        tell(*read_as(step_asks(step), cells, system).values(), *against, *again,
             batch_finding(seen, book.making.now()), *caution_lines(step))
