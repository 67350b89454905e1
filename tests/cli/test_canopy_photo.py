"""The gaps of a crown on the command line."""

from __future__ import annotations

import json
from pathlib import Path

from click.testing import CliRunner

from rootcase.cli.photo.canopy import canopy

PHOTO = Path(__file__).parents[1] / "data" / "canopy_sun.jpg"


def test_the_share_of_sky_is_told_with_its_interval_and_the_sun() -> None:
    told = json.loads(CliRunner().invoke(canopy, [str(PHOTO), "--json"], catch_exceptions=False).output)
    assert told["low"] < told["gap_fraction"] < told["high"]
    assert "sun" in told["warnings"][0]
    done = CliRunner().invoke(canopy, [str(PHOTO)], catch_exceptions=False)
    assert f"{100 * told['gap_fraction']:.0f} % of the photo is sky" in done.output
    assert "one photo" in done.output
