"""A picture inside a page: its colours those of the page, light or dark, its ids its own, no style but the sheet's."""

from __future__ import annotations

import re
from functools import partial

from markupsafe import Markup

from rootcase.report.palette import PAPER
from rootcase.report.svg import Picture

_TAG = re.compile("<[^>]+>")
"""Text and attributes hold no angle brackets of their own: the canvas writes them as entities."""
_COLOUR = re.compile('"(#[0-9A-F]{6})"')
_NAMED = re.compile(r'(?<= id=")|(?<= aria-labelledby=")|(?<=-title )|(?<=url\(#)')
_OF_THE_SHEET = re.compile(' (?:style|font-family)="[^"]*"')
_VARIABLES = {colour: f'"var(--{name.replace("_", "-")})"' for name, colour in PAPER.items()}


def embedded(picture: Picture, key: str = "") -> Markup:
    """The picture for a page that holds it once; a page with more of its kind gives each a key."""
    root, *rest = re.split("(?=<title)", picture.bare.decode(), maxsplit=1)
    svg = "".join((_OF_THE_SHEET.sub("", root), *rest))
    return Markup(_TAG.sub(partial(_themed, key), svg))


def both(wide: Picture, phone: Picture, key: str = "") -> Markup:
    """Two layouts of one picture; the sheet shows the one that there is room for."""
    return Markup('<div class="wide">{}</div><div class="phone">{}</div>').format(
        embedded(wide, key), embedded(phone, key))


def _themed(key: str, tag: re.Match[str]) -> str:
    painted = _COLOUR.sub(lambda colour: _VARIABLES[colour[1]], tag[0])
    return _NAMED.sub(f"{key}-", painted) if key else painted
