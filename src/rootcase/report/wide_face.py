"""The wide face behind our typeface: for what people type in signs that ours lacks, never for words of our own.

UnifontEX 15.0.06, SIL Open Font Licence 1.1 (fonts/OFL-UnifontEX.txt). It is drawn on a grid of 16 dots and has no
shaping: Arabic stays unjoined, Indic scripts unordered. What leaves here is a part of it, which may not bear the
reserved name and so has its own.
"""

from __future__ import annotations

import io
import unicodedata
from collections.abc import Mapping
from functools import cache, lru_cache
from importlib.resources import files
from types import MappingProxyType

from fontTools import subset
from fontTools.ttLib import TTFont, newTable
from fontTools.ttLib.tables.DefaultTable import DefaultTable

WIDE_FAMILY = "Rootcase Wide"
_NEEDED = ("head", "hhea", "maxp", "OS/2", "hmtx", "cmap", "loca", "glyf", "name")
_COPYRIGHT, _FAMILY, _STYLE, _FULL, _POSTSCRIPT, _LICENCE = 0, 1, 2, 4, 6, 13


@cache
def wide_advances() -> Mapping[str, float]:
    """Advance in ems of every sign the wide face draws; what has no shape of its own is not among them.

    >>> wide_advances()["Д"], wide_advances()["楓"], "\\u200b" in wide_advances()
    (0.5, 1.0, False)
    """
    font = _opened()
    metrics, unit = font["hmtx"], float(font["head"].unitsPerEm)
    return MappingProxyType({chr(code): metrics[name][0] / unit for code, name in font.getBestCmap().items()
                             if _has_shape(chr(code))})


@lru_cache(maxsize=16)
def wide_part(signs: str) -> bytes:
    """Return the part of the wide face that draws these signs, as TTF."""
    font = _opened()
    options = subset.Options(layout_features=[], notdef_outline=True, glyph_names=False,
                             name_IDs=[_COPYRIGHT, _FAMILY, _STYLE, _FULL, _POSTSCRIPT, _LICENCE])
    subsetter = subset.Subsetter(options)
    subsetter.populate(text=signs)
    subsetter.subset(font)
    for name in font["name"].names:
        if name.nameID in (_FAMILY, _FULL, _POSTSCRIPT):
            name.string = WIDE_FAMILY.replace(" ", "") if name.nameID == _POSTSCRIPT else WIDE_FAMILY
    font["name"].names.sort()
    font["post"] = _nameless()
    packed = io.BytesIO()
    font.save(packed)
    return packed.getvalue()


def _nameless() -> DefaultTable:
    """What no browser opens a font without, though it says nothing; nor does one open it with its names in disorder."""
    table = newTable("post")
    table.formatType = 3.0
    for field in ("italicAngle", "underlinePosition", "underlineThickness", "isFixedPitch", "minMemType42",
                  "maxMemType42", "minMemType1", "maxMemType1"):
        setattr(table, field, 0)
    return table


def _opened() -> TTFont:
    """The face as it was published, tables nobody here reads left shut."""
    data = files("rootcase.report").joinpath("fonts", "UnifontEX-Regular.woff").read_bytes()
    font = TTFont(io.BytesIO(data), lazy=True, recalcTimestamp=False)
    font.flavor = None
    for tag in sorted(set(font.keys()) - {*_NEEDED, "GlyphOrder"}):
        del font[tag]
    return font


def _has_shape(sign: str) -> bool:
    return unicodedata.category(sign)[0] in "LMNPS" and not unicodedata.name(sign, "").startswith("VARIATION SELECTOR")
