"""What is told on a command line as name=value, and what is wrong with it."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from rootcase.ground.errors import ImpossibleValue, UnreadableValue
from rootcase.ground.words import say

_MATERIAL = ("moisture", "nitrogen", "cn", "density", "have", "cost")
"""Figures of a material of a recipe."""
_PART = (*_MATERIAL, "bought_from", "lot")


def read_cells(typed: tuple[str, ...], about: str, names: Collection[str]) -> dict[str, str]:
    """What was typed, by the name of what is asked."""
    found = {}
    for pair in typed:
        field, equal, value = pair.partition("=")
        if not equal or field not in names:
            raise UnreadableValue(say("rates.no_name", sum=about), value=pair,
                                  right=say("rates.right_pair", names=", ".join(names)))
        if field in found:
            raise UnreadableValue(say("rates.twice", name=field), value=pair, right=say("rates.right_twice"))
        found[field] = value
    return found


def slide_cells(method: str, typed: tuple[str, ...], more: tuple[str, ...] = ()) -> dict[str, str]:
    """A slide as it was typed; a ; parts what would be lines on the page. more: what is asked besides its count."""
    from rootcase.services.slide_form import ASKS, METHODS, ROWS

    known = {name: name for name in METHODS if name != "photos"}
    if method not in known:
        raise UnreadableValue(say("slide.no_method"), value=method, right=say("readings.or").join(known))
    counts = [f"counts.{group}" for group in ROWS] if method == "sieve" else ["counts"]
    names = [*counts, *(ask.name for ask in ASKS[known[method]]), "counted", "constant", *more]
    return {"method": method} | {name: value.replace(";", "\n")
                                 for name, value in read_cells(typed, say("slide.this_method"), names).items()}


def materials_cells(materials: Sequence[str], *, of_heap: bool = False) -> dict[str, str]:
    """leaves=100 lb,moisture=40 as cells, the first as material 1; of_heap: its amount is there, and bought_from and
    lot may be."""
    from rootcase.services.recipe import ROWS

    if len(materials) > ROWS:
        raise UnreadableValue(say("recipe.too_many"), value=str(len(materials)),
                              right=say("recipe.right_many", most=ROWS))
    cells = {}
    for number, typed in enumerate(materials, 1):
        cells |= _material(number, typed, of_heap)
    return cells


def _material(number: int, typed: str, of_heap: bool) -> dict[str, str]:
    first, *more = typed.split(",")
    feedstock, _, amount = first.partition("=")
    if of_heap and not amount.strip():
        raise UnreadableValue(say("recipe.nothing_there"), value=typed, right=say("recipe.right_amount"))
    cells = {f"{number}.feedstock": feedstock, f"{number}.amount": amount}
    for pair in more:
        name, equal, value = pair.partition("=")
        if not equal or name not in (_PART if of_heap else _MATERIAL):
            raise UnreadableValue(say("recipe.no_pair"), value=pair, right=say("recipe.right_pair"))
        cells[f"{number}.{name}"] = value
    return cells


def require_none(wrong: Mapping[str, str]) -> None:
    """Raise in one line what a service found wrong, by field; under no name what is wrong with all of it."""
    if wrong:
        raise ImpossibleValue("; ".join(f"{field}: {told}" if field else told for field, told in wrong.items()))
