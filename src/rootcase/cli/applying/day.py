"""rootcase apply day."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from rootcase.cli.applying.paper import out_needed, round_on_paper, written_to
from rootcase.cli.making.units import units_option
from rootcase.cli.options import fieldbook_option, read_day
from rootcase.ground.quantity import System
from rootcase.ground.words import say


@click.command(help=say("paper.cli.day"))
@click.argument("on", metavar="DAY", callback=read_day)
@click.argument("crew")
@out_needed
@units_option
@fieldbook_option
def day(on: date, crew: str, file: Path, system: System, fieldbook_path: Path | None) -> None:
    from rootcase.report.pdf.day_sheet import day_sheet_pdf
    from rootcase.services.week_known import names_of

    found, paper = round_on_paper(fieldbook_path, (on, crew), system)
    written_to(file, day_sheet_pdf(paper, names_of(found)))
