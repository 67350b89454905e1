"""The color of soil on the command line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner
from PIL import Image

from rootcase.cli.photo.soil import soil
from rootcase.ground.errors import OutOfRange
from tests.science.photo.soils import draw_soil


def run(*arguments: str) -> str:
    done = CliRunner().invoke(soil, arguments, catch_exceptions=False)
    assert done.exit_code == 0, done.output
    return done.output


def test_the_nearest_chip_is_told_with_its_doubt(tmp_path: Path) -> None:
    file = str(tmp_path / "soil.png")
    Image.fromarray(draw_soil(6, "10YR 4/3", px_per_mm=3.0)).save(file)
    assert run(file).startswith("Nearest chip: 10YR 4/3. Nine times in ten value ")
    found = json.loads(run(file, "--json"))
    assert (found["chip"], found["warnings"]) == ("10YR 4/3", [])
    assert found["near"][0]["share"] < 1.0
    spot = found["spot_px"]
    there = json.loads(run(file, "--at", str(spot["x"]), str(spot["y"]), "--json"))
    assert there["chip"] == "10YR 4/3"
    assert there["spot_px"]["radius"] < spot["radius"]
    with pytest.raises(OutOfRange, match="not in the empty middle"):
        run(file, "--at", "1", "1")


def test_a_photo_without_the_card_is_refused(tmp_path: Path) -> None:
    Image.new("RGB", (400, 300), (90, 70, 50)).save(tmp_path / "bare.png")
    with pytest.raises(OutOfRange, match="at least 3 of its 4 squares"):
        run(str(tmp_path / "bare.png"))
