"""The docstring's own example as it would be typed."""

from __future__ import annotations

import importlib
import inspect
from typing import Any

from rootcase.ground.words import say
from rootcase.services.calculators.contract import Calculator
from rootcase.services.calculators.working import flat


def example_pairs(sum_: Calculator) -> dict[str, str]:
    """What the first call of the example asks with, as typed."""
    return {name: typed_as(value) for name, value in _figures(called_with(sum_)[0]).items() if value is not None}


def called_with(sum_: Calculator) -> tuple[dict[str, Any], Any]:
    """Arguments of the example's first call, by name, and what the formula gave."""
    module = importlib.import_module(sum_.module)
    function = getattr(module, sum_.name)
    calls: list[tuple[dict[str, Any], Any]] = []

    def heard(*places: Any, **named: Any) -> Any:
        given = function(*places, **named)
        calls.append((dict(inspect.signature(function).bind(*places, **named).arguments), given))
        return given

    lines = (line[4:] for line in sum_.example.splitlines() if line.startswith((">>> ", "... ")))
    exec("\n".join(lines), {**vars(module), sum_.name: heard})  # our own source, which the tests run too
    return calls[0]


def _figures(arguments: dict[str, Any]) -> dict[str, Any]:
    """A group's figures each by group.figure."""
    found: dict[str, Any] = {}
    for name, value in arguments.items():
        figures = dict(flat(value)) if hasattr(value, "_asdict") else {"": next(flat(value), ("", None))[1]}
        found |= {f"{name}.{figure}".rstrip("."): each for figure, each in figures.items()}
    return found


def typed_as(value: Any) -> str:
    """A value as a person would type it into a sum."""
    if isinstance(value, bool):
        return say("calc.yes" if value else "calc.no")
    if isinstance(value, list | tuple):
        return "; ".join(map(typed_as, value)) + (";" if len(value) == 1 else "")
    short = f"{value:.12g}" if isinstance(value, float) else str(value)
    return short if not isinstance(value, float) or float(short) == value else repr(value)
