"""rootcase restore: an archive back into an empty fieldbook."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.options import OWN_FIELDBOOK, json_option, open_book, out, short, tell
from rootcase.ground.words import say


@click.command(help=say("cli.help.restore"))
@click.argument("file", type=click.Path(exists=True, path_type=Path, dir_okay=False))
@click.option("--fieldbook", "fieldbook_path", type=click.Path(path_type=Path, dir_okay=False),
              help=say("cli.option.new_fieldbook", own=short(OWN_FIELDBOOK)))
@json_option
def restore(file: Path, fieldbook_path: Path | None, as_json: bool) -> None:
    from rootcase.fieldbook.intake.archive import open_archive, refuse_public
    from rootcase.report.casework_json import stage_json

    with open_archive(file) as archive:
        refuse_public(archive)  # before a new file is made for it
        with open_book(fieldbook_path, make=True) as fieldbook:
            result = fieldbook.restore(archive)
    if as_json:
        out(stage_json(result))
        return
    counts = {name: f"{result.counts.get(name, 0):,}" for name in ("events", "weather_days", "contacts")}
    tell(say("cli.restored", events=counts["events"], weather=counts["weather_days"], contacts=counts["contacts"],
             photos=f"{result.photos:,}", file=fieldbook_path or OWN_FIELDBOOK))
    tell(say("cli.restored_equal", state=result.state))
