"""A photo's format and size, from its header alone: no pixel is unpacked."""

from __future__ import annotations

import io

from PIL import Image, UnidentifiedImageError

from rootcase.fieldbook.intake.foreign.limits import MB, PIXELS, Refusal

FORMATS = ("JPEG", "PNG", "WEBP", "TIFF", "GIF")


def facts(raw: bytes) -> tuple[str, int, int]:
    """Format, width and height in pixels."""
    Image.MAX_IMAGE_PIXELS = None  # ours is asked below, and says more
    try:
        with Image.open(io.BytesIO(raw), formats=FORMATS) as image:
            form, (width, height) = str(image.format), image.size
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError, EOFError):
        raise Refusal("fence.no_photo", "fence.right_photo") from None
    if width * height > PIXELS:
        raise Refusal("fence.many_pixels", "fence.right_pixels", f"{width:,} x {height:,}", most=PIXELS // MB)
    return form, width, height
