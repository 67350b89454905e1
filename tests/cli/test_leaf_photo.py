"""Leaves on the printed card on the command line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner
from PIL import Image

from rootcase.cli.photo.card import card
from rootcase.cli.photo.leaf import leaf
from rootcase.ground.errors import FileError, OutOfRange

DATA = Path(__file__).parents[1] / "data"
PHOTO = DATA / "card_tilt30.jpg"
TRUE_MM2 = [439.12, 455.16, 230.21]


def told(photo: Path) -> dict:  # type: ignore[type-arg]
    done = CliRunner().invoke(leaf, [str(photo), "--json"], catch_exceptions=False)
    assert done.exit_code == 0, done.output
    return json.loads(done.output)  # type: ignore[no-any-return]


def test_leaves_are_told_with_their_intervals_and_colors() -> None:
    found = told(PHOTO)
    assert found["warnings"] == []
    for seen, area_mm2 in zip(found["leaves"], TRUE_MM2, strict=True):
        assert seen["low_mm2"] < area_mm2 < seen["high_mm2"]
        assert seen["colour"]["green"] > seen["colour"]["red"]
        assert 0.0 < seen["colour"]["dark_green"] < 1.0
    done = CliRunner().invoke(leaf, [str(PHOTO)])
    assert "Leaf 3: 0.35" in done.output
    assert "in² (2.3 cm²), from" in done.output
    assert "press it flat" in done.output


def test_a_photo_held_sideways_is_turned_and_a_large_one_read_alike(tmp_path: Path) -> None:
    exif = Image.Exif()
    exif[0x0112] = 6
    with Image.open(PHOTO) as photo:
        photo.resize((4000, 3000), Image.Resampling.BICUBIC).transpose(Image.Transpose.ROTATE_90).save(
            tmp_path / "turned.jpg", exif=exif, quality=90)
    seen = told(tmp_path / "turned.jpg")["leaves"]
    assert [each["area_mm2"] for each in seen] == pytest.approx(TRUE_MM2, rel=0.02)


def test_a_photo_without_a_card_and_one_that_is_not_read_are_refused(tmp_path: Path) -> None:
    Image.new("RGB", (400, 300), "white").save(tmp_path / "bare.png")
    with pytest.raises(OutOfRange, match="at least 3 of its 4 squares"):
        CliRunner().invoke(leaf, [str(tmp_path / "bare.png")], catch_exceptions=False)
    for name, bytes_ in (("cut.heic", (DATA / "card_turned.heic").read_bytes()[:9000]), ("no.heic", b"ftypheic"),
                         ("no.jpg", b"")):
        (tmp_path / name).write_bytes(bytes_)
        with pytest.raises(FileError, match=f"{name}: .*give a JPEG"):
            CliRunner().invoke(leaf, [str(tmp_path / name)], catch_exceptions=False)


def test_the_card_is_a_pdf_by_its_name(tmp_path: Path) -> None:
    done = CliRunner().invoke(card, [str(tmp_path / "card.png")])
    assert "the card is a PDF; name it card.pdf" in done.output
    assert not list(tmp_path.iterdir())


def test_a_phone_s_own_format_is_read_and_turned() -> None:
    """The same photo as card_flat.jpg, stored on its side as HEIC."""
    flat, held = told(DATA / "card_flat.jpg")["leaves"], told(DATA / "card_turned.heic")["leaves"]
    assert [each["area_mm2"] for each in held] == pytest.approx([each["area_mm2"] for each in flat], rel=0.01)
