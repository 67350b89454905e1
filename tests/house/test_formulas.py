"""No formula is written twice: the same expression up to its names stands in one module of the tree.

Held are expressions with a constant of their own (no 0, 1, 2, 10, 100, 1000) or a function of mathematics, and of
some size: what is shorter is arithmetic. The compiled day of weather and its readable twin are two on purpose.
"""

from __future__ import annotations

import ast
import re
from collections import defaultdict
from collections.abc import Iterator
from copy import deepcopy
from functools import cache
from pathlib import Path

import pytest

SOURCE = Path(__file__).parents[2] / "src" / "rootcase"
PARTS = ("ground", "records", "tables", "science", "casework", "fieldbook", "report", "services", "web", "cli")
PLAIN = {0.0, 0.5, 1.0, 2.0, 4.0, 10.0, 100.0, 1000.0, 1e-9, 1e-6}
MATHEMATICS = {"sum", "mean", "median", "std", "var", "sqrt", "exp", "log", "log2", "log10", "sin", "cos", "tan",
               "arcsin", "ppf", "gammaln"}
WRAPS = {"asarray", "array", "float"}
LEAST_SIZE = 3
MAY_RECKON = re.compile(r"[\w)\]] (?:[*/]|\*\*) [\w(]|\*\*\d|\bpi\b")
"""A file without a product, a ratio or a power has no formula."""
TWINS = {"science/water/reference_et_compiled.py", "science/tree/_day", "science/tree/day_compiled.py"}
"""Compiled beside readable; tests hold them to each other."""
ALIKE_BY_CHANCE = {
    "v0 * exp(v1 * v2)", "v0 * exp(-v1 * v2)", "v0 * sqrt(v1 + v2)", "log(v0 / v1) / v2", "v0 / v1 * exp(v2)",
    "v0 * v1 / sqrt(v2)", "log(v0) - log(v1)", "1.0 - exp(-v0 / v1)", "cos(v0) * cos(v1)", "v0 + v1 * sin(v2)",
    "v0 + v1 * cos(v2)", "sqrt(v0 * v0 + v1 * v1)", "ppf(0.5 + v0 / 2.0)", "ppf(0.5 + v0 / 2.0, v1 - 1.0)",
}
"""A scale times a spread, a fading, a slope on the log scale, a point on a round, a distance, a
quantile as a library gives it: arithmetic of any quantity."""
LAYOUT = "report/pictures/"
"""Places on a sheet, in its own units."""


class Named(ast.NodeTransformer):
    """An expression with its names numbered in order of their coming."""

    def __init__(self) -> None:
        self.names: dict[str, str] = {}

    def numbered(self, node: ast.expr) -> ast.Name:
        return ast.Name(self.names.setdefault(ast.unparse(node), f"v{len(self.names)}"))

    def visit_Name(self, node: ast.Name) -> ast.Name:
        return self.numbered(node)

    def visit_Attribute(self, node: ast.Attribute) -> ast.Name:
        return ast.Name("pi") if node.attr == "pi" else self.numbered(node)

    def visit_Subscript(self, node: ast.Subscript) -> ast.Name:
        return self.numbered(node)

    def visit_Call(self, node: ast.Call) -> ast.expr:
        name = called(node)
        if name in WRAPS and node.args:
            return self.visit(node.args[0])  # type: ignore[no-any-return]
        if name not in MATHEMATICS or not node.args:
            return self.numbered(node)
        return ast.Call(ast.Name(name), [self.visit(each) for each in node.args], [])

    def visit_Constant(self, node: ast.Constant) -> ast.Constant:
        return ast.Constant(float(node.value)) if isinstance(node.value, int | float) else node


def called(node: ast.Call) -> str:
    return node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")


def formulas(tree: ast.Module) -> Iterator[str]:
    """Every expression of the module that tells something of its own, its names numbered."""
    for node in ast.walk(tree):
        reckons = isinstance(node, ast.BinOp) or (isinstance(node, ast.Call) and called(node) in MATHEMATICS)
        if isinstance(node, ast.expr) and reckons and tells(node):
            shape = Named().visit(deepcopy(node))
            if tells(shape):
                yield ast.unparse(shape)


def tells(node: ast.expr) -> bool:
    """Whether it has a constant of its own or a function of mathematics, and some size."""
    size, own = 0, False
    for each in ast.walk(node):
        size += isinstance(each, ast.BinOp | ast.Call)
        own |= isinstance(each, ast.Constant) and isinstance(each.value, int | float) and each.value not in PLAIN
        own |= isinstance(each, ast.Call) and called(each) in MATHEMATICS
        own |= getattr(each, "attr", getattr(each, "id", "")) == "pi"
    return own and size >= LEAST_SIZE


@cache
def modules() -> dict[str, ast.Module]:
    texts = {file.relative_to(SOURCE).as_posix(): file.read_text(encoding="utf-8")
             for part in PARTS for file in sorted((SOURCE / part).rglob("*.py"))}
    return {place: ast.parse(text) for place, text in texts.items() if MAY_RECKON.search(text)}


def written() -> dict[str, set[str]]:
    found: dict[str, set[str]] = defaultdict(set)
    for place, tree in modules().items():
        if not place.startswith((*TWINS, LAYOUT)):
            for formula in formulas(tree):
                found[formula].add(place)
    return found


def test_no_formula_is_written_in_two_modules() -> None:
    twice = {formula: sorted(places) for formula, places in written().items()
             if len(places) > 1 and formula not in ALIKE_BY_CHANCE}
    assert not twice


def test_areas_of_circles_are_left_to_their_owner_however_they_are_arranged() -> None:
    squared = [f"{place}:{node.lineno}" for place, tree in modules().items() if place != "science/circle.py"
               for node in ast.walk(tree) if isinstance(node, ast.BinOp) and pi_beside_a_square(node)]
    assert not squared


def pi_beside_a_square(node: ast.expr) -> bool:
    """Whether an expression is a product of pi and something squared."""
    parts = list(factors(node))
    return any(getattr(each, "attr", getattr(each, "id", "")) == "pi" for each in parts) and any(
        isinstance(each, ast.BinOp) and isinstance(each.op, ast.Pow) and ast.unparse(each.right) in ("2", "2.0")
        for each in parts)


def factors(node: ast.expr) -> Iterator[ast.expr]:
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Mult | ast.Div):
        yield from factors(node.left)
        yield from factors(node.right)
    else:
        yield node


@pytest.mark.parametrize(("one", "other"), [
    ("area = np.pi / 4.0 * d**2", "a = np.pi / 4.0 * within('w', w, 0, 1, 'm') ** 2"),
    ("e = 0.6108 * np.exp(17.27 * t / (t + 237.3))", "x = 0.6108 * math.exp(17.27 * warm / (warm + 237.3))"),
])
def test_the_same_formula_is_seen_under_other_names(one: str, other: str) -> None:
    first, second = (set(formulas(ast.parse(each))) for each in (one, other))
    assert first & second
