"""All sums there are, by name and by subject, as they stand in the sciences; nothing is run to list them."""

from __future__ import annotations

import ast
import difflib
from collections import Counter
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable

from rootcase.ground.errors import Missing
from rootcase.ground.words import say
from rootcase.services.calculators.contract import Calculator, Groups, calculator_of

SUBJECTS = ("soil", "chemistry", "water", "warmth", "zones", "compost", "tank", "microscope", "tree", "crown", "trials")
"""Of the trade. Choice, inference, photo, rounds and routing are machinery that stages put to work."""
_MOST_NEAR = 5


@cache
def calculators() -> Mapping[str, Calculator]:
    """Each by its name; where two subjects have one of the same name, by subject.name."""
    trees = _trees()
    groups = Groups(trees)
    found = [each for module, tree in trees.items() if module.split(".")[2] in SUBJECTS
             for node in tree.body if isinstance(node, ast.FunctionDef) and not node.name.startswith("_")
             if (each := calculator_of(module, node, groups))]
    found.sort(key=lambda each: SUBJECTS.index(each.subject))
    often = Counter(each.name for each in found)
    return {each.name if often[each.name] == 1 else f"{each.subject}.{each.name}": each for each in found}


def calculator(name: str) -> Calculator:
    """The sum of this name, hyphens or not, or the only one that begins so; else what comes near."""
    there = calculators()
    wanted = name.strip().lower().replace("-", "_").replace(" ", "_")
    begun = [wanted] if wanted in there else [each for each in there if wanted and each.startswith(f"{wanted}_")]
    if len(begun) == 1:
        return there[begun[0]]
    near = list(dict.fromkeys([*difflib.get_close_matches(wanted, there, _MOST_NEAR),
                               *looked_up(wanted.replace("_", " "))]))
    raise Missing(say("calc.no_such"), value=name, right=say(
        "calc.near" if near else "calc.see_all", names=", ".join(near[:_MOST_NEAR])))


def looked_up(words: str) -> tuple[str, ...]:
    """Names of all sums in whose name, question or text each of these words stands, those with it in the name first."""
    parts = words.lower().split()
    found = []
    for name, each in calculators().items():
        first = f"{name.replace('_', ' ')} {each.question}".lower()
        whole = f"{first} {each.notes} {each.gives} {' '.join(entry.about for entry in each.entries)}".lower()
        if all(part in whole for part in parts):
            found.append((sum(part not in first for part in parts), name))
    return tuple(name for _, name in sorted(found, key=lambda pair: pair[0]))


def _trees() -> dict[str, ast.Module]:
    found: dict[str, ast.Module] = {}

    def walk(folder: Traversable, package: str) -> None:
        for each in sorted(folder.iterdir(), key=lambda entry: entry.name):
            if each.is_dir() and not each.name.startswith("_"):
                walk(each, f"{package}.{each.name}")
            elif each.name.endswith(".py") and not each.name.startswith("_"):
                found[f"{package}.{each.name.removesuffix('.py')}"] = ast.parse(each.read_text(encoding="utf-8"))

    walk(files("rootcase.science"), "rootcase.science")
    return found
