"""Choose: one option for each tree of a plain list, for a sum of money, without a fieldbook."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from rootcase.ground.errors import FileError, ImpossibleValue, Missing, UnreadableValue
from rootcase.ground.words import say
from rootcase.science.choice.knapsack import LARGEST, multiple_choice

COLUMNS = ("tree", "option", "cost", "benefit")
NOTHING = 0
"""The option that leaves a tree alone."""
_NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?", re.ASCII)


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


def plain_number(typed: str) -> float | None:
    """A number without a unit, a sign of thousands or a decimal comma; None: it is none.

    >>> plain_number(" 12.50 "), plain_number("1,250"), plain_number("inf"), plain_number("1e999")
    (12.5, None, None, None)
    """
    value = float(typed) if _NUMBER.fullmatch(typed.strip()) else LARGEST * 2
    return value if abs(value) <= LARGEST else None


def _lines(path: Path) -> Iterator[Line]:
    try:
        with path.open(encoding="utf-8-sig", newline="") as text:
            yield from _once(path, csv.reader(text, strict=True, skipinitialspace=True))
    except UnicodeDecodeError:
        raise FileError(say("choose.not_text"), where=str(path), right=say("choose.save_as")) from None
    except csv.Error as error:
        raise FileError(say("choose.not_csv"), where=str(path), value=str(error), right=say("choose.save_as")) from None


def _once(path: Path, reader: Any) -> Iterator[Line]:
    """The lines below the heading, each option of a tree once."""
    head: list[str] = next(reader, [])
    places = _places(path, head)
    met: dict[tuple[int | str, int | str], int] = {}
    for cells in reader:
        if not any(cell.strip() for cell in cells):
            continue
        where = say("choose.row", file=path, row=reader.line_num)
        if len(cells) != len(head):
            raise FileError(say("choose.cells", cells=len(cells), head=len(head)), where=where,
                            value=", ".join(cells), right=say("choose.comma_and_point"))
        line = _line(where, [cells[place].strip() for place in places])
        first = met.setdefault((line.tree, line.option), reader.line_num)
        if first != reader.line_num:
            raise ImpossibleValue(say("choose.twice", first=first), where=where, right=say("choose.once"),
                                  value=say("choose.pair", tree=line.tree, option=line.option))
        yield line


def _places(path: Path, head: list[str]) -> list[int]:
    """Where each of our columns stands."""
    names = [name.strip().lower() for name in head]
    if len(names) == 1 and re.search(r"[;\t]", names[0]):
        raise FileError(say("choose.other_separator"), where=str(path), value=head[0].strip(),
                        right=say("choose.comma_and_point"))
    for name in COLUMNS:
        if names.count(name) != 1:
            told = say("choose.column_twice" if name in names else "choose.no_column", column=name)
            raise FileError(told, where=str(path), value=", ".join(names), right=say("choose.columns"))
    return [names.index(name) for name in COLUMNS]


def _line(where: str, cells: list[str]) -> Line:
    tree, option, *figures = cells
    for name, typed in (("tree", tree), ("option", option)):
        if not typed:
            raise Missing(say("choose.no_name", column=name), where=where, right=say("choose.name_it"))
    numbers = []
    for name, typed in zip(COLUMNS[2:], figures, strict=True):
        number = plain_number(typed)
        if number is None:
            raise UnreadableValue(say("choose.no_number", column=name), where=where, right=say("choose.write_number"),
                                  value=typed or say("choose.nothing_written"))
        if name == "cost" and number < 0:
            raise ImpossibleValue(say("choose.below_zero"), where=where, value=typed, right=say("choose.cost_right"))
        if option == str(NOTHING) and number:
            raise ImpossibleValue(say("choose.not_nothing", column=name), where=where, value=typed,
                                  right=say("choose.nothing_right"))
        numbers.append(number)
    return Line(_name(tree), _name(option), *numbers)


def _name(typed: str) -> int | str:
    """Whole numbers stay numbers, so that they come out as they went in."""
    return int(typed) if re.fullmatch(r"0|-?[1-9]\d{0,14}", typed, re.ASCII) else typed
