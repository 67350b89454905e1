"""The formula of a sum as it is reckoned: read from the code itself, so that it is the one that gives the answer."""

from __future__ import annotations

import ast
import copy
import re
from collections.abc import Mapping

MOST_LINES = 12
"""A person reads through so many; what is longer is named by where it stands. JUDGEMENT"""
_SHELLS = {"within", "float", "asarray", "array", "int", "tuple", "list"}
"""They check or wrap what they are given; `within` has its name before it."""
_STEPS = (ast.For, ast.While, ast.With, ast.Try, ast.FunctionDef, ast.ListComp, ast.GeneratorExp, ast.DictComp,
          ast.SetComp, ast.Lambda)


class Shown(ast.NodeTransformer):
    """Arithmetic without checks, wraps and the library's name."""

    def visit_Call(self, node: ast.Call) -> ast.AST:
        self.generic_visit(node)
        name = ast.unparse(node.func).rpartition(".")[2]
        if name in _SHELLS and node.args:
            return node.args[1] if name == "within" else node.args[0]
        return node

    def visit_AnnAssign(self, node: ast.AnnAssign) -> ast.AST:
        self.generic_visit(node)
        return ast.Assign([node.target], node.value) if node.value else node

    def visit_Attribute(self, node: ast.Attribute) -> ast.AST:
        self.generic_visit(node)
        return ast.Name(node.attr) if isinstance(node.value, ast.Name) and node.value.id in ("np", "math") else node


def formula_of(module: str, node: ast.FunctionDef, trees: Mapping[str, ast.Module]) -> tuple[str, ...]:
    """Lines of the formula, of the short ones that it calls, and its constants; empty where it goes in steps that
    nobody would read as one."""
    lines = _lines(node)
    if not 0 < len(lines) <= MOST_LINES:
        return ()
    known = {node.name}
    for line in tuple(lines):
        lines += _called(module, line, trees, known)
    lines += _constants(module, " ".join(lines), trees)
    return tuple(lines)


def _lines(node: ast.FunctionDef) -> list[str]:
    lines: list[str] = []
    for step in node.body:
        if _checks(step):
            continue
        if any(isinstance(each, _STEPS) for each in ast.walk(step)):
            return []
        lines += _written(Shown().visit(copy.deepcopy(step))).splitlines()
    return lines


def _called(module: str, text: str, trees: Mapping[str, ast.Module], known: set[str]) -> list[str]:
    """Formulas of one line that a line calls, and those that they call."""
    found = []
    for name in re.findall(r"\b([a-z]\w+)\(", text):
        home, node = _function(module, name, trees)
        lines = _lines(node) if node and node.name not in known else []
        if node and len(lines) == 1:
            known.add(node.name)
            asked = ", ".join(each.arg for each in (*node.args.args, *node.args.kwonlyargs))
            found += [f"{name}({asked}) {lines[0]}", *_called(home, lines[0], trees, known)]
    return found


def _function(module: str, name: str, trees: Mapping[str, ast.Module]) -> tuple[str, ast.FunctionDef | None]:
    for node in trees[module].body if module in trees else ():
        if isinstance(node, ast.FunctionDef) and node.name.removeprefix("_") == name:
            return module, node
        if isinstance(node, ast.ImportFrom) and any(each.name == name for each in node.names):
            return _function(node.module or "", name, trees)
    return module, None


def _checks(step: ast.stmt) -> bool:
    if isinstance(step, ast.If):
        return not step.orelse and all(isinstance(each, ast.Raise) for each in step.body)
    return isinstance(step, (ast.Expr, ast.Raise, ast.Assert))


def _written(step: ast.AST) -> str:
    text = ast.unparse(ast.fix_missing_locations(step)).replace("np.", "")
    text = re.sub(r"(?<![\w.])_(?=[a-z])", "", re.sub(r"^(\s*)return ", r"\1= ", text, flags=re.MULTILINE))
    text = re.sub(r"(?<=\d)\.0\b", "", text)
    return text.replace("**", "^").replace(" * ", " × ")


def _constants(module: str, text: str, trees: Mapping[str, ast.Module]) -> list[str]:
    """What the names in capitals stand for, of this module or the one they come from."""
    found = []
    for name in dict.fromkeys(re.findall(r"\b_?[A-Z][A-Z0-9_]{2,}\b", text)):
        value = _value(module, name, trees)
        if value:
            found.append(f"{name} = {value}")
    return found


def _value(module: str, name: str, trees: Mapping[str, ast.Module]) -> str:
    for node in trees[module].body if module in trees else ():
        if isinstance(node, ast.ImportFrom) and any(each.name == name for each in node.names):
            return _value(node.module or "", name, trees)
        targets = node.targets if isinstance(node, ast.Assign) else [node.target] if isinstance(
            node, ast.AnnAssign) else []
        for target in targets:
            if isinstance(target, ast.Name) and target.id == name and node.value is not None:
                return _written(node.value)
            if isinstance(target, ast.Tuple) and isinstance(node.value, ast.Tuple):
                for each, value in zip(target.elts, node.value.elts, strict=False):
                    if isinstance(each, ast.Name) and each.id == name:
                        return _written(value)
    return ""
