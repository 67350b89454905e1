"""What the page of a photo of hyphae shows: its lines over it, those deleted, those drawn by hand."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

from rootcase.ground.errors import RootcaseError
from rootcase.ground.quantity import number
from rootcase.ground.words import say
from rootcase.records.make.slide import PhotoLength
from rootcase.services.hyphae import HyphaePhoto, OverlayLine
from rootcase.services.slide_photos import drawn_lines

MOST_LISTED = 1000
"""A form takes no more; the shortest are not listed."""
_NUMBERED = 150
"""More numbers on a photo hide it. JUDGEMENT."""


def gone_of(typed: Mapping[str, str], count: int) -> tuple[int, ...]:
    """Places of the lines that are ticked."""
    ticked = {name.removeprefix("gone.") for name, told in typed.items() if name.startswith("gone.") and told}
    return tuple(sorted(int(each) for each in ticked if each.isascii() and each.isdigit() and len(each) < 7
                        and int(each) < count))


def photo_told(photo: PhotoLength) -> str:
    """What a photo holds, in words."""
    said = {"length": number(photo.length_mm, 3), "low": number(photo.low_mm, 3), "high": number(photo.high_mm, 3),
            "area": number(photo.area_mm2, 3)}
    if photo.mended_mm is None:
        return say("slide.photo.line", **said)
    return say("slide.photo.mended", mended=number(photo.mended_mm, 3), **said)


def photo_shown(photo: PhotoLength, found: HyphaePhoto, gone: Collection[int], drawn: str) -> dict[str, Any]:
    """A photo, its lines and those drawn by hand."""
    longest = sorted(range(len(found.lines)), key=lambda at: -found.lines[at].length_um)[:MOST_LISTED]
    lines = [_line(at, found.lines[at], at in gone) for at in sorted(longest)]
    return {"finding": photo_told(photo), "doubt": found.doubt, "width": found.width_px,
            "height": found.height_px, "lines": lines,
            "letter": max(12, found.width_px // 55), "numbered": len(lines) <= _NUMBERED, "hand": _hand(drawn, found),
            "fewer": say("slide.photo.fewer", most=MOST_LISTED, count=len(found.lines))
            if len(found.lines) > MOST_LISTED else ""}


def _line(at: int, line: OverlayLine, gone: bool) -> dict[str, Any]:
    x, y = line.points_px[len(line.points_px) // 2]
    key = "slide.photo.number" if line.seen else "slide.photo.bridged"
    return {"at": at, "points": " ".join(f"{x:g},{y:g}" for x, y in line.points_px), "x": round(x), "y": round(y),
            "gone": gone, "kind": "seen" if line.seen else "bridged",
            "label": say(key, number=at + 1, length=number(line.length_um, 3))}


def _hand(drawn: str, found: HyphaePhoto) -> list[str]:
    """Lines drawn by hand, as far as they can be read."""
    try:
        return [" ".join(f"{x:g},{y:g}" for x, y in line)
                for line in drawn_lines(drawn, found.width_px, found.height_px)]
    except RootcaseError:
        return []
