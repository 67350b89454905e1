"""rootcase report: the client's PDF, the pictures and the numbers."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from rootcase.cli.options import (
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


@click.command(help=say("cli.help.report"))
@click.option("--out", "folder", type=click.Path(path_type=Path, file_okay=False), default=Path("report"),
              show_default=True, help=say("cli.option.out"))
@click.option("--prepared-by", default="", help=say("cli.option.prepared_by"))
@click.option("--credential", default="", help=say("cli.option.credential"))
@fieldbook_option
@property_option
@json_option
@run_options
def report(folder: Path, prepared_by: str, credential: str, fieldbook_path: Path | None, property_name: str | None,
           as_json: bool, day: date | None, draws: int, seed: int, threads: int) -> None:
    from rootcase.records.report import Author
    from rootcase.report.terminal import summary
    from rootcase.services.log import record_line
    from rootcase.services.observe import find_property
    from rootcase.services.prescribe import prescribe_property
    from rootcase.services.proof import proofs
    from rootcase.services.report import report_files
    from rootcase.services.sign import with_signature

    run = make_run(day, draws, seed, threads)
    with open_book(fieldbook_path) as fieldbook:
        ground, author = find_property(fieldbook, property_name), Author(prepared_by, credential)
        casework = with_signature(fieldbook, prescribe_property(fieldbook, ground, run, author))
        line, tried = record_line(fieldbook, casework.made_on), proofs(fieldbook, [ground.id])
    run.progress("draw", 0, 1)
    files = report_files(casework, line, tried)
    run.progress("draw", 1, 1)
    write_whole({folder / name: data for name, data in files.items()})
    out(files["casework.json"] if as_json else summary(casework, *screen()))
    if not as_json:
        tell(say("cli.report_written", folder=folder, pictures=len(files) - 2))
