"""Our typeface and the wide face behind it: how wide words are, which signs both lack, what a picture carries along.

Atkinson Hyperlegible Next 2.001, SIL Open Font Licence 1.1 (fonts/OFL.txt); figures are set at one width.
"""

from __future__ import annotations

import base64
import io
import re
import unicodedata
from functools import cache, lru_cache
from importlib.resources import files
from typing import Literal

from fontTools import subset
from fontTools.ttLib import TTFont

from rootcase.report.wide_face import WIDE_FAMILY, wide_advances, wide_part

FAMILY = "Atkinson Hyperlegible Next"
Weight = Literal[400, 700]
_FILES: dict[Weight, str] = {400: "AtkinsonHyperlegibleNext-Regular.ttf", 700: "AtkinsonHyperlegibleNext-Bold.ttf"}
_ELLIPSIS = "…"
_EVERYDAY = "".join(map(chr, range(32, 127))) + "\xa0·–−×°²³½¼¾’…"
"""Signs every picture carries, so that most pictures share one part of the font, cut once."""


def font_bytes(weight: Weight) -> bytes:
    """The whole font as TTF."""
    return files("rootcase.report").joinpath("fonts", _FILES[weight]).read_bytes()


@cache
def _advances(weight: Weight) -> dict[str, float]:
    """Advance of each sign in ems; every figure is as wide as the tabular figures are."""
    font = TTFont(io.BytesIO(font_bytes(weight)))
    metrics, cmap = font["hmtx"], font.getBestCmap()
    unit = float(font["head"].unitsPerEm)
    advances = {chr(code): metrics[name][0] / unit for code, name in cmap.items()}
    return advances | dict.fromkeys("0123456789", advances["0"])


def width_px(text: str, size: float, weight: Weight = 400) -> float:
    """Width of a line of text; kerning is left out, so it errs to the wide side.

    >>> width_px("29 %", 100) == width_px("38 %", 100), width_px("\u202e", 100) == width_px("U+202E", 100)
    (True, True)
    """
    return size * sum(_advance(sign, weight) for sign in text)


def _advance(sign: str, weight: Weight) -> float:
    """Advance in ems, of what both faces lack as it is printed; the wide one is opened only for what ours lacks."""
    known = _advances(weight)
    if sign in known:
        return known[sign]
    wide = wide_advances()
    return wide[sign] if sign in wide else sum(known[each] for each in _code_point(sign))


def printable(text: str) -> str:
    """Return the text with every sign that neither face draws written as its code point.

    >>> printable("楓 4 🫠, Łódź")
    '楓 4 U+1FAE0, Łódź'
    """
    return "".join(_code_point(sign) if _lacks(sign) else sign for sign in _composed(text))


def lacking(text: str) -> tuple[str, ...]:
    """Return the signs of a text that neither face draws, each once, in order.

    >>> lacking("楓 🫠 🫠")
    ('🫠',)
    """
    return tuple(dict.fromkeys(sign for sign in _composed(text) if _lacks(sign)))


def wide_signs(text: str) -> str:
    """Return the signs of a text that only the wide face draws, each once, sorted.

    >>> wide_signs("楓 4 Дуб")
    'Дбу楓'
    """
    return "".join(sorted(sign for sign in set(text) - _advances(400).keys() if sign in wide_advances()))


def _code_point(sign: str) -> str:
    return f"U+{ord(sign):04X}"


def _lacks(sign: str) -> bool:
    return sign not in _advances(400) and sign not in wide_advances()


def _composed(text: str) -> str:
    """Letters joined with their accents, gaps of any kind as one space; a space that holds words together stays."""
    return unicodedata.normalize("NFC", re.sub(r"[^\S\xa0]+", " ", text))


def fitted(text: str, width: float, size: float, weight: Weight = 400) -> str:
    """Return the text, shortened with an ellipsis where it is wider than its room."""
    if width_px(text, size, weight) <= width:
        return text
    kept = text
    while kept and width_px(kept + _ELLIPSIS, size, weight) > width:
        kept = kept[:-1].rstrip()
    return kept + _ELLIPSIS


def wrapped(text: str, width: float, size: float, weight: Weight = 400, most: int = 99) -> list[str]:
    """Break a text into at most so many lines of a width; what does not fit is shortened.

    >>> wrapped("Not explained by the soil", 100, 14)
    ['Not explained', 'by the soil']
    """
    lines: list[str] = []
    for word in text.split(" "):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width_px(longer, size, weight) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    if len(lines) > most:
        lines = [*lines[:most - 1], " ".join(lines[most - 1:])]
    return [fitted(line, width, size, weight) for line in lines]


def font_face(weight: Weight, letters: str) -> str:
    """Return a CSS rule that carries the part of our font these letters need, beside the everyday ones."""
    return _font_face(weight, "".join(sorted(set(letters) & _advances(weight).keys() - set(_EVERYDAY))))


def wide_font_face(letters: str) -> str:
    """Return the same of the wide face, empty where ours draws all; its one weight serves both."""
    signs = wide_signs(letters)
    return _rule(WIDE_FAMILY, "400 700", TTFont(io.BytesIO(wide_part(signs)), recalcTimestamp=False)) if signs else ""


@lru_cache(maxsize=64)
def _font_face(weight: Weight, rare: str) -> str:
    options = subset.Options(flavor="woff2", layout_features=["tnum", "kern", "ccmp"], notdef_outline=True)
    font = TTFont(io.BytesIO(font_bytes(weight)), recalcTimestamp=False)
    subsetter = subset.Subsetter(options)
    subsetter.populate(text=_EVERYDAY + rare)
    subsetter.subset(font)
    return _rule(FAMILY, str(weight), font)


def _rule(family: str, weights: str, font: TTFont) -> str:
    font.flavor = "woff2"
    packed = io.BytesIO()
    font.save(packed)
    data = base64.b64encode(packed.getvalue()).decode("ascii")
    return (f"@font-face{{font-family:'{family}';font-weight:{weights};"
            f"src:url(data:font/woff2;base64,{data}) format('woff2')}}")
