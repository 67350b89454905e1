"""A slide in words: the fields still needed, the finding, the numbers, and what it does not show."""

from __future__ import annotations

from dataclasses import dataclass
from math import isinf

from rootcase.ground.dates import show_date
from rootcase.ground.quantity import number
from rootcase.ground.words import say
from rootcase.records.make.slide import BesideYardstick, ObserverError, Slide, SlideCount, Span

_LARGE = {"trillion": 1e12, "billion": 1e9, "million": 1e6}
SIGNS_SHOWN = 8
"""How much of the end of an id is shown, and names a slide."""


@dataclass(frozen=True, slots=True)
class SlideWords:
    """A slide in words, in the order in which it is read."""

    finding: str
    needed: str
    """Fields still needed, which come first; empty where that cannot be said."""
    lines: tuple[str, ...]
    not_shown: str


def slide_told(slide: Slide, count: SlideCount) -> SlideWords:
    """What a slide comes to, in words."""
    first = count.numbers[-1]
    finding = say("slide.told.finding", counted=_begun(slide.counted), span=span_told(first, count))
    return SlideWords(finding, _needed(count), tuple(_lines(slide, count)), say("slide.told.not_shown",
                                                                               what=count.not_shown))


def span_told(span: Span, count: SlideCount) -> str:
    """A value with its ends: 2.1 billion per g (1.8 billion to 2.5 billion)."""
    value, low, high = (figure_told(end) for end in (span.value, span.low, span.high))
    unit = say(f"slide.unit.{span.unit.replace('/', '_')}")
    if count.mended and count.scatter == "photo":
        return say("slide.told.plain", value=value, unit=unit)
    key = count.bound or ("none" if count.scatter == "none seen" else "span")
    return say(f"slide.told.{key}", value=value, low=low, high=high, unit=unit)


def figure_told(value: float) -> str:
    """A figure of three digits, of the large ones in words.

    >>> figure_told(12.34), figure_told(2.115e9), figure_told(9.999e6), figure_told(float("inf"))
    ('12.3', '2.12 billion', '10 million', 'no end')
    """
    if isinf(value):
        return say("slide.told.no_end")
    name = next((name for name, size in _LARGE.items() if value >= size), "")
    return say(f"slide.told.{name}", value=number(value / _LARGE[name], 3)) if name else number(value, 3)


def beside_told(beside: BesideYardstick) -> str:
    """Why a slide of yardstick soil may not be set beside; empty where it may."""
    return say("slide.told.and").join(say(f"slide.why_not.{why}") for why in beside.why_not)


def beside_line(other: Slide, count: SlideCount | None, beside: BesideYardstick) -> str:
    """A slide of yardstick soil beside this one, or why it may not be set beside."""
    row = row_told(other, count)
    why_not = beside_told(beside)
    return say("slide.told.not_beside", row=row, why=why_not) if why_not else say("slide.told.beside", row=row)


def row_told(slide: Slide, count: SlideCount | None) -> str:
    """A slide in a line."""
    return f"{name_told(slide)}: {number_told(count)} · {about_told(slide)}"


def name_told(slide: Slide) -> str:
    """What was counted, and of what."""
    return say("slide.told.name", counted=slide.counted, source=source_told(slide))


def number_told(count: SlideCount | None) -> str:
    """Its number with its ends, the last that the slide gives."""
    return span_told(count.numbers[-1], count) if count else say("slide.told.no_number")


def about_told(slide: Slide) -> str:
    """When, how and by whom it was counted, and how it is found again."""
    return say("slide.told.about", day=show_date(slide.day), method=say(f"slide.method.{slide.method}"), by=slide.by,
               id=slide.id[-SIGNS_SHOWN:])


def source_told(slide: Slide) -> str:
    """What a slide was made of."""
    return say(f"slide.source.{slide.source}", name=slide.source_called)


def observer_told(error: ObserverError | None) -> str:
    """What blind repeats say of the counting."""
    if error is None:
        return say("slide.told.no_repeats")
    return say("slide.told.repeats", pairs=error.pairs, cv=number(error.cv_pct, 2), bias=_signed(error.bias),
               low=_signed(error.bias_low), high=_signed(error.bias_high))


def constant_told(name: str) -> str:
    """The source of a constant of biomass, by the table's name for it."""
    return say(f"slide.constant.{name.replace('.', '_')}")


def _needed(count: SlideCount) -> str:
    within = f"{100 * count.aimed_at:.0f}"
    if count.still_needed is None:
        return say("slide.told.pilot") if count.method not in ("tubes", "photos") else ""
    return say("slide.told.enough", within=within) if not count.still_needed else say(
        "slide.told.needed", count=count.still_needed, within=within)


def _lines(slide: Slide, count: SlideCount) -> list[str]:
    lines = [say("slide.told.per", span=span_told(each, count)) for each in count.numbers[:-1]]
    lines.append(say(f"slide.scatter.{count.scatter.replace(' ', '_')}", fields=count.fields, counted=count.counted))
    if count.plain_mean is not None and count.per_field is not None:
        lines.append(say("slide.told.rings", plain=number(count.plain_mean, 3), ring=number(count.per_field.value, 3)))
    if count.mended:
        lines.append(say("slide.told.mended"))
    lines += [say("slide.told.mass", of=_begun(say(f"slide.of.{each.of}")), span=span_told(each.mass, count),
                  constant=constant_told(each.constant)) for each in count.weighed]
    lines += [say("slide.told.group", group=_begun(say(f"slide.group.{each.group}")), counted=each.counted,
                  share=f"{100 * each.share:.0f}", low=f"{100 * each.low:.0f}", high=f"{100 * each.high:.0f}")
              for each in count.groups]
    if slide.method == "sieve" and slide.figure("recovery") is None:
        lines.append(say("slide.told.extracted"))
    if count.rarity is not None and count.rarity < 1e-4:
        lines.append(say("slide.told.odd"))
    return lines


def _signed(value: float) -> str:
    return f"{'−' if value < 0 else '+'}{number(abs(value), 2)}"


def _begun(text: str) -> str:
    """As a line begins."""
    return text[:1].upper() + text[1:]
