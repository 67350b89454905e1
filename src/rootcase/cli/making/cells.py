"""What is told on a command line as name=value, and what is wrong with it."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from rootcase.ground.errors import ImpossibleValue, UnreadableValue
from rootcase.ground.words import say


def read_cells(typed: tuple[str, ...], about: str, names: Collection[str]) -> dict[str, str]:
    """What was typed, by the name of what is asked."""
    found = {}
    for pair in typed:
        field, equal, value = pair.partition("=")
        if not equal or field not in names:
            raise UnreadableValue(say("rates.no_name", sum=about), value=pair,
                                  right=say("rates.right_pair", names=", ".join(names)))
        found[field] = value
    return found


def require_none(wrong: Mapping[str, str]) -> None:
    """Raise in one line what a service found wrong, by field; under no name what is wrong with all of it."""
    if wrong:
        raise ImpossibleValue("; ".join(f"{field}: {told}" if field else told for field, told in wrong.items()))
