"""The colours, each with one meaning, and the contrast they must keep.

Named after what dyers and scribes took from plants. Colour only repeats what form and word have said already.
Contrast is relative luminance as in Web Content Accessibility Guidelines 2.2, W3C 2023 (memory).
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from rootcase.science.photo.stored import linear_light

PAPER: Mapping[str, str] = MappingProxyType({
    "paper": "#FFFFFF", "mist": "#F1F2EF", "ink": "#1A1C24", "slate": "#474B57", "rule": "#80858E", "hair": "#D3D6D8",
    "forest": "#125C4E", "forest_middle": "#4F8F7C", "forest_tint": "#CFE3DA", "leaf": "#B9D6C6",
    "madder": "#98241A", "madder_tint": "#E9C3BC", "woad": "#14467F", "woad_middle": "#5E96CB", "woad_tint": "#C7DBEE",
    "weld": "#F2C230", "walnut": "#4A3426", "humus": "#B99E80", "loam": "#DCC9B0", "clay": "#DDC3AE", "sand": "#EADFCB",
})
"""Screen in daylight and print: the light colours on white, safe on a grey printer."""

DUSK: Mapping[str, str] = MappingProxyType({
    "paper": "#14161C", "mist": "#1F222B", "ink": "#F2F1EC", "slate": "#B9BCC6", "rule": "#868B97", "hair": "#353944",
    "forest": "#5CC7AE", "forest_middle": "#2F7465", "forest_tint": "#1D4038", "leaf": "#29574B",
    "madder": "#FF937F", "madder_tint": "#5A2A24", "woad": "#8AC0F5", "woad_middle": "#3F78AD", "woad_tint": "#20394F",
    "weld": "#F2C230", "walnut": "#C9A98C", "humus": "#54422F", "loam": "#4A3D2F", "clay": "#53392B", "sand": "#3A332A",
})
"""The same names on the dark page, for reading at dusk."""

TEXT_CONTRAST = 7.0


def contrast(first: str, second: str) -> float:
    """Return the contrast of two #RRGGBB colours, 1 to 21.

    >>> round(contrast("#FFFFFF", "#1A1C24"), 1)
    17.0
    """
    light, dark = sorted((_luminance(first), _luminance(second)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _luminance(colour: str) -> float:
    red, green, blue = linear_light([int(colour[i:i + 2], 16) / 255 for i in (1, 3, 5)])
    return float(0.2126 * red + 0.7152 * green + 0.0722 * blue)
