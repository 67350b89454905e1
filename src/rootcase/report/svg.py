"""A canvas that writes SVG from numbers: rounded, in a fixed order, its labels checked before the picture is let go."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
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
BURIED = "14 5 2 5"
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
    text = f"{value:.2f}"
    if text[-1] == "0":
        text = text[:-3] if text[-2] == "0" else text[:-1]
        return "0" if text == "-0" else text
    return text


def path_through(points: Iterable[Point], closed: bool = False) -> str:
    """Path data of straight lines through points.

    >>> path_through([(0, -0.001), (12.5, 3), (100, 7.126)], closed=True)
    'M0 0L12.5 3L100 7.13Z'
    """
    data = "L".join([f"{x:.2f} {y:.2f}" for x, y in points]).replace(".00", "")
    if "-0" in data:
        data = _NOUGHT.sub("0", data)
    return f"M{_LAST_ZERO.sub('', data)}Z" if closed else f"M{_LAST_ZERO.sub('', data)}"


_LAST_ZERO = re.compile(r"(?<=\.[1-9])0")
_NOUGHT = re.compile(r"-0(?![.\d])")
_NO_SIGN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
"""No XML holds these (Extensible Markup Language 1.0, 5th edition, W3C 2008, production 2; memory)."""
_QUOTED = str.maketrans({"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "\r": "&#13;", "\n": "&#10;",
                         "\t": "&#09;"})


def _text(words: str) -> str:
    """What somebody typed, as text between tags; signs that no XML holds are written as their code point."""
    if _NO_SIGN.search(words):
        words = _NO_SIGN.sub(lambda sign: f"U+{ord(sign[0]):04X}", words)
    return words.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _tag(name: str, attributes: Mapping[str, str]) -> str:
    """A tag without its end."""
    return f"<{name}" + "".join(f' {key}="{value.translate(_QUOTED)}"' for key, value in attributes.items())


def _runs(words: str, left: float, size: float, weight: Weight) -> str:
    """Words of a label, each run in the face that draws it.

    Runs of two faces are placed one by one: a typesetter left to join them takes a third face for the whole.
    """
    wide = set(wide_signs(words))
    if not wide:
        return _text(words)
    written = ""
    for is_wide, signs in groupby(words, wide.__contains__):
        run = "".join(signs)
        place = {"x": show(left), "text-anchor": "start"} | ({"font-family": f"'{WIDE_FAMILY}'"} if is_wide else {})
        written += f"{_tag('tspan', place)}>{_text(run)}</tspan>"
        left += width_px(run, size, weight)
    return written


class Canvas:
    """Draws in order of reading; `finish` checks every label against the page and against each other."""

    def __init__(self, name: str, width: float) -> None:
        self.name, self.width = name, width
        self._drawn: list[str] = []
        self._defs: dict[str, str] = {}
        self._paints: dict[tuple[object, ...], tuple[str, str]] = {}
        self._labels: list[Label] = []
        self._letters: dict[Weight, set[str]] = {}

    def colour(self, name: str) -> str:
        return PAPER.get(name, name)

    @contextmanager
    def group(self, name: str, **attributes: str) -> Iterator[None]:
        """Marks that belong together; the class is how they are found again."""
        self._drawn.append(_tag("g", {"class": name, **attributes}) + ">")
        yield
        self._drawn.append("</g>")

    def _paint(self, style: Style) -> tuple[str, str]:
        """Attributes that stand before those of the form, and behind them; most marks are painted alike."""
        key = (*style, *style.values())
        found = self._paints.get(key)
        if found is None:
            painted = {"fill": self.colour(style.get("fill", "none"))}
            if "stroke" in style:
                painted |= {"stroke": self.colour(style["stroke"]), "stroke-width": show(style.get("weight", 1.0))}
            for name, attribute in (("dash", "stroke-dasharray"), ("cap", "stroke-linecap"),
                                    ("join", "stroke-linejoin")):
                if name in style:
                    painted[attribute] = str(style[name])  # type: ignore[literal-required]
            if "opacity" in style:
                painted["opacity"] = show(style["opacity"])
            found = self._paints[key] = (_tag("", {"class": style["name"]} if "name" in style else {})[1:],
                                         _tag("", painted)[1:])
        return found

    def rect(self, x: float, y: float, width: float, height: float, **style: Unpack[Style]) -> None:
        name, paint = self._paint(style)
        self._drawn.append(f'<rect{name} x="{show(x)}" y="{show(y)}" width="{show(max(width, 0.0))}" '
                           f'height="{show(max(height, 0.0))}"{paint} />')

    def line(self, x1: float, y1: float, x2: float, y2: float, **style: Unpack[Style]) -> None:
        style.setdefault("stroke", "ink")
        name, paint = self._paint(style)
        self._drawn.append(f'<path{name} d="M{show(x1)} {show(y1)}L{show(x2)} {show(y2)}"{paint} />')

    def path(self, data: str, **style: Unpack[Style]) -> None:
        name, paint = self._paint(style)
        self._drawn.append(f'<path{name} d="{data}"{paint} />')

    def shape(self, points: Sequence[Point], closed: bool = False, **style: Unpack[Style]) -> None:
        name, paint = self._paint(style)
        self._drawn.append(f'<path{name} d="{path_through(points, closed)}"{paint} />')

    def circle(self, x: float, y: float, radius: float, **style: Unpack[Style]) -> None:
        name, paint = self._paint(style)
        self._drawn.append(f'<circle{name} cx="{show(x)}" cy="{show(y)}" r="{show(radius)}"{paint} />')

    def pattern(self, key: str, width: float, height: float, marks: Iterable[tuple[str, dict[str, str]]]) -> str:
        """A hatch, defined once a picture; returns what to fill with."""
        identity = f"{self.name}-{key}"
        if key not in self._defs:
            tile = {"id": identity, "width": show(width), "height": show(height), "patternUnits": "userSpaceOnUse"}
            drawn = "".join(f"{_tag(name, attributes)} />" for name, attributes in marks)
            self._defs[key] = f"{_tag('pattern', tile)}>{drawn}</pattern>"
        return f"url(#{identity})"

    def window(self, x: float, y: float, width: float, height: float) -> str:
        """A clip to a rectangle; returns the value of clip-path."""
        identity = f"{self.name}-window-{len(self._defs)}"
        size = {"x": show(x), "y": show(y), "width": show(width), "height": show(height)}
        self._defs[identity] = f"{_tag('clipPath', {'id': identity})}>{_tag('rect', size)} /></clipPath>"
        return f"url(#{identity})"

    def outside(self, data: str, width: float, height: float, around: float) -> str:
        """A mask that leaves out a closed path and so much round it; returns the value of mask.

        Its black and white are no colours: they say what is seen, on a dark page too.
        """
        identity = f"{self.name}-outside-{len(self._defs)}"
        page = {"x": "0", "y": "0", "width": show(width), "height": show(height)}
        left_out = {"d": data, "fill": "black", "stroke": "black", "stroke-width": show(2 * around),
                    "stroke-linejoin": "round"}
        self._defs[identity] = (
            f"{_tag('mask', {'id': identity, 'maskUnits': 'userSpaceOnUse', **page})}>"
            f"{_tag('rect', {**page, 'fill': 'white'})} />{_tag('path', left_out)} /></mask>")
        return f"url(#{identity})"

    def image(self, href: str, width: float, height: float, matrix: Sequence[float]) -> None:
        """A picture of the person's own, turned and laid by the six numbers of a matrix."""
        placed = {"href": href, "width": show(width), "height": show(height), "preserveAspectRatio": "none",
                  "transform": f"matrix({' '.join(f'{part:.6g}' for part in matrix)})"}
        self._drawn.append(f"{_tag('image', placed)} />")

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
        before, paint = self._paint({"fill": fill, "name": name} if name else {"fill": fill})
        self._drawn.append(
            f'<text{before} x="{show(x)}" y="{show(y)}" font-size="{show(size)}" font-weight="{weight}" '
            f'text-anchor="{anchor}"{paint}>{_runs(words, left, size, weight)}</text>')
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
        size = {"width": show(self.width), "height": show(height)}
        root = {"xmlns": "http://www.w3.org/2000/svg", "viewBox": f"0 0 {size['width']} {size['height']}", **size,
                "role": "img", "aria-labelledby": f"{self.name}-title {self.name}-alt",
                "font-family": f"'{FAMILY}',Verdana,sans-serif", "style": "font-feature-settings:'tnum'"}
        page = {"class": "page", **size, "fill": self.colour("paper")}
        written = "".join((
            f"{_tag('svg', root)}>", *(f"{_tag(tag, {'id': f'{self.name}-{key}'})}>{_text(words)}</{tag}>"
                                       for tag, key, words in (("title", "title", title), ("desc", "alt", alt))),
            f"<defs>{''.join(self._defs.values())}</defs>" if self._defs else "<defs />", f"{_tag('rect', page)} />",
            *self._drawn, "</svg>"))
        letters = tuple((weight, "".join(sorted(signs))) for weight, signs in sorted(self._letters.items()))
        return Picture(written.encode(), self.width, height, alt, title, letters,
                       tuple(self._faults(height)))

    def _faults(self, height: float) -> Iterator[str]:
        touching = _touching(self._labels)
        for i, label in enumerate(self._labels):
            if (label.left < _EDGE or label.top < _EDGE or label.right > self.width - _EDGE
                    or label.bottom > height - _EDGE):
                yield f"{self.name}: {label.text!r} leaves the page"
            for j in sorted(touching.get(i, ())):
                yield f"{self.name}: {label.text!r} lies on {self._labels[j].text!r}"


def _touching(labels: Sequence[Label]) -> Mapping[int, Sequence[int]]:
    """Of each label the later ones that it touches, found going down the page: few stand at one height."""
    found: dict[int, list[int]] = {}
    here: list[int] = []
    for i in sorted(range(len(labels)), key=lambda i: labels[i].top):
        here = [j for j in here if labels[j].bottom > labels[i].top]
        for j in here:
            if labels[i].touches(labels[j]):
                found.setdefault(min(i, j), []).append(max(i, j))
        here.append(i)
    return found
