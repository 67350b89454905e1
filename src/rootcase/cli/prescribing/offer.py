"""rootcase prescribe offer."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from rootcase.cli.options import (
    Amount,
    fieldbook_option,
    json_option,
    make_run,
    open_book,
    out,
    property_option,
    run_options,
    screen,
    tell,
)
from rootcase.fieldbook.whole_file import write_whole
from rootcase.ground.words import say


@click.command(help=say("offer.help.offer"))
@click.option("--budget", "budgets", type=Amount(), multiple=True, metavar="N",
              help=say("offer.help.budget"))
@click.option("--pdf", type=click.Path(path_type=Path, dir_okay=False), help=say("offer.help.pdf"))
@click.option("--prepared-by", default="", help=say("cli.option.prepared_by"))
@click.option("--credential", default="", help=say("cli.option.credential"))
@fieldbook_option
@property_option
@json_option
@run_options
def offer(budgets: tuple[float, ...], pdf: Path | None, prepared_by: str, credential: str, fieldbook_path: Path | None,
          property_name: str | None, as_json: bool, day: date | None, draws: int, seed: int, threads: int) -> None:
    from rootcase.records.report import Author
    from rootcase.report.casework_json import stage_json
    from rootcase.report.pdf.offer import offer_pdf
    from rootcase.report.terminal.offer import offer_text
    from rootcase.services.observe import find_property
    from rootcase.services.offer import make_offer

    if pdf and not pdf.absolute().parent.is_dir():
        raise click.BadParameter(say("cli.no_folder", folder=pdf.parent), param_hint="--pdf")
    if 0.0 in budgets:
        raise click.BadParameter(say("cli.no_step", typed="0"), param_hint="--budget")
    run = make_run(day, draws, seed, threads)
    with open_book(fieldbook_path) as fieldbook:
        shown, told = make_offer(fieldbook, find_property(fieldbook, property_name), run, budgets)
    if pdf:
        write_whole({pdf: offer_pdf(shown, Author(prepared_by, credential))})
    out(stage_json(shown.made) if as_json else offer_text(shown, told, *screen()))
    if pdf and not as_json:
        tell(say("offer.written", file=pdf))
