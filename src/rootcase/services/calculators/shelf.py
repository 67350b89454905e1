"""All sums there are, by name and by subject, as they stand in the sciences; nothing is run to list them."""

from __future__ import annotations

import ast
import difflib
import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable

from rootcase.ground.errors import Missing
from rootcase.ground.words import say
from rootcase.services.calculators.contract import Calculator, Groups, calculator_of
from rootcase.services.calculators.formula import formula_of
from rootcase.services.calculators.inner import INNER
from rootcase.tables.load import table

SUBJECTS = ("soil", "chemistry", "water", "warmth", "zones", "compost", "tank", "microscope", "tree", "crown", "trials")
"""Of the trade. Choice, inference, photo, rounds and routing are machinery that stages put to work."""
_SCIENCE = "rootcase.science."
_MOST_NEAR = 5
_MOST_WORDS = 40
_SHORT_WORD = 3


@cache
def calculators() -> Mapping[str, Calculator]:
    """Each by its name; where two subjects have one of the same name, by subject.name."""
    trees = _trees()
    groups = Groups(trees)
    found = [each for module, tree in trees.items() if module.split(".")[2] in SUBJECTS
             for node in tree.body if isinstance(node, ast.FunctionDef) and not node.name.startswith("_")
             if f"{module.removeprefix(_SCIENCE)}.{node.name}" not in INNER
             and (each := calculator_of(module, node, groups))]
    found.sort(key=lambda each: SUBJECTS.index(each.subject))
    often = Counter(each.name for each in found)
    return {each.name if often[each.name] == 1 else f"{each.subject}.{each.name}": each for each in found}


def calculator(name: str) -> Calculator:
    """The sum of this name, hyphens or not, or the only one that begins so; else what comes near."""
    there = calculators()
    wanted = name.strip().lower().replace("-", "_").replace(" ", "_")
    begun = [wanted] if wanted in there else [each for each in there if wanted and each.startswith(f"{wanted}_")]
    if len(begun) == 1:
        return _with_words_of_tables(there[begun[0]])
    near = list(dict.fromkeys([*difflib.get_close_matches(wanted, there, _MOST_NEAR),
                               *looked_up(wanted.replace("_", " "))]))
    raise Missing(say("calc.no_such"), value=name, right=say(
        "calc.near" if near else "calc.see_all", names=", ".join(near[:_MOST_NEAR])))


def _with_words_of_tables(sum_: Calculator) -> Calculator:
    """The sum with the words that its own tables have for what is typed as a word."""
    named = re.findall(r"\b[Tt]ables?\s+(\w+/\w+)", " ".join((sum_.sources, *(each.about for each in sum_.entries))))
    entries = []
    for entry in sum_.entries:
        column = entry.name.rpartition(".")[2].rstrip("_")
        there = [row[column] for name in dict.fromkeys(named) if table(name).units.get(column) == "text"
                 for row in table(name).rows] if entry.kind in ("word", "words") and not entry.choices else []
        words = tuple(dict.fromkeys(filter(None, there)))
        entries.append(replace(entry, listed=words if len(words) <= _MOST_WORDS else ()))
    return replace(sum_, entries=tuple(entries))


def looked_up(words: str) -> tuple[str, ...]:
    """Names of all sums in whose name, question or text each of these words stands, those with it in the name first;
    where there is none, by what the words of the yard are called in the sums."""
    return _with_all(words.lower()) or _with_all(_as_told(words.lower()))


def _with_all(words: str) -> tuple[str, ...]:
    parts = _folded(words).split()
    found = []
    for name, each in calculators().items():
        first = _folded(f"{name.replace('_', ' ')} {each.question}".lower())
        whole = f"{first} {_folded(_told(each).lower())}"
        if all(_stands_in(part, whole) for part in parts):
            found.append((sum(not _stands_in(part, first) for part in parts), name))
    return tuple(name for _, name in sorted(found, key=lambda pair: pair[0]))


def _stands_in(part: str, text: str) -> bool:
    """Whether a word begins so; one of three letters or less is that word, as pH is none of "phosphorus".

    >>> _stands_in("ph", "soil ph"), _stands_in("ph", "phosphorus"), _stands_in("phos", "phosphorus")
    (True, False, True)
    """
    end = r"\b" if len(part) <= _SHORT_WORD else ""
    return re.search(rf"\b{re.escape(part)}{end}", text) is not None


def _told(sum_: Calculator) -> str:
    return " ".join((sum_.notes, sum_.gives, *(entry.about for entry in sum_.entries), *(
        " ".join((entry.name.replace("_", " "), *entry.choices, *entry.listed)) for entry in sum_.entries)))


def _as_told(words: str) -> str:
    """Words of the yard as the formulas have them."""
    for pair in say("calc.also_said").split("|"):
        said, told = pair.split("=")
        words = re.sub(rf"\b{said}s?\b", told, words)
    return words


def _folded(text: str) -> str:
    """Spelled one way on both sides of the sea, words of two letters and more without the s of many.

    >>> _folded("neutralizers of colour, liters") == _folded("neutraliser of color, litre")
    True
    """
    text = text.replace("our", "or").replace("tre", "ter").replace("s", "z").replace("ter", "tr")
    return re.sub(r"(?<=\w{2})z\b", "", text)


def formula(sum_: Calculator) -> tuple[str, ...]:
    """The lines it is reckoned by; none where it goes in steps."""
    trees = _trees()
    node = next(each for each in trees[sum_.module].body
                if isinstance(each, ast.FunctionDef) and each.name == sum_.name)
    return formula_of(sum_.module, node, trees)


@cache
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
