"""rootcase restore: a backup back to a new place, or an archive into an empty fieldbook."""

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
    from rootcase.report.casework_json import stage_json
    from rootcase.services.backup import is_backup

    where = fieldbook_path or OWN_FIELDBOOK
    result, lines = _from_backup(file, where) if is_backup(file) else _from_archive(file, where)
    if as_json:
        out(stage_json(result))
    else:
        tell(*lines)


def _from_backup(file: Path, where: Path) -> tuple[object, list[str]]:
    from rootcase.services.backup import bring_back

    back = bring_back(file, where)
    return back, [
        say("backup.back", events=f"{back.events:,}", photos=f"{back.photos:,}", file=where),
        say("backup.as_of", moment=f"{back.made_at:%Y-%m-%d %H:%M}"),
        say("backup.ended", sessions=back.sessions_ended, links=back.links_open),
        *(say("backup.no_photo", mark=mark) for mark in back.missing), *back.told]


def _from_archive(file: Path, where: Path) -> tuple[object, list[str]]:
    from rootcase.fieldbook.intake.archive import open_archive, refuse_public

    with open_archive(file) as archive:
        refuse_public(archive)  # before a new file is made for it
        with open_book(where, make=True) as fieldbook:
            back = fieldbook.restore(archive)
    counts = {name: f"{back.counts.get(name, 0):,}" for name in ("events", "weather_days", "contacts")}
    return back, [say("cli.restored", events=counts["events"], weather=counts["weather_days"],
                      contacts=counts["contacts"], photos=f"{back.photos:,}", file=where),
                  say("cli.restored_equal", state=back.state)]
