"""The length of hyphae on the command line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner
from PIL import Image, ImageDraw

from rootcase.cli.making.hyphae import hyphae
from rootcase.ground.errors import FileError

PHOTO = Path(__file__).parents[1] / "data" / "hyphae_sparse.jpg"


def test_the_length_is_told_as_json_with_its_interval_and_the_lines() -> None:
    done = CliRunner().invoke(hyphae, [str(PHOTO), "--um-per-px", "0.5", "--json"])
    assert done.exit_code == 0, done.output
    told = json.loads(done.output)
    assert told["low_um"] < told["length_um"] < told["high_um"]
    assert told["area_mm2"] == pytest.approx(0.12)
    assert set(told["rejected_um"]) == {"grains", "rims", "bubbles", "short"}
    assert all(0 <= x <= 799 and 0 <= y <= 599 for line in told["lines"] for x, y in line["points_px"][1:-1])


def test_a_file_that_is_no_photo_is_refused(tmp_path: Path) -> None:
    (tmp_path / "list.jpg").write_text("tag,dbh", encoding="utf-8")
    done = CliRunner().invoke(hyphae, [str(tmp_path / "list.jpg"), "--um-per-px", "0.5"])
    assert isinstance(done.exception, FileError)
    assert "list.jpg: this is not a photo that can be read" in str(done.exception)


def test_a_ruled_page_is_doubted_and_hyphae_are_not(tmp_path: Path) -> None:
    page = Image.new("L", (300, 200), 230)
    for at in range(30, 200, 40):
        ImageDraw.Draw(page).line((20, at, 280, at), fill=60, width=4)
    page.save(tmp_path / "page.png")
    for photo, doubted in ((tmp_path / "page.png", True), (PHOTO, False)):
        done = CliRunner().invoke(hyphae, [str(photo), "--um-per-px", "0.5"])
        assert done.exit_code == 0, done.output
        assert ("run exactly along the sides of the picture" in done.output) == doubted
        told = json.loads(CliRunner().invoke(hyphae, [str(photo), "--um-per-px", "0.5", "--json"]).output)
        assert ("run exactly along the sides of the picture" in told["doubt"]) == doubted
