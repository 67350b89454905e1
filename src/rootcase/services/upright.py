"""A photo that is measured: opened within limits, and turned as the camera was held."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from pi_heif import register_heif_opener
from PIL import Image, ImageOps

from rootcase.fieldbook.intake.foreign.limits import MB, PIXELS
from rootcase.fieldbook.intake.foreign.photo import FORMATS
from rootcase.ground.errors import FileError
from rootcase.ground.words import say

Outline = tuple[tuple[float, float], ...]
"""(x, y) of points around something on the upright photo, in pixels from the middle of the upper left one."""

register_heif_opener()


@contextmanager
def upright(file: Path) -> Iterator[Image.Image]:
    """The picture of a photo (JPEG, HEIC, PNG, WebP, TIFF or GIF), upright."""
    Image.MAX_IMAGE_PIXELS = None  # ours is asked below, and says more
    try:
        with Image.open(file, formats=(*FORMATS, "HEIF")) as image:
            width, height = image.size
            if width * height > PIXELS:
                raise FileError(say("fence.many_pixels", most=PIXELS // MB), where=file.name,
                                value=f"{width:,} x {height:,}", right=say("fence.right_pixels"))
            ImageOps.exif_transpose(image, in_place=True)
            yield image
    except (OSError, ValueError, SyntaxError, EOFError):
        raise FileError(say("fence.no_photo"), where=file.name, right=say("fence.right_photo")) from None


def upright_pixels(file: Path) -> NDArray[np.uint8]:
    """Red, green and blue of a photo, upright."""
    with upright(file) as image:
        return np.asarray(image if image.mode == "RGB" else image.convert("RGB"))
