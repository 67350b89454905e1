"""A canvas that writes SVG from numbers: rounded, in a fixed order, its labels checked before the picture is let go."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import groupby
from typing import Literal, TypedDict, Unpack

from rootcase.report.lettering import (
    FAMILY,
    Weight,
    font_face,
    printable,
    wide_font_face,
    wide_signs,
    width_px,
    wrapped,
)
from rootcase.report.palette import PAPER, TEXT_CONTRAST, contrast
from rootcase.report.wide_face import WIDE_FAMILY

Anchor = Literal["start", "middle", "end"]
Point = tuple[float, float]

COMPUTED = "7 4"
NOT_KNOWN = "1.6 4.4"
SMALLEST_PX = 11.0
_EDGE = 2.0
_TOUCH = 1.0
_ASCENT, _DESCENT = 0.74, 0.22
LINE_HEIGHT = 1.32


class LayoutError(RuntimeError):
    """A label is too small or too faint whatever was read: the drawing code is wrong."""


class Style(TypedDict, total=False):
    """How a mark is painted; colours are names of the palette or url(#...)."""

    fill: str
    stroke: str
    weight: float
    dash: str
    cap: str
    join: str
    opacity: float
    name: str
    """Class of the mark, by which tests and readers find it."""


@dataclass(frozen=True, slots=True)
class Label:
    left: float
    top: float
    right: float
    bottom: float
    text: str

    def touches(self, other: Label) -> bool:
        return (self.left < other.right - _TOUCH and other.left < self.right - _TOUCH
                and self.top < other.bottom - _TOUCH and other.top < self.bottom - _TOUCH)


@dataclass(frozen=True, slots=True)
class Picture:
    """A finished picture, its words for those who do not see it, and the letters it is set in."""

    bare: bytes
    """SVG without the font, for a page that has the typeface itself."""
    width: float
    height: float
    alt: str
    title: str
    letters: tuple[tuple[Weight, str], ...]
    faults: tuple[str, ...] = ()
    """Labels that lie on another or leave the page: an error in every test, while a client still gets the report."""

    @property
    def svg(self) -> bytes:
        """SVG that stands alone: it carries the part of the font it needs."""
        faces = "".join(font_face(weight, letters) for weight, letters in self.letters)
        faces += wide_font_face("".join(letters for _, letters in self.letters))
        return self.bare.replace(b"<defs", f"<style>{faces}</style><defs".encode(), 1)


def show(value: float) -> str:
    """Write a number for SVG with at most two decimals.

    >>> show(12.0), show(1 / 3), show(-0.001)
    ('12', '0.33', '0')
    """
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def path_through(points: Iterable[Point], closed: bool = False) -> str:
    """Path data of straight lines through points."""
    return "M" + "L".join(f"{show(x)} {show(y)}" for x, y in points) + ("Z" if closed else "")


def _write(element: ET.Element, words: str, left: float, size: float, weight: Weight) -> None:
    """Put words into a label, each run in the face that draws it.

    Runs of two faces are placed one by one: a typesetter left to join them takes a third face for the whole.
    """
    wide = set(wide_signs(words))
    if not wide:
        element.text = words
        return
    for is_wide, signs in groupby(words, wide.__contains__):
        run = "".join(signs)
        place = {"x": show(left), "text-anchor": "start"} | ({"font-family": f"'{WIDE_FAMILY}'"} if is_wide else {})
        ET.SubElement(element, "tspan", place).text = run
        left += width_px(run, size, weight)


class Canvas:
    """Draws in order of reading; `finish` checks every label against the page and against each other."""

    def __init__(self, name: str, width: float) -> None:
        self.name, self.width = name, width
        self._root = ET.Element("g")
        self._open = [self._root]
        self._defs: dict[str, ET.Element] = {}
        self._labels: list[Label] = []
        self._letters: dict[Weight, set[str]] = {}

    def colour(self, name: str) -> str:
        return PAPER.get(name, name)

    @contextmanager
    def group(self, name: str, **attributes: str) -> Iterator[None]:
        """Marks that belong together; the class is how they are found again."""
        self._open.append(ET.SubElement(self._open[-1], "g", {"class": name, **attributes}))
        yield
        self._open.pop()

    def _draw(self, tag: str, attributes: dict[str, str], style: Style) -> ET.Element:
        if "name" in style:
            attributes = {"class": style["name"], **attributes}
        attributes["fill"] = self.colour(style.get("fill", "none"))
        if "stroke" in style:
            attributes |= {"stroke": self.colour(style["stroke"]), "stroke-width": show(style.get("weight", 1.0))}
        for key, attribute in (("dash", "stroke-dasharray"), ("cap", "stroke-linecap"), ("join", "stroke-linejoin")):
            if key in style:
                attributes[attribute] = str(style[key])  # type: ignore[literal-required]
        if "opacity" in style:
            attributes["opacity"] = show(style["opacity"])
        return ET.SubElement(self._open[-1], tag, attributes)

    def rect(self, x: float, y: float, width: float, height: float, **style: Unpack[Style]) -> None:
        size = {"width": show(max(width, 0.0)), "height": show(max(height, 0.0))}
        self._draw("rect", {"x": show(x), "y": show(y), **size}, style)

    def line(self, x1: float, y1: float, x2: float, y2: float, **style: Unpack[Style]) -> None:
        painted: Style = {"stroke": "ink", **style}
        self._draw("path", {"d": f"M{show(x1)} {show(y1)}L{show(x2)} {show(y2)}"}, painted)

    def path(self, data: str, **style: Unpack[Style]) -> None:
        self._draw("path", {"d": data}, style)

    def shape(self, points: Sequence[Point], closed: bool = False, **style: Unpack[Style]) -> None:
        self.path(path_through(points, closed), **style)

    def circle(self, x: float, y: float, radius: float, **style: Unpack[Style]) -> None:
        self._draw("circle", {"cx": show(x), "cy": show(y), "r": show(radius)}, style)

    def pattern(self, key: str, width: float, height: float, marks: Iterable[tuple[str, dict[str, str]]]) -> str:
        """A hatch, defined once a picture; returns what to fill with."""
        identity = f"{self.name}-{key}"
        if key not in self._defs:
            tile = ET.Element("pattern", {"id": identity, "width": show(width), "height": show(height),
                                          "patternUnits": "userSpaceOnUse"})
            for tag, attributes in marks:
                ET.SubElement(tile, tag, attributes)
            self._defs[key] = tile
        return f"url(#{identity})"

    def window(self, x: float, y: float, width: float, height: float) -> str:
        """A clip to a rectangle; returns the value of clip-path."""
        key = f"window-{len(self._defs)}"
        clip = ET.Element("clipPath", {"id": f"{self.name}-{key}"})
        ET.SubElement(clip, "rect", {"x": show(x), "y": show(y), "width": show(width), "height": show(height)})
        self._defs[key] = clip
        return f"url(#{self.name}-{key})"

    def text(self, x: float, y: float, words: str, size: float = 14, *, weight: Weight = 400, fill: str = "ink",
             anchor: Anchor = "start", on: str = "paper", plate: bool = False, name: str = "") -> float:
        """One line of text; `plate` lays paper under it. Returns where it ends."""
        if not words:
            return x
        words = printable(words)
        if size < SMALLEST_PX:
            raise LayoutError(f"{self.name}: {words!r} is {size} px, the smallest is {SMALLEST_PX:g}")
        if contrast(self.colour(fill), self.colour(on)) < TEXT_CONTRAST:
            raise LayoutError(f"{self.name}: {words!r} in {fill} on {on} is too faint")
        self._letters.setdefault(weight, set()).update(words)
        length = width_px(words, size, weight)
        left = x - {"start": 0.0, "middle": length / 2, "end": length}[anchor]
        self._labels.append(Label(left, y - size * _ASCENT, left + length, y + size * _DESCENT, words))
        if plate:
            self.rect(left - 4, y - size * 0.92, length + 8, size * 1.28, fill="paper", name="plate")
        element = self._draw("text", {"x": show(x), "y": show(y), "font-size": show(size), "font-weight": str(weight),
                                      "text-anchor": anchor}, {"fill": fill, **({"name": name} if name else {})})
        _write(element, words, left, size, weight)
        return left + length

    def lines(self, x: float, y: float, lines: Sequence[str], size: float = 14, *, weight: Weight = 400,
              fill: str = "ink", anchor: Anchor = "start", line_height: float = LINE_HEIGHT) -> float:
        """Lines one under the other; returns the baseline the next one would have."""
        for i, words in enumerate(lines):
            self.text(x, y + i * size * line_height, words, size, weight=weight, fill=fill, anchor=anchor)
        return y + len(lines) * size * line_height

    def paragraph(self, x: float, y: float, words: str, width: float, size: float = 14, *, weight: Weight = 400,
                  fill: str = "ink", most: int = 99, line_height: float = LINE_HEIGHT) -> float:
        """A text broken to a width; returns the baseline the next line would have."""
        return self.lines(x, y, wrapped(printable(words), width, size, weight, most), size, weight=weight, fill=fill,
                          line_height=line_height)

    def finish(self, height: float, title: str, alt: str) -> Picture:
        """Hand out the picture, with what does not fit named in its faults."""
        height = round(height)
        root = ET.Element("svg", {
            "xmlns": "http://www.w3.org/2000/svg", "viewBox": f"0 0 {show(self.width)} {show(height)}",
            "width": show(self.width), "height": show(height), "role": "img",
            "aria-labelledby": f"{self.name}-title {self.name}-alt",
            "font-family": f"'{FAMILY}',Verdana,sans-serif", "style": "font-feature-settings:'tnum'"})
        for tag, key, words in (("title", "title", title), ("desc", "alt", alt)):
            ET.SubElement(root, tag, {"id": f"{self.name}-{key}"}).text = words
        ET.SubElement(root, "defs").extend(self._defs.values())
        ET.SubElement(root, "rect", {"class": "page", "width": show(self.width), "height": show(height),
                                     "fill": self.colour("paper")})
        root.extend(self._root)
        letters = tuple((weight, "".join(sorted(signs))) for weight, signs in sorted(self._letters.items()))
        return Picture(ET.tostring(root, encoding="utf-8"), self.width, height, alt, title, letters,
                       tuple(self._faults(height)))

    def _faults(self, height: float) -> Iterator[str]:
        for i, label in enumerate(self._labels):
            if (label.left < _EDGE or label.top < _EDGE or label.right > self.width - _EDGE
                    or label.bottom > height - _EDGE):
                yield f"{self.name}: {label.text!r} leaves the page"
            for other in self._labels[i + 1:]:
                if label.touches(other):
                    yield f"{self.name}: {label.text!r} lies on {other.text!r}"
