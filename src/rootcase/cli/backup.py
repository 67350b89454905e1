"""rootcase backup: all of the file into one, read back."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.options import fieldbook_option, json_option, open_book, out, tell
from rootcase.ground.words import say


@click.command(help=say("cli.help.backup"))
@click.argument("folder", type=click.Path(path_type=Path, file_okay=False))
@fieldbook_option
@json_option
def backup(folder: Path, fieldbook_path: Path | None, as_json: bool) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.services.backup import back_up

    with open_book(fieldbook_path) as fieldbook:
        done = back_up(fieldbook, folder)
    if as_json:
        out(stage_json(done))
        return
    tell(say("backup.done", events=f"{done.events:,}", photos=f"{done.photos:,}", size=done.size_bytes / 1e6,
             file=done.file), say("backup.checked"), *done.told, say("backup.private"))
