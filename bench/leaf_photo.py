"""Leaves and a crown on photos of 12 million pixels, from the file: ours, and only reading the JPEG by Pillow."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from tempfile import mkdtemp

from PIL import Image

from bench.work import Work
from rootcase.services.canopy_photo import canopy_in
from rootcase.services.leaf_photo import leaves_in
from rootcase.services.upright import upright_pixels

PHOTOS = Path(__file__).parents[1] / "tests" / "data"
SIZE = (4000, 3000)


def about() -> Work:
    return Work(what="The drawn card of three leaves at 30 degrees and the drawn crown, each enlarged to 4000 x 3000 "
                     "pixels and kept as a JPEG of quality 90. One thread.",
                unit="pixel", units=SIZE[0] * SIZE[1], yardsticks=("Pillow, reading the JPEG",))


def run() -> Mapping[str, Callable[[], object]]:
    folder = Path(mkdtemp(prefix="rootcase-bench-"))
    leaf, crown = (_enlarged(PHOTOS / name, folder) for name in ("card_tilt30.jpg", "canopy_clear.jpg"))
    return {
        "Pillow, reading the JPEG": lambda: upright_pixels(leaf),
        "ours, photo to leaves": lambda: leaves_in(leaf),
        "ours, photo to sky": lambda: canopy_in(crown),
    }


def _enlarged(photo: Path, folder: Path) -> Path:
    with Image.open(photo) as image:
        image.resize(SIZE, Image.Resampling.BICUBIC).save(folder / photo.name, quality=90)
    return folder / photo.name
