"""The signs all pictures share: the span, the hatches, loss and gain, the not known, the scale, the head."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from rootcase.ground.quantity import System, number, with_unit
from rootcase.ground.units import convert
from rootcase.ground.words import say
from rootcase.records.estimate import Estimate
from rootcase.report.lettering import wrapped
from rootcase.report.svg import COMPUTED, LINE_HEIGHT, NOT_KNOWN, Canvas

Layout = Literal["wide", "column", "phone"]
MINUS = "\N{MINUS SIGN}"
HOLD = "\N{NO-BREAK SPACE}"
"""Between a number and its unit, which no line may part."""


@dataclass(frozen=True, slots=True)
class Axis:
    """A straight scale: a value's place on the page."""

    zero: float
    """Where 0 stands, px."""
    step: float
    """px for one unit; below zero where the page's y runs against the value."""

    def at(self, value: float) -> float:
        return self.zero + self.step * value


def span(canvas: Canvas, estimate: Estimate, axis: Axis, across: float, *, upright: bool = False, shift: float = 0.0,
         sign: float = 1.0, radius: float = 5.0, halo: bool = True, ends: tuple[float, float] = (-1e9, 1e9)) -> None:
    """Thin line: nine in ten; thick line: one in two; ring: best estimate.

    `shift` and `sign` put a loss at the place it is taken from; `ends` cuts the lines at the frame of the picture.
    """
    def at(value: float) -> float:
        return axis.at(min(max(shift + sign * value, ends[0]), ends[1]))

    def line(first: float, last: float, weight: float, stroke: str, name: str) -> None:
        points = (across, first, across, last) if upright else (first, across, last, across)
        canvas.line(*points, stroke=stroke, weight=weight, name=name)

    outer, inner = (at(estimate.low), at(estimate.high)), (at(estimate.inner_low), at(estimate.inner_high))
    with canvas.group("span"):
        if halo:
            out = 2.0 if outer[1] > outer[0] else -2.0
            line(outer[0] - out, outer[1] + out, 7, "paper", "halo")
            line(inner[0] - out, inner[1] + out, 12, "paper", "halo")
        line(*outer, 2.5, "ink", "nine-in-ten")
        line(*inner, 7.5, "ink", "one-in-two")
        mean = at(estimate.mean)
        canvas.circle(*((across, mean) if upright else (mean, across)), radius, fill="paper", stroke="ink", weight=2.5,
                      name="best")


def span_key(canvas: Canvas, x: float, y: float, words: str, size: float = 13) -> float:
    """The sample of a span with its words; returns where they end."""
    span(canvas, Estimate(44, 44, 0, 88, 24, 64), Axis(x, 1.0), y - 4, halo=False)
    return canvas.text(x + 100, y, words, size, fill="slate")


def line_key(canvas: Canvas, x: float, y: float, gap: float = 20, size: float = 13) -> float:
    """Solid is read, dashed is computed, dotted is not known; returns where the next key may stand."""
    for dash, key in (("", "read"), (COMPUTED, "computed"), (NOT_KNOWN, "not_known")):
        if dash:
            canvas.line(x, y - 4, x + 30, y - 4, weight=2, dash=dash)
        else:
            canvas.line(x, y - 4, x + 30, y - 4, weight=2)
        x = canvas.text(x + 37, y, say(f"picture.{key}"), size, fill="slate") + gap
    return x


def loss(canvas: Canvas, x: float, y: float, width: float, height: float) -> None:
    canvas.rect(x, y, width, height, fill="madder", name="loss")


def gain(canvas: Canvas, x: float, y: float, width: float, height: float) -> None:
    canvas.rect(x, y, width, height, fill="forest_tint")
    canvas.rect(x, y, width, height, fill=hatch(canvas, "up", "forest"), opacity=0.7)
    canvas.rect(x, y, width, height, stroke="forest", weight=2.2, name="gain")


def left_over(canvas: Canvas, x: float, y: float, width: float, height: float) -> None:
    canvas.rect(x, y, width, height, fill="mist", stroke="rule", weight=1.4, dash=COMPUTED, name="left")


def remedy_bar(canvas: Canvas, x: float, y: float, width: float, height: float) -> None:
    """What we do: weld, cased in ink."""
    canvas.rect(x, y, width, height, fill="weld", stroke="ink", weight=1.8, name="remedy")


def unknown(canvas: Canvas, x: float, y: float, width: float, height: float, sentences: list[str], size: float = 13,
            name: str = "unknown") -> None:
    """The place of a thing that is not known: dotted, blank, its words inside; words that find no room stay out."""
    canvas.rect(x, y, width, height, fill="paper", stroke="ink", weight=1.6, dash=NOT_KNOWN, cap="round", name=name)
    unknown_words(canvas, x, y, width, height, sentences, size)


def unknown_words(canvas: Canvas, x: float, y: float, width: float, height: float, sentences: list[str],
                  size: float) -> None:
    """The first sentence bold, the others what would settle it, in the middle of their room."""
    lines = [(line, i == 0) for i, words in enumerate(sentences) for line in wrapped(words, width - 8, size, 700)]
    lines = lines[:max(0, int((height - 4) / (size * LINE_HEIGHT)))]
    top = y + height / 2 - (len(lines) - 1) * size * LINE_HEIGHT / 2 + size * 0.3
    for i, (line, first) in enumerate(lines):
        canvas.text(x + width / 2, top + i * size * LINE_HEIGHT, line, size, weight=700 if first else 400,
                    fill="ink" if first else "slate", anchor="middle")


def scale_bar(canvas: Canvas, x: float, y: float, px_per_m: float, longest_px: float, system: System,
              size: float = 13) -> None:
    """Two bars on one zero: filled for metres, hollow for feet, both of a round length."""
    metres = _round_length(longest_px / px_per_m)
    feet = _round_length(longest_px / px_per_m / convert(1, "ft", "m"))
    wide = metres * px_per_m, feet * convert(1, "ft", "m") * px_per_m
    with canvas.group("scale", **{"data-metres": f"{metres:g}", "data-feet": f"{feet:g}"}):
        canvas.rect(x, y - 5, wide[0], 4, fill="ink", name="metres")
        canvas.rect(x, y + 1, wide[1], 4, fill="paper", stroke="ink", weight=1.2, name="feet")
        end = x + max(wide) + 8
        canvas.text(end, y - 1, with_unit(f"{metres:g}", "m"), size)
        canvas.text(end, y + size + 1, with_unit(f"{feet:g}", "ft"), size)


def _round_length(longest: float) -> float:
    """The longest of 1, 2, 5 x 10^n that is no longer than this."""
    power = 0.001
    while power * 10 <= longest:
        power *= 10
    return next(round(k * power, 6) for k in (5, 2, 1) if k * power <= longest)


def head(canvas: Canvas, finding: str, under: str, margin: float, width: float, *, size: float = 27,
         under_size: float = 16, top: float = 46) -> float:
    """The finding as a sentence, and what it is of; returns the baseline below."""
    y = canvas.paragraph(margin, top, finding, width, size, weight=700, most=4, line_height=1.16)
    y += under_size * 0.9 - size * 0.42
    return canvas.paragraph(margin, y, under, width, under_size, fill="slate", most=5)


def both(value: float | None, unit: str, system: System, us: str, metric: str) -> tuple[str, str]:
    """A quantity in the reader's unit and, in brackets, in the other: whole numbers, one figure below 1.

    >>> both(0.13, "m", "us", "in", "cm"), both(0.0094, "m", "metric", "in", "mm"), both(None, "m", "us", "in", "cm")
    (('5\xa0in', '(13\xa0cm)'), ('9\xa0mm', '(0.4\xa0in)'), ('not known', ''))
    """
    if value is None:
        return say("picture.not_known"), ""

    def written(to: str) -> str:
        amount = convert(value, unit, to)
        return with_unit(f"{amount:,.0f}" if amount >= 0.95 else number(amount, 1), to).replace(" ", HOLD)

    first, second = (us, metric) if system == "us" else (metric, us)
    return written(first), f"({written(second)})"


def in_both(value: float | None, unit: str, system: System, us: str, metric: str) -> str:
    """A quantity in both systems as one phrase.

    >>> in_both(0.13, "m", "us", "in", "cm").replace(HOLD, " "), in_both(None, "m", "us", "in", "cm")
    ('5 in (13 cm)', 'not known')
    """
    return " ".join(both(value, unit, system, us, metric)).strip()


def short(label: str) -> str:
    """A name for the alternative text, at most six words of it.

    >>> short("oak 4"), short("the old oak by the second gate")
    ('oak 4', 'the old oak by the second…')
    """
    words = label.split()
    return " ".join(words[:6]) + ("…" if len(words) > 6 else "")


def points(value: float) -> str:
    """A change in points as it is printed: a sign, and no sign before zero.

    >>> points(-33.4), points(0.2), points(19)
    ('−33', '0', '+19')
    """
    whole = round(value)
    return "0" if whole == 0 else f"+{whole:,}" if whole > 0 else f"{MINUS}{-whole:,}"


def points_interval(first: float, last: float) -> str:
    """Both ends of a change, the smaller first.

    >>> points_interval(-55, 3)
    '−55 to +3'
    """
    low, high = points(min(first, last)), points(max(first, last))
    return low if low == high else say("quantity.interval", low=low, high=high)


def hatch(canvas: Canvas, key: str, ink: str = "walnut") -> str:
    """A hatch of the vocabulary; soils as soil maps draw them: sand dots, silt dash and dot, clay dashes."""
    colour = canvas.colour(ink)

    def dot(x: float, y: float) -> tuple[str, dict[str, str]]:
        return "circle", {"cx": f"{x:g}", "cy": f"{y:g}", "r": "0.9", "fill": colour}

    def stroke(data: str, weight: float = 1.1) -> tuple[str, dict[str, str]]:
        return "path", {"d": data, "fill": "none", "stroke": colour, "stroke-width": f"{weight:g}",
                        "stroke-linecap": "round"}

    width, height, marks = {
        "sand": (14, 14, [dot(3, 3), dot(10, 6), dot(5, 11), dot(12, 12.5)]),
        "sandy_loam": (22, 20, [dot(3, 3), dot(11, 5), dot(18, 2), dot(6, 11), dot(15, 13), dot(20, 9), dot(2, 17),
                                stroke("M9 17h6")]),
        "loam": (24, 20, [dot(3, 4), stroke("M9 4h7"), dot(20, 9), stroke("M2 13h7"), dot(14, 13), dot(21, 17)]),
        "silt": (24, 18, [stroke("M2 4h6"), dot(11, 4), stroke("M14 13h6"), dot(4, 13), dot(21, 4)]),
        "clay_loam": (24, 14, [stroke("M1 3h11"), dot(17, 3), stroke("M12 10h11"), dot(5, 10)]),
        "clay": (24, 10, [stroke("M1 2.5h14"), stroke("M13 7.5h11"), stroke("M0 7.5h3")]),
        "humus": (20, 16, [stroke("M2 3l3 3l3-3"), stroke("M12 11l3 3l3-3"), dot(14, 4), dot(5, 13)]),
        "mulch": (22, 14, [stroke("M2 4l8-2M13 3l7 3M4 11l7 2M15 12l6-3", 2.2)]),
        "litter": (20, 9, [stroke("M1 3q4-3 8 0M11 7q4-3 8 0", 1.5)]),
        "paving": (12, 12, [stroke("M-2 14L14-2M-8 8L8-8M4 20L20 4", 1.2)]),
        "water": (22, 12, [stroke("M0 4q5.5-4 11 0t11 0", 1.3)]),
        "turf": (18, 16, [stroke("M4 6v-4M2.5 6v-3M5.5 6v-3M13 14v-4M11.5 14v-3M14.5 14v-3", 0.9)]),
        "wood": (26, 26, [("circle", {"cx": "7", "cy": "7", "r": "4.5", "fill": "none", "stroke": colour}),
                          ("circle", {"cx": "20", "cy": "20", "r": "4.5", "fill": "none", "stroke": colour})]),
        "bed": (14, 14, [stroke("M1 4h5M8 11h5")]),
        "up": (16, 14, [stroke("M3 10l5-6l5 6", 1.5)]),
        "past": (8, 8, [stroke("M0 8L8 0", 0.8)]),
    }[key]
    return canvas.pattern(f"{key}-{ink}", width, height, marks)


TEXTURE_HATCH = {
    "sand": ("sand", "sand"), "loamy_sand": ("sand", "sand"), "sandy_loam": ("sand", "sandy_loam"),
    "loam": ("loam", "loam"), "silt_loam": ("loam", "silt"), "silt": ("loam", "silt"),
    "sandy_clay_loam": ("clay", "clay_loam"), "clay_loam": ("clay", "clay_loam"),
    "silty_clay_loam": ("clay", "clay_loam"), "sandy_clay": ("clay", "clay"),
    "silty_clay": ("clay", "clay"), "clay": ("clay", "clay"),
}
"""Tint and hatch of each texture class; the hatch alone tells two of them apart."""
HUMUS_PCT = 4.0
"""From here a layer is drawn dark, as rich in humus. JUDGEMENT."""
