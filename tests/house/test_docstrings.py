"""Every public function of science and casework tells units, limits and source; every example in the package runs."""

from __future__ import annotations

import ast
import doctest
import importlib
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

SOURCE = Path(__file__).parents[2] / "src"
OWING = ("rootcase.science.", "rootcase.casework.")
SECTIONS = ("Parameters", "Returns", "Raises", "Notes", "References")
# A source says how it is known, or hands on to what does: a table, another function, the formulas that are called.
KNOWN = re.compile(r"seen|memory|computed|JUDGEMENT|common practice, no source|[Tt]able \w+(/\w+)?|`[\w.]+`|^None\b|"
                   r"formulas' own", re.MULTILINE)

Definition = ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef


@cache
def modules() -> list[tuple[str, ast.Module]]:
    """Those with an example, and all whose functions owe one."""
    found = []
    for file in sorted((SOURCE / "rootcase").rglob("*.py")):
        dotted = ".".join(file.relative_to(SOURCE).with_suffix("").parts).removesuffix(".__init__")
        text = file.read_text(encoding="utf-8")
        if file.name != "__main__.py" and (">>>" in text or dotted.startswith(OWING)):
            found.append((dotted, ast.parse(text)))
    return found


def public_functions() -> Iterator[tuple[str, ast.FunctionDef]]:
    for name, tree in modules():
        if name.startswith(OWING) and "._" not in name:
            for node in tree.body:
                if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
                    yield f"{name}.{node.name}", node


def examples() -> Iterator[tuple[str, str, str]]:
    """(module, qualified name, docstring) of whatever holds an example; read from the text, since doctest's own
    finder passes over compiled functions."""
    for name, tree in modules():
        for node in ast.walk(tree):
            if isinstance(node, ast.Module | Definition) and ">>>" in (docstring := ast.get_docstring(node) or ""):
                yield name, getattr(node, "name", ""), docstring


def faults(node: ast.FunctionDef) -> list[str]:
    """What is missing from a function's docstring."""
    text = ast.get_docstring(node) or ""
    arguments = [a.arg for a in (*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs)]
    found = []
    for section in SECTIONS:
        if not re.search(rf"^{section}\n-{{{len(section)}}}\n\S", text, re.MULTILINE) and (
                arguments or section != "Parameters"):
            found.append(f"no section {section}")
    parameters = text.partition("Parameters\n")[2].partition("\nReturns\n")[0]
    described = set(re.findall(r"(?:^|, )(\w+)(?=[\w, ]* :)", parameters, re.MULTILINE))
    found += [f"parameter {argument} not described" for argument in arguments if argument not in described]
    if not KNOWN.search(text.partition("References\n")[2].partition("Examples\n")[0]):
        found.append("References do not say how they are known")
    if ">>>" not in text:
        found.append("no example (>>>)")
    if f"{node.name}.__name__" in text:
        found.append("the example shows nothing of what it does")
    if not text.partition("\n")[0].endswith((".", "?")):
        found.append("first line is not a sentence")
    return found


FUNCTIONS = dict(public_functions())


@pytest.mark.parametrize("name", list(FUNCTIONS))
def test_a_public_function_tells_its_units_limits_and_source(name: str) -> None:
    assert faults(FUNCTIONS[name]) == []


@pytest.mark.parametrize(
    ("module", "name", "docstring"),
    [pytest.param(*example, id=":".join(example[:2])) for example in examples()])
def test_the_example_is_true(module: str, name: str, docstring: str) -> None:
    test = doctest.DocTestParser().get_doctest(docstring, dict(vars(importlib.import_module(module))), name, module, 0)
    told: list[str] = []
    doctest.DocTestRunner(optionflags=doctest.NORMALIZE_WHITESPACE | doctest.ELLIPSIS).run(test, out=told.append)
    assert not told, "".join(told)


def test_a_poor_docstring_is_noticed() -> None:
    described = 'Depth\n\n    Parameters\n    ----------\n    top_m : [m]\n    '
    function = ast.parse(f'def depth_m(top_m, bottom_m):\n    """{described}"""').body[0]
    assert isinstance(function, ast.FunctionDef)
    assert faults(function) == [
        "no section Returns", "no section Raises", "no section Notes", "no section References",
        "parameter bottom_m not described",
        "References do not say how they are known",
        "no example (>>>)", "first line is not a sentence",
    ]
