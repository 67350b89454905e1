"""Choose: one option for each tree of a plain list, for a sum of money, without a fieldbook."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from rootcase.ground.errors import ImpossibleValue, Missing
from rootcase.ground.words import say
from rootcase.science.choice.knapsack import multiple_choice
from rootcase.services.plain_table import PlainRow, plain_rows

COLUMNS = ("tree", "option", "cost", "benefit")
NOTHING = 0
"""The option that leaves a tree alone."""


@dataclass(frozen=True, slots=True)
class Line:
    """One option of the list."""

    tree: int | str
    option: int | str
    cost: float
    benefit: float


@dataclass(frozen=True, slots=True)
class Choice:
    """What is chosen from a list."""

    total_benefit: float
    total_cost: float
    bound: float
    budget: float
    chosen: tuple[Line, ...]
    """One for each tree, in the order of the list; option 0 where it is left alone."""


def choose_from(path: Path, budget: float) -> Choice:
    """Choose one option a tree from a list (CSV) so that the benefit is largest and the budget holds."""
    lines = list(_lines(path))
    if not lines:
        raise Missing(say("choose.no_rows"), where=str(path), right=say("choose.one_row"))
    numbers = {tree: at for at, tree in enumerate(dict.fromkeys(line.tree for line in lines))}
    found = multiple_choice([numbers[line.tree] for line in lines], [line.cost for line in lines],
                            [line.benefit for line in lines], budget)
    chosen = tuple(lines[row] if row >= 0 else Line(tree, NOTHING, 0.0, 0.0)
                   for tree, row in zip(numbers, found.chosen, strict=True))
    return Choice(found.total_benefit, found.total_cost, found.bound, budget, chosen)


def _lines(path: Path) -> Iterator[Line]:
    """The lines of the list, each option of a tree once."""
    met: dict[tuple[int | str, int | str], int] = {}
    for row in plain_rows(path, COLUMNS):
        line = _line(row)
        first = met.setdefault((line.tree, line.option), row.number)
        if first != row.number:
            raise ImpossibleValue(say("choose.twice", first=first), where=row.where, right=say("choose.once"),
                                  value=say("choose.pair", tree=line.tree, option=line.option))
        yield line


def _line(row: PlainRow) -> Line:
    tree, option = row.name("tree"), row.name("option")
    numbers = []
    for name in COLUMNS[2:]:
        number = row.figure(name)
        if name == "cost" and number < 0:
            raise ImpossibleValue(say("choose.below_zero"), where=row.where, value=row.cells[name],
                                  right=say("choose.cost_right"))
        if option == str(NOTHING) and number:
            raise ImpossibleValue(say("choose.not_nothing", column=name), where=row.where, value=row.cells[name],
                                  right=say("choose.nothing_right"))
        numbers.append(number)
    return Line(_name(tree), _name(option), *numbers)


def _name(typed: str) -> int | str:
    """Whole numbers stay numbers, so that they come out as they went in."""
    return int(typed) if re.fullmatch(r"0|-?[1-9]\d{0,14}", typed, re.ASCII) else typed
