"""rootcase make hyphae."""

from __future__ import annotations

from pathlib import Path

import click

from rootcase.cli.options import json_option, out, tell
from rootcase.ground.words import say


@click.command(help=say("photo.help.hyphae"))
@click.argument("image", type=click.Path(path_type=Path, exists=True, dir_okay=False))
@click.option("--um-per-px", type=float, required=True, help=say("photo.option.um_per_px"))
@json_option
def hyphae(image: Path, um_per_px: float, as_json: bool) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.services.hyphae import hyphae_on

    found = hyphae_on(image, um_per_px)
    if as_json:
        out(stage_json(found))
    else:
        tell(say("photo.length", length=f"{found.length_um:,.0f}", low=f"{found.low_um:,.0f}",
                 high=f"{found.high_um:,.0f}", area=f"{found.area_mm2:.3g}"),
             say("photo.rejected", **{name: f"{um:,.0f}" for name, um in found.rejected_um.items()}),
             *filter(None, (found.doubt,)), say("photo.look"))
