"""rootcase observe photo soil."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from rootcase.cli.options import json_option, out, tell
from rootcase.ground.words import say

if TYPE_CHECKING:
    from rootcase.services.soil_photo import SoilPhoto


@click.command(help=say("photo.help.soil"))
@click.argument("image", type=click.Path(path_type=Path, exists=True, dir_okay=False))
@click.option("--at", "at_px", nargs=2, type=float, metavar="X Y", help=say("photo.option.at"))
@json_option
def soil(image: Path, at_px: tuple[float, float] | None, as_json: bool) -> None:
    from rootcase.report.casework_json import stage_json
    from rootcase.services.soil_photo import soil_in

    found = soil_in(image, at_px)
    if as_json:
        out(stage_json(found))
        return
    out(_line(found))
    out(_where(found))
    tell(*found.warnings, say("photo.soil.look"))


def _line(found: SoilPhoto) -> str:
    from rootcase.services.soil_photo import spans_told

    shares = ", ".join(say("photo.soil.share", chip=each.chip, pct=f"{100 * each.share:.0f}") for each in found.near)
    return say("photo.soil.line", chip=found.chip, shares=shares, **spans_told(found))


def _where(found: SoilPhoto) -> str:
    from rootcase.ground.quantity import show

    wide, right, down = (show(each, "mm", "us", ("in", "mm"), 2) for each in (2 * found.radius_mm, *found.middle_mm))
    return say("photo.soil.where", wide=wide, right=right, down=down)
