"""rootcase observe photo card."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.making.units import units_option
from rootcase.cli.options import tell, today
from rootcase.fieldbook.whole_file import write_whole
from rootcase.ground.quantity import System
from rootcase.ground.words import say


@click.command(help=say("photo.card.help"))
@click.argument("file", metavar="OUT.pdf", type=click.Path(path_type=Path, dir_okay=False))
@units_option
def card(file: Path, system: System) -> None:
    from rootcase.report.pdf.leaf_card import leaf_card_pdf

    if file.suffix.lower() != ".pdf":
        raise click.BadParameter(say("photo.card.ending", file=file.with_suffix(".pdf").name), param_hint="OUT.pdf")
    if not file.absolute().parent.is_dir():
        raise click.BadParameter(say("cli.no_folder", folder=file.parent), param_hint="OUT.pdf")
    write_whole({file: leaf_card_pdf(system, today())})
    tell(say("photo.card.written", file=file))
