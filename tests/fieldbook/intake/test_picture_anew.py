"""A picture drawn anew inside the fence: upright, no larger than need be, without place, time or anything else."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from PIL import Image, ImageChops, ImageStat

from rootcase.fieldbook.intake.fence import picture_anew
from rootcase.ground.errors import FileError

DATA = Path(__file__).parents[2] / "data"
EAST, NORTH = (255, 0, 0), (0, 0, 255)


def two_halves(width: int, height: int) -> Image.Image:
    """Red at the left, blue at the right."""
    image = Image.new("RGB", (width, height), NORTH)
    image.paste(EAST, (0, 0, width // 2, height))
    return image


def with_exif(path: Path, orientation: int) -> Path:
    exif = Image.Exif()
    exif[0x0112], exif[0x010F] = orientation, "SECRET MAKER"
    exif.get_ifd(0x8825)[1], exif.get_ifd(0x8825)[2] = "N", (36.0, 4.0, 21.0)
    two_halves(80, 40).save(path, "JPEG", exif=exif, comment=b"SECRET NOTE", quality=95)
    return path


def test_a_picture_is_upright_and_carries_nothing_else(tmp_path: Path) -> None:
    given = with_exif(tmp_path / "a.jpg", 6)  # the phone was turned: the left half of the file is the upper half
    assert b"SECRET" in given.read_bytes()
    data, size, own = picture_anew(given)
    assert size == own == (40, 80)
    with Image.open(io.BytesIO(data)) as image:
        assert (image.format, image.size, dict(image.getexif())) == ("JPEG", (40, 80), {})
        assert not {"exif", "comment", "icc_profile", "xmp"} & set(image.info)
        top, bottom = image.getpixel((20, 10)), image.getpixel((20, 70))
    assert top[0] > 200 > 60 > top[2]
    assert bottom[2] > 200 > 60 > bottom[0]
    assert b"SECRET" not in data
    assert b"Exif" not in data


def test_a_large_picture_is_made_smaller_and_what_is_seen_through_is_white(tmp_path: Path) -> None:
    clear = Image.new("RGBA", (6000, 1500), (0, 0, 0, 0))
    clear.save(tmp_path / "big.png")
    data, size, own = picture_anew(tmp_path / "big.png")
    assert (size, own) == ((2400, 600), (6000, 1500))
    with Image.open(io.BytesIO(data)) as image:
        assert image.getpixel((3, 3)) == (255, 255, 255)


def test_a_photo_as_phones_keep_it_is_drawn_as_it_was_held(tmp_path: Path) -> None:
    data, size, own = picture_anew(DATA / "card_turned.heic")
    assert size == own == (1600, 1200)
    with Image.open(io.BytesIO(data)) as held, Image.open(DATA / "card_flat.jpg") as flat:
        off = ImageStat.Stat(ImageChops.difference(held, flat)).mean
    assert max(off) < 4
    (tmp_path / "cut.heic").write_bytes((DATA / "card_turned.heic").read_bytes()[:9000])
    with pytest.raises(FileError, match="not a photo"):
        picture_anew(tmp_path / "cut.heic")


@pytest.mark.parametrize("orientation", range(1, 9))
def test_the_size_that_it_had_is_told_as_it_is_looked_at(orientation: int, tmp_path: Path) -> None:
    exif = Image.Exif()
    exif[0x0112] = orientation
    Image.new("RGB", (4800, 2400)).save(tmp_path / "x", "JPEG", exif=exif)
    _, (wide, high), own = picture_anew(tmp_path / "x")
    assert own == (2 * wide, 2 * high) == ((4800, 2400) if orientation < 5 else (2400, 4800))


@pytest.mark.parametrize("mode", ["CMYK", "L", "P", "1", "LA"])
def test_every_way_to_hold_colours_is_taken(mode: str, tmp_path: Path) -> None:
    form = "TIFF" if mode in ("CMYK", "LA") else "PNG"
    Image.new(mode, (30, 20)).save(tmp_path / "x", form)
    assert picture_anew(tmp_path / "x")[1:] == ((30, 20), (30, 20))


@pytest.mark.parametrize("spoil", ["cut", "text", "bomb"])
def test_what_is_no_picture_is_refused_in_one_line(spoil: str, tmp_path: Path) -> None:
    path = tmp_path / "x.png"
    noise = Image.effect_noise((300, 300), 90)
    noise.save(path)
    raw = path.read_bytes()
    if spoil == "bomb":
        Image.new("1", (20_000, 20_000)).save(path)
    else:
        path.write_bytes(raw[:len(raw) // 2] if spoil == "cut" else b"GIF89a, or so it says")
    with pytest.raises(FileError, match=r"is not a photo|too large|more than"):
        picture_anew(path)
