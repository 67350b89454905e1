"""rootcase apply sheet."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from rootcase.cli.applying.paper import out_needed, round_on_paper, written_to
from rootcase.cli.making.units import units_option
from rootcase.cli.options import fieldbook_option, read_day
from rootcase.ground.quantity import System
from rootcase.ground.words import say


@click.command(help=say("paper.cli.sheet"))
@click.argument("day", metavar="DAY", callback=read_day)
@click.argument("crew")
@out_needed
@units_option
@fieldbook_option
def sheet(day: date, crew: str, file: Path, system: System, fieldbook_path: Path | None) -> None:
    from rootcase.report.pdf.job_sheet import job_sheet_pdf

    _, paper = round_on_paper(fieldbook_path, (day, crew), system)
    written_to(file, job_sheet_pdf(paper))
