"""rootcase make sheet."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.making.units import units_option
from rootcase.cli.options import fieldbook_option, open_book, tell
from rootcase.fieldbook.whole_file import write_whole
from rootcase.ground.quantity import System
from rootcase.ground.words import say


@click.command(help=say("made.paper.help"))
@click.argument("number")
@click.option("--out", "file", type=click.Path(path_type=Path, dir_okay=False), required=True,
              help=say("made.paper.option_out"))
@click.option("--label", is_flag=True, help=say("made.paper.option_label"))
@units_option
@fieldbook_option
def sheet(number: str, file: Path, label: bool, system: System, fieldbook_path: Path | None) -> None:
    from rootcase.report.pdf.batch import batch_label_pdf, batch_sheet_pdf
    from rootcase.services.batch_sheet import batch_paper

    if not file.absolute().parent.is_dir():
        raise click.BadParameter(say("cli.no_folder", folder=file.parent), param_hint="--out")
    with open_book(fieldbook_path) as book:
        paper = batch_paper(book, number, system)
    write_whole({file: batch_label_pdf(paper) if label else batch_sheet_pdf(paper)})
    tell(say("made.paper.written", file=file))
