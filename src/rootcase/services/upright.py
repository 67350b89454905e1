"""A photo that is measured: opened within limits, and turned as the camera was held."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from io import BytesIO
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from pi_heif import register_heif_opener
from PIL import Image, ImageCms, ImageOps

from rootcase.fieldbook.intake.foreign.limits import MB, PIXELS
from rootcase.fieldbook.intake.foreign.photo import FORMATS
from rootcase.ground.errors import FileError
from rootcase.ground.words import say

Outline = tuple[tuple[float, float], ...]
"""(x, y) of points around something on the upright photo, in pixels from the middle of the upper left one."""

_PROBE = Image.fromarray(np.stack(np.meshgrid(*[np.arange(0, 256, 51, np.uint8)] * 3), -1).reshape(36, 6, 3))
"""Colors all over the cube: where a profile leaves them as they are, a large picture need not be turned."""

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
    """Red, green and blue of a photo, upright, as sRGB has them where the photo says what its own are."""
    with upright(file) as image:
        if image.mode.startswith(("I", "F")):
            raise FileError(say("photo.deep"), where=file.name, right=say("photo.right_deep"))
        return np.asarray(_in_srgb(image))


def _in_srgb(image: Image.Image) -> Image.Image:
    """Phones store colors of their own, often duller numbers for the same color, and say so in a profile."""
    plain = image if image.mode == "RGB" else image.convert("RGB")
    profile = image.info.get("icc_profile")
    if profile:
        with suppress(ImageCms.PyCMSError, OSError):  # one that is broken or for another kind of picture says nothing
            if image.mode != "RGB" or np.abs(np.subtract(_turned(_PROBE, profile), _PROBE, dtype=np.int16)).max() > 1:
                return _turned(image, profile)
    return plain


def _turned(image: Image.Image, profile: bytes) -> Image.Image:
    own = ImageCms.ImageCmsProfile(BytesIO(profile))
    turned = ImageCms.profileToProfile(image, own, ImageCms.createProfile("sRGB"), outputMode="RGB")
    assert turned is not None  # asked for a picture of its own
    return turned
