"""How much arithmetic one lane asks for in one day, counted on the day any reader can follow."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import fields, replace
from functools import cache
from typing import Any, ClassVar
from unittest import mock

import numpy as np

from rootcase.science.tree.day_reference import day, full
from rootcase.science.tree.lanes import Lanes, lanes_of
from rootcase.science.tree.parameters import central_parameters
from tests.archetypes import archetypes

# Operations in one call of a ufunc, by kind; a clip is a minimum and a maximum.
KINDS: Mapping[str, tuple[str, ...]] = {
    "add": ("additions",), "subtract": ("additions",), "multiply": ("multiplications",), "divide": ("divisions",),
    "exp": ("exponentials",), "minimum": ("minima or maxima",), "maximum": ("minima or maxima",),
    "clip": ("minima or maxima", "minima or maxima"),
}
NO_ARITHMETIC = frozenset({"negative", "greater", "greater_equal", "less", "less_equal", "bitwise_and", "invert",
                           "logical_and", "logical_or"})
"""Signs and comparisons: where a choice is made, and at the gate that looks at arrays."""


class Counting(np.ndarray):
    """An array that remembers each arithmetic operation on one of its elements."""

    done: ClassVar[Counter[str]] = Counter()

    def __array_ufunc__(self, ufunc: np.ufunc, method: str, *inputs: Any, **given: Any) -> Any:
        plain = [_plain(each) for each in inputs]
        if out := given.get("out"):
            given["out"] = tuple(_plain(each) for each in out)
        answer = getattr(ufunc, method)(*plain, **given)
        if ufunc.__name__ not in NO_ARITHMETIC:
            elements = np.size(answer) if method == "__call__" else np.size(plain[0]) - np.size(answer)
            for kind in KINDS[ufunc.__name__]:
                Counting.done[kind] += elements
        return out[0] if out else np.asarray(answer).view(Counting)

    def __array_function__(self, function: Any, types: Any, inputs: Any, given: Any) -> Any:
        answer = super().__array_function__(function, types, inputs, given)
        return answer.view(Counting) if isinstance(answer, np.ndarray) else answer


def _plain(each: Any) -> Any:
    return each.view(np.ndarray) if isinstance(each, Counting) else each


@cache
def operations_per_lane_day() -> Mapping[str, float]:
    """By kind: additions and subtractions, multiplications, divisions, minima and maxima, exponentials."""
    lanes = lanes_of(archetypes()["woodland clay"], central_parameters())
    lanes = replace(lanes, **{field.name: value.view(Counting) for field in fields(Lanes)
                              if isinstance(value := getattr(lanes, field.name), np.ndarray)})
    Counting.done.clear()
    # The twin's own functions take their arguments as plain arrays; these must not stop counting there.
    with mock.patch.object(np, "asarray", np.asanyarray):
        day(lanes, full(lanes), rain_mm=10.0, et0_mm=4.0, leaf=0.8, irrigation_mm=lanes.irrigation_mm)
    return {kind: times / lanes.count for kind, times in sorted(Counting.done.items())}


def in_all() -> float:
    """All kinds together."""
    return sum(operations_per_lane_day().values())


def told() -> str:
    """The count in words, for the page of a bench of the day."""
    kinds = ", ".join(f"{kind} {times:.0f}" for kind, times in operations_per_lane_day().items())
    return (f"A lane-day asks for {in_all():.0f} operations, counted on the numpy twin ({kinds}); a candidate that "
            "knows when one is not needed leaves it out and is credited with it all the same.")
