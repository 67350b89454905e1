"""What the pages of a tree's measured photos show: figures in words, and what was found over the picture."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

from rootcase.casework.tree_photo import photo_readings
from rootcase.ground.errors import RootcaseError
from rootcase.ground.quantity import number, show, show_interval
from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord, System
from rootcase.records.tree_photo import LeafOnCard, TreePhoto
from rootcase.report.text.depths import stretch_told
from rootcase.services.canopy_photo import CanopyPhoto
from rootcase.services.leaf_photo import LeafPhoto
from rootcase.services.soil_photo import SoilPhoto, spans_told
from rootcase.services.tree_photos import is_kept, leaves_left_out, outlines, place_px, readings_of_photo

_AREA = ("in2", "cm2")
_LETTER = 40
"""Of the picture's width, a number on it. JUDGEMENT"""


def ticked(typed: Mapping[str, str], count: int) -> tuple[int, ...]:
    """Places of what is ticked as left out."""
    found = {name.removeprefix("gone.") for name, told in typed.items() if name.startswith("gone.") and told}
    return tuple(sorted(int(each) for each in found if each.isascii() and each.isdigit() and len(each) < 7
                        and int(each) < count))


def photo_row(photo: TreePhoto) -> str:
    """What a photo says, in a line of a list."""
    if photo.crown:
        return say("photos.row_crown", share=show(photo.crown.gap_share, "1", "us"))
    if photo.soil:
        return say("photos.row_soil", chip=photo.soil.chip, state=photo.soil.state)
    return say("photos.row_leaves", count=len(photo.leaves)) if photo.leaves else say("photos.row_no_leaves")


def kept_told(record: PropertyRecord, photo: TreePhoto) -> dict[str, Any]:
    """Its readings as they stand, and whether they are what it says now."""
    came = readings_of_photo(record, photo)
    return {"came": came, "kept": is_kept(record, photo), "says": bool(photo_readings(photo))}


def leaves_shown(photo: TreePhoto, found: LeafPhoto, ticks: Collection[int] | None, drawn: str,
                 system: System) -> dict[str, Any]:
    """The leaves that count, and those found on the picture; ticks: of a form that was refused, else None."""
    gone, lost = leaves_left_out(photo, found) if ticks is None else (ticks, 0)
    greens = sum(leaf.dark_green is not None for leaf in photo.leaves)
    return {"finding": say("photos.leaves.finding", count=len(photo.leaves)) if photo.leaves
            else say("photos.leaves.finding_none"),
            "rows": [_row(leaf, system) for leaf in photo.leaves], "warnings": photo.warnings, "lost": lost,
            "any_green": bool(greens) or not photo.leaves, "width": found.width_px, "height": found.height_px,
            "letter": max(12, found.width_px // _LETTER),
            "found": [_found(at, leaf.area_mm2, leaf.outline_px, at in gone, system)
                      for at, leaf in enumerate(found.leaves) if not leaf.by_hand],
            "hand": _hand(drawn, (found.width_px, found.height_px))}


def crown_shown(photo: TreePhoto, found: CanopyPhoto, drawn: str) -> dict[str, Any]:
    """The share of sky, and where it was found on the picture."""
    assert photo.crown is not None  # of a crown
    return {"finding": say("photos.crown.finding", share=show(photo.crown.gap_share, "1", "us")),
            "span": show_interval(photo.crown.low_share, photo.crown.high_share, "1", "us"),
            "warnings": photo.warnings, "lost": 0, "width": found.width_px, "height": found.height_px,
            "hand": _hand(drawn, (found.width_px, found.height_px))}


def soil_shown(photo: TreePhoto, found: SoilPhoto, drawn: str, system: System) -> dict[str, Any]:
    """The nearest chip and the likeliest, and where the soil was measured."""
    soil = photo.soil
    assert soil is not None  # of soil
    shares = ", ".join(say("photo.soil.share", chip=each.chip, pct=f"{100 * each.likely_share:.0f}")
                       for each in soil.near)
    stretch = stretch_told(soil.from_m, soil.to_m, system)
    depth = say("photos.soil.depth", depth=stretch) if stretch else ""
    return {"finding": say("photos.soil.finding", chip=soil.chip, state=soil.state),
            "near": say("photos.soil.near", shares=shares),
            "span": say("photos.soil.span", **spans_told(found)),
            "taken": say("photos.soil.told", spot=soil.spot, depth=depth),
            "warnings": photo.warnings, "lost": 0, "width": found.width_px, "height": found.height_px,
            "spot": found.spot_px, "hand": _pointed(drawn, (found.width_px, found.height_px))}


def _pointed(drawn: str, size_px: tuple[int, int]) -> list[str]:
    try:
        place = place_px(drawn, size_px)
    except RootcaseError:
        return []
    return [_points((place, place))] if place else []


def _row(leaf: LeafOnCard, system: System) -> dict[str, Any]:
    return {"number": leaf.number, "by_hand": leaf.by_hand, "area": show(leaf.area_mm2, "mm2", system, _AREA, 3),
            "span": show_interval(leaf.low_mm2, leaf.high_mm2, "mm2", system, _AREA, 3),
            "green": say("photos.leaves.not_green") if leaf.dark_green is None else number(leaf.dark_green, 2)}


def _found(at: int, area_mm2: float, outline: tuple[tuple[float, float], ...], gone: bool,
           system: System) -> dict[str, Any]:
    across, down = zip(*outline, strict=True)
    return {"at": at, "points": _points(outline), "gone": gone, "x": round((min(across) + max(across)) / 2),
            "y": round((min(down) + max(down)) / 2),
            "label": say("photos.leaves.one", number=at + 1, area=show(area_mm2, "mm2", system, _AREA, 3))}


def _hand(drawn: str, size_px: tuple[int, int]) -> list[str]:
    """Outlines drawn by hand, as far as they can be read."""
    try:
        return [_points(outline) for outline in outlines(drawn, size_px)]
    except RootcaseError:
        return []


def _points(outline: tuple[tuple[float, float], ...]) -> str:
    return " ".join(f"{x:g},{y:g}" for x, y in outline)
