"""rootcase export: everything out, in a form that its ending names."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from rootcase.cli.options import OWN_FIELDBOOK, fieldbook_option, json_option, open_book, out, tell
from rootcase.ground.words import say

if TYPE_CHECKING:
    from rootcase.fieldbook.fieldbook import Fieldbook

ENDINGS = (".zip", ".xlsx", ".gpkg", ".geojson")


@click.command(help=say("cli.help.export"))
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@click.option("--public", is_flag=True, help=say("cli.option.public"))
@click.option("--force", is_flag=True, help=say("cli.option.force"))
@fieldbook_option
@json_option
def export(file: Path, public: bool, force: bool, fieldbook_path: Path | None, as_json: bool) -> None:
    ending = file.suffix.lower()
    if ending not in ENDINGS:
        raise click.BadParameter(say("cli.export_ending"), param_hint="FILE")
    if public and ending != ".zip":
        raise click.BadParameter(say("cli.export_public"), param_hint="--public")
    if file.resolve() == (fieldbook_path or OWN_FIELDBOOK).resolve():
        raise click.BadParameter(say("cli.export_itself"), param_hint="FILE")
    if file.exists() and not force:
        raise click.BadParameter(say("cli.exists", file=file), param_hint="FILE")
    with open_book(fieldbook_path) as fieldbook:
        result, lines = _written(fieldbook, file, public)
    if as_json:
        from rootcase.report.casework_json import stage_json

        out(stage_json(result))
    else:
        tell(*lines)


def _written(fieldbook: Fieldbook, file: Path, public: bool) -> tuple[object, list[str]]:
    """What was written, and the lines that tell it."""
    from rootcase.services.practice import map_out, table_out, take_out

    ending = file.suffix.lower()
    if ending == ".zip":
        taken = take_out(fieldbook, file, public=public)
        counts = say("cli.exported", readings=f"{taken.readings:,}", photos=f"{taken.photos:,}",
                     size=taken.size_bytes / 1e6, files=taken.files, file=file)
        checked = say("cli.exported_public") if public else say("cli.exported_checked", state=taken.state)
        return taken, [counts, checked, *taken.told]
    if ending == ".xlsx":
        tabled = table_out(fieldbook, file)
        return tabled, [say("cli.exported_workbook", readings=f"{tabled.readings:,}", file=file), *tabled.told]
    mapped = map_out(fieldbook, file)
    return mapped, [say("cli.exported_map", trees=mapped.trees, places=mapped.places, pits=mapped.pits, file=file),
                    *mapped.told]
