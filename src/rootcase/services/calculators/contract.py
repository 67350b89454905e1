"""What a formula asks for and gives, read from its signature and docstring; nothing is told twice."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from rootcase.ground.units import is_unit, unit_name

Kind = Literal["number", "numbers", "whole", "wholes", "word", "words", "yes", "yeses", "time"]

LANES = "rootcase.science.lanes"
_NUMBER = r"-?\d[\d,]*(?:\.\d+)?(?:e-?\d+)?"
_RANGE = re.compile(rf"\A,?\s*({_NUMBER}) to ({_NUMBER})(?![\w.^])")
_EXAMPLES = re.compile(r'such as|\bas "|from "|:? also "|name')
"""Words in quotes behind these are some of those that may be typed, not all."""
_SHAPES = re.compile(r"(same shape|broadcast shape|scalar or one per lane|one per lane|scalar)\b[,;:.]?\s*")
"""How many may be typed is told otherwise."""
_UNIT_ENDINGS = frozenset((
    "m", "m2", "m3", "mm", "mm2", "um", "l", "ml", "kg", "g", "mg", "mpa", "kpa", "c", "h", "d", "s", "pct", "ds",
    "cmol", "mmol", "mj", "day", "degree", "rad"))
_SPELLED = {"l": "L", "ml": "mL", "mpa": "MPa", "kpa": "kPa", "c": "C", "pct": "%", "ds": "dS", "mj": "MJ"}
_KINDS: Mapping[str, Kind] = {
    "float": "number", "Numbers": "numbers", "Lanes": "numbers", "Floats": "numbers",
    "FloatArray": "numbers", "ArrayLike": "numbers", "npt.ArrayLike": "numbers",
    "Sequence[float]": "numbers", "Sequence[Numbers]": "numbers", "float | Lanes": "numbers", "int": "whole",
    "Sequence[int]": "wholes", "str": "word", "Names": "words",
    "Sequence[str]": "words", "bool": "yes", "datetime": "time",
}


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing a formula asks for."""

    name: str
    """As it is typed; of a group of figures `group.figure`."""
    kind: Kind
    about: str
    unit: str
    """As the docstring writes it, in words of ours where we know it; empty: a bare number or no number."""
    low: float | None
    high: float | None
    choices: tuple[str, ...]
    """All words it may be; empty: any."""
    needed: bool
    several: bool = False
    """Whether even one alone is a list."""
    listed: tuple[str, ...] = ()
    """Words that a table has for it, which need not be all; empty: none is known."""

    @property
    def full_names(self) -> tuple[str, str]:
        """With the unit that it carries in the code, and without."""
        return self.name, without_unit(self.name.replace(".", "_")).replace(" ", "_")

    @property
    def known_unit(self) -> str:
        """Ours, where a value may be typed in another; else empty."""
        return self.unit if self.unit and is_unit(self.unit) else ""


@dataclass(frozen=True, slots=True)
class Calculator:
    """One formula with all its docstring says."""

    module: str
    name: str
    question: str
    entries: tuple[Entry, ...]
    gives: str
    units: tuple[str, ...]
    """Of what it gives, in order."""
    notes: str
    sources: str
    example: str

    @property
    def subject(self) -> str:
        return self.module.split(".")[2]


class Groups:
    """Named tuples and lists of words that signatures name, in all modules of the sciences."""

    def __init__(self, trees: Mapping[str, ast.Module]) -> None:
        self._words: dict[str, tuple[str, ...]] = {}
        self._figures: dict[str, dict[str, tuple[str, str]]] = {}
        self._elsewhere = {module: {
            each.name for node in tree.body if isinstance(node, ast.ImportFrom) and node.module != LANES
            for each in node.names} for module, tree in trees.items()}
        for node in (node for tree in trees.values() for node in tree.body):
            if isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Name) and (
                    words := literal_words(ast.unparse(node.value))):
                self._words[node.targets[0].id] = words
            elif isinstance(node, ast.ClassDef) and "NamedTuple" in map(ast.unparse, node.bases):
                self._figures[node.name] = {
                    ast.unparse(each.target): (ast.unparse(each.annotation), _text_of(behind))
                    for each, behind in zip(node.body, [*node.body[1:], None], strict=True)
                    if isinstance(each, ast.AnnAssign)}

    def plain(self, module: str, annotation: str) -> Kind | None:
        """What is typed for it; None for another module's type that happens to be called as one of ours."""
        return None if annotation in self._elsewhere[module] & {"Lanes", "Numbers"} else _KINDS.get(annotation)

    def words(self, annotation: str) -> tuple[str, ...]:
        return literal_words(annotation) or self._words.get(annotation, ())

    def figures(self, annotation: str) -> Mapping[str, tuple[str, str]]:
        """Names of the figures of a group, each with its annotation and what is said of it; empty: it is none."""
        return self._figures.get(annotation, {})


def _text_of(node: ast.stmt | None) -> str:
    """The text that stands alone behind a figure of a group."""
    value = node.value if isinstance(node, ast.Expr) else None
    return " ".join(value.value.split()) if isinstance(value, ast.Constant) and isinstance(value.value, str) else ""


def literal_words(annotation: str) -> tuple[str, ...]:
    """The words of Literal["a", "b"]; of numbers as they are typed."""
    found = re.fullmatch(r"Literal\[(.+)\]", annotation)
    return tuple(str(each) for each in _constants(found[1])) if found else ()


def _constants(text: str) -> tuple[object, ...]:
    try:
        return tuple(ast.literal_eval(f"({text},)"))
    except ValueError:
        return ()


def calculator_of(module: str, node: ast.FunctionDef, groups: Groups) -> Calculator | None:
    """The formula as a sum, None where it asks for what nobody types."""
    text = ast.get_docstring(node) or ""
    told = dict(_described(section(text, "Parameters")))
    defaults = len(node.args.defaults)
    places = [*node.args.posonlyargs, *node.args.args]
    optional = {each.arg for each in places[len(places) - defaults:]} | {
        each.arg for each, default in zip(node.args.kwonlyargs, node.args.kw_defaults, strict=True) if default}
    entries: list[Entry] = []
    for argument in (*places, *node.args.kwonlyargs):
        annotation = ast.unparse(argument.annotation) if argument.annotation else ""
        asked = list(_entries(module, argument.arg, annotation, told.get(argument.arg, ""),
                              argument.arg not in optional, groups))
        if not asked:
            return None
        entries += asked
    gives = section(text, "Returns")
    return Calculator(module, node.name, text.partition("\n")[0], tuple(entries), _given(gives), _units(gives),
                      section(text, "Notes"), section(text, "References"), section(text, "Examples"))


def _entries(module: str, name: str, annotation: str, about: str, needed: bool, groups: Groups) -> Iterator[Entry]:
    if annotation.endswith(" | None"):
        annotation, needed = annotation.removesuffix(" | None"), False
    if figures := groups.figures(annotation):
        kinds = [groups.plain(module, each) for each, _ in figures.values()]
        for (figure, (_, own)), kind in zip(figures.items(), kinds, strict=True):
            if kind and all(kinds):
                yield _entry(f"{name}.{figure}", kind, own if "[" in own else about, needed, ())
    elif words := groups.words(annotation):
        yield _entry(name, "whole" if all(map(str.isdigit, words)) else "word", about, needed, words)
    elif kind := groups.plain(module, annotation):
        yield _entry(name, kind, about, needed, (), several=annotation.startswith("Sequence"))


def _entry(name: str, kind: Kind, about: str, needed: bool, words: tuple[str, ...], *, several: bool = False) -> Entry:
    what, _, rest = about.partition("[")
    unit, _, behind = rest.partition("]")
    limits = _RANGE.match(behind)
    low, high = (float(limits[each].replace(",", "")) for each in (1, 2)) if limits else (None, None)
    if kind == "numbers" and "?" in about:
        kind = "yeses"
    if kind in ("word", "words") and not words and not _EXAMPLES.search(about):
        words = tuple(re.findall(r'"([^"]+)"', about))
        words = words if len(words) > 1 else ()
    plain = _SHAPES.sub("", " ".join(f"{what.strip()} {behind[limits.end():] if limits else behind}".split()))
    about = re.sub(r"\.? ([,;])", r"\1", plain).strip(" ,;.:")
    return Entry(name, kind, about, written_unit(unit), low, high, words, needed, several)


def _given(told: str) -> str:
    """What a formula gives, in words: units without brackets, nothing about how many."""
    plain = _SHAPES.sub("", " ".join(told.split()))
    return re.sub(r"\[([^\]]+)\]", lambda unit: "no unit" if unit[1] == "-" else written_unit(unit[1]), plain).strip(
        " ,;.:")


def section(text: str, name: str) -> str:
    """What stands under a heading of a docstring, up to the next one."""
    found = re.search(rf"^{name}\n-+\n(.*?)(?=^\w+\n-+\n|\Z)", text, re.MULTILINE | re.DOTALL)
    return found[1].strip() if found else ""


def _described(parameters: str) -> Iterator[tuple[str, str]]:
    for entry in re.split(r"\n(?=\S)", parameters):
        names, _, about = entry.partition(" : ")
        for name in names.split(","):
            yield name.strip(), " ".join(about.split())


def _units(gives: str) -> tuple[str, ...]:
    return tuple(written_unit(each) for found in re.findall(r"\[([^\]]+)\]", gives) for each in found.split(", "))


def without_unit(name: str) -> str:
    """The words of a name without the unit that it ends with.

    >>> without_unit("crown_diameter_m"), without_unit("uptake_mg_l_h"), without_unit("water_per_l")
    ('crown diameter', 'uptake', 'water per l')
    """
    words = name.split("_")
    while len(words) > 1 and words[-1] in _UNIT_ENDINGS and words[-2] not in ("a", "per", "100"):
        words.pop()
    return " ".join(words)


def carried_unit(name: str, told: tuple[str, ...] = ()) -> str:
    """The unit that a name ends with, as one of those told where it could be several; empty: it carries none.

    >>> carried_unit("depletion_mm"), carried_unit("low_kg_m2"), carried_unit("highest_c"), carried_unit("turns")
    ('mm', 'kg/m2', 'degC', '')
    >>> carried_unit("normal_density_mg_m3", ("1", "Mg/m3")), carried_unit("density_mg_m3")
    ('Mg/m3', '')
    """
    for unit in told:
        if unit and name.endswith("_" + unit.lower().replace("/", "_").replace("%", "pct")):
            return unit
    words = name.split("_")
    first = next((at for at in range(len(words)) if set(words[at:]) <= _UNIT_ENDINGS), len(words))
    above, *below = (_SPELLED.get(word, word) for word in words[max(first, 1):] or [""])
    unit = written_unit(" ".join((above, *(re.sub(r"(\d?)$", lambda power: f"-{power[1] or 1}", word, count=1)
                                            for word in below))))
    return unit if unit != "mg/m3" and is_unit(unit) else ""


def written_unit(told: str) -> str:
    """A unit as we write it: "kg m-2" is kg/m2, "m3 m-3" a bare number; what is none of ours stays as it stands.

    >>> written_unit("kg m-2"), written_unit("m3 m-3"), written_unit("mL-1"), written_unit("MJ m-2 d-1")
    ('kg/m2', '1', '1/mL', 'MJ/m2/day')
    >>> written_unit("mm h-0.5")
    'mm h-0.5'
    """
    told = "1" if re.fullmatch(r"[\d.]+ to [\d.]+", told) else told
    told = {"-": "1", "C": "degC", "degree": "deg", "d": "day"}.get(told, told).replace("mol_c", "molc")
    if parts := re.fullmatch(r"(?:(\w+) )?((?:[a-zA-Z]+-\d ?)+)", told):
        below = [{"d": "day"}.get(unit, unit) + power.removeprefix("1")
                 for unit, power in re.findall(r"([a-zA-Z]+)-(\d)", parts[2])]
        slashed = "1" if [parts[1]] == below else "/".join([parts[1] or "1", *below])
        return unit_name(slashed) if is_unit(slashed) else told
    return unit_name(told) if told and is_unit(told) else told
