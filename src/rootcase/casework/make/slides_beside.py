"""A slide beside those of yardstick soil, and an observer beside himself."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from rootcase.records.make.slide import BesideYardstick, ObserverError, Slide
from rootcase.science.microscope.observer import repeat_error

SAME_WEEK_DAYS = 7
CONFIDENCE = 0.95


def slides_beside(slide: Slide, others: Sequence[Slide]) -> tuple[BesideYardstick, ...]:
    """Beside which slides of yardstick soil may a slide be set?

    Parameters
    ----------
    slide : to be set beside.
    others : all slides of the practice.

    Returns
    -------
    for each slide of yardstick soil, newest first, why it may not be set beside; nothing: it may.

    Raises
    ------
    Nothing.

    Notes
    -----
    Only what one observer counted by one method with the same constants in the same week lies side by side. There is
    no desired range and no ratio.

    References
    ----------
    JUDGEMENT: differences between observers, methods and constants are larger than those between soils.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from datetime import date
    >>> one = Slide(id="a", method="fields", source="batch", source_id="b", counted="bacteria", by="rs",
    ...             day=date(2016, 5, 3), rows=())
    >>> slides_beside(one, [replace(one, id="y", source="yardstick", by="jk")])[0].why_not
    ('operator',)
    """
    found = sorted((each for each in others if each.source == "yardstick" and each.id != slide.id
                    and not each.repeat_of), key=lambda each: (each.day, each.id), reverse=True)
    return tuple(BesideYardstick(each.id, _why_not(slide, each)) for each in found)


def _why_not(slide: Slide, other: Slide) -> tuple[Literal["method", "operator", "constant", "counted", "week"], ...]:
    asked: tuple[tuple[Literal["method", "operator", "constant", "counted", "week"], bool], ...] = (
        ("method", slide.method == other.method),
        ("operator", slide.by == other.by),
        ("constant", slide.constant == other.constant),
        ("counted", slide.counted.casefold() == other.counted.casefold()),
        ("week", abs((slide.day - other.day).days) <= SAME_WEEK_DAYS),
    )
    return tuple(name for name, same in asked if not same)


def observer_error(slides: Sequence[Slide], by: str, method: str) -> ObserverError | None:
    """How far do two counts of the same fields lie apart, the second made blind?

    Parameters
    ----------
    slides : all slides of the practice.
    by : code of the observer.
    method : by which was counted.

    Returns
    -------
    ObserverError [1], [%]; None where there are not two fields counted twice, or nothing was in them.

    Raises
    ------
    OutOfRange : a count leaves its range.

    Notes
    -----
    A repeat counts the same fields in the same order; where it has fewer, those it has. Never in a number's interval:
    it stands beside.

    References
    ----------
    `repeat_error`.

    Examples
    --------
    >>> observer_error([], "rs", "fields") is None
    True
    """
    by_id = {each.id: each for each in slides}
    pairs = [(one, two) for again in slides
             if again.repeat_of in by_id and again.by == by_id[again.repeat_of].by == by and again.method == method
             for first, second in zip(by_id[again.repeat_of].rows, again.rows, strict=False)
             for one, two in zip(first.counts, second.counts, strict=False)]
    if len(pairs) < 2 or not any(one or two for one, two in pairs):
        return None
    found = repeat_error([one for one, _ in pairs], [two for _, two in pairs], CONFIDENCE)
    return ObserverError(len(pairs), found.sd, found.cv_pct, found.bias, found.bias_low, found.bias_high)
