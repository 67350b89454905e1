"""rootcase observe photo canopy."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.options import json_option, out, tell
from rootcase.ground.words import say


@click.command(help=say("photo.help.canopy"))
@click.argument("image", type=click.Path(path_type=Path, exists=True, dir_okay=False))
@json_option
def canopy(image: Path, as_json: bool) -> None:
    from rootcase.services.canopy_photo import canopy_in

    found = canopy_in(image)
    if as_json:
        from rootcase.report.casework_json import stage_json

        out(stage_json(found))
        return
    out(say("photo.canopy.line", share=f"{100 * found.gap_fraction:.0f}", low=f"{100 * found.low:.0f}",
            high=f"{100 * found.high:.0f}"))
    tell(*found.warnings, say("photo.canopy.look"))
