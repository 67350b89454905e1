"""rootcase apply shopping."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.applying.paper import out_option, written_to
from rootcase.cli.applying.planning import planned_now
from rootcase.cli.making.units import units_option
from rootcase.cli.options import fieldbook_option, json_option, open_book, out, tell, today_of
from rootcase.ground.quantity import System
from rootcase.ground.words import say


@click.command(help=say("shopping.help"))
@out_option
@units_option
@fieldbook_option
@json_option
def shopping(file: Path | None, system: System, fieldbook_path: Path | None, as_json: bool) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.report.pdf.shopping import shopping_pdf
    from rootcase.report.text.shopping import shopping_lines, shopping_told
    from rootcase.services.shopping import shopping_of
    from rootcase.services.week_known import names_of

    with open_book(fieldbook_path) as book:
        found, week = planned_now(book)
        listed = shopping_of(book, found, week)
        practice, today = book.practice(), today_of(book)
    if as_json:
        out(stage_json(listed))
        return
    shown = shopping_told(listed, names_of(found).jobs, system)
    tell(*shopping_lines(shown))
    if file:
        written_to(file, shopping_pdf(shown, practice, system, today))
