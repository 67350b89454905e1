"""A photo's format and size, from its header alone; and the picture in it drawn anew, without all else it carries."""

from __future__ import annotations

import io
from base64 import b64encode

from PIL import ExifTags, Image, ImageOps, UnidentifiedImageError

from rootcase.fieldbook.intake.foreign.limits import MB, MEMORY_BYTES, PIXELS, SIDE_PX, Refusal

FORMATS = ("JPEG", "PNG", "WEBP", "TIFF", "GIF")
_ON_ITS_SIDE = (5, 6, 7, 8)
"""Exif 2.32 (CIPA DC-008), 4.6.4 A, Orientation: the rows of the file are columns of the picture (memory)."""


def facts(raw: bytes) -> tuple[str, int, int]:
    """Format, width and height in pixels."""
    with _opened(raw) as image:
        return str(image.format), *image.size


def drawn_anew(raw: bytes) -> tuple[str, tuple[int, int], tuple[int, int]]:
    """The picture as a JPEG (in base64), upright, no side longer than it need be, and nothing else: no place, no time.

    Behind it width and height in pixels, as drawn anew and as they were, both upright.
    """
    try:
        with _opened(raw) as image:
            own = image.size[::-1] if image.getexif().get(ExifTags.Base.Orientation, 1) in _ON_ITS_SIDE else image.size
            image.draft("RGB", (SIDE_PX, SIDE_PX))
            image.thumbnail((SIDE_PX, SIDE_PX))
            upright = ImageOps.exif_transpose(image)
            upright = upright.convert("RGBA" if upright.has_transparency_data else "RGB")
            plain = Image.new("RGB", upright.size, "white")
            plain.paste(upright, mask=upright if upright.mode == "RGBA" else None)
    except MemoryError:
        raise Refusal("fence.memory", "fence.right_pixels", most=MEMORY_BYTES // 2**20) from None
    except (OSError, ValueError, SyntaxError, EOFError):
        raise Refusal("fence.no_photo", "fence.right_photo") from None
    made = io.BytesIO()
    plain.save(made, "JPEG", quality=82, optimize=True, progressive=True)
    return b64encode(made.getvalue()).decode("ascii"), plain.size, own


def _opened(raw: bytes) -> Image.Image:
    """A picture whose pixels are not unpacked yet."""
    Image.MAX_IMAGE_PIXELS = None  # ours is asked below, and says more
    try:
        image = Image.open(io.BytesIO(raw), formats=_formats(raw))
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError, EOFError):
        raise Refusal("fence.no_photo", "fence.right_photo") from None
    width, height = image.size
    if width * height > PIXELS:
        raise Refusal("fence.many_pixels", "fence.right_pixels", f"{width:,} x {height:,}", most=PIXELS // MB)
    return image


def _formats(raw: bytes) -> tuple[str, ...]:
    """HEIC, as phones keep photos, has a reader of its own, and only where it looks like one (ISO 14496-12, 4.3)."""
    if raw[4:8] != b"ftyp":
        return FORMATS
    from pi_heif import register_heif_opener

    register_heif_opener()
    return (*FORMATS, "HEIF")
