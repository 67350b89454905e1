"""What a header of a laboratory's sheet means: the kind of reading, its unit, the method, and what has to be asked."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

from rootcase.fieldbook.intake.grid import folded
from rootcase.fieldbook.intake.lab.amounts import SUBSTANCES, amount, element_of, formula_factor
from rootcase.fieldbook.intake.lab.lexicon import Method, Printed, parted
from rootcase.ground.quantity import number
from rootcase.ground.words import say
from rootcase.tables.readings import ReadingKind, kinds

Matrix = Literal["soil", "leaf"]
_NITROGEN = "nitrogen"
"""Nitrogen of soil whose header does not say which; the unit tells, or it is asked."""
_OF_NITROGEN = ("nitrate_n", "ammonium_n", "total_nitrogen")
_CARBON_FACTORS = {"carbon_x_1.724": 1.724, "carbon_x_2": 2.0}
_CARBON, _MATTER, _FROM_CARBON = "C", "OM", "carbon"
_TEXTURE = ("sand", "silt", "clay")
_PLAIN_WATER = ("water", "h2o")
_AS_PRINTED = "_as_printed"
_EXTRACTS = ("saturated paste", "1:1", "1:2", "1:5")


@dataclass(frozen=True, slots=True)
class Ask:
    """What a header leaves open."""

    question: str
    headers: tuple[str, ...]
    """Each, written in place of the sheet's own header, answers the question; none: the column stays text."""


@dataclass(frozen=True, slots=True)
class Analyte:
    """What a header means. A number of its column times `factor`, in `unit`, is the kind's own value."""

    kind: str
    unit: str
    """Always one that can become the kind's own unit."""
    printed_unit: str
    """As the sheet has it, to stand behind the figure as it was typed; empty where none is printed."""
    factor: float
    attributes: Mapping[str, str]
    """Method, extractant and their like, as the catalogue's choices have them."""
    why: str
    """What was decided, in words; empty where the header says all."""
    asks: tuple[Ask, ...]
    """Not empty: nothing of the column is taken until these are answered."""


@dataclass
class _Meant:
    """What is made of a header, while it is made."""

    header: str
    factor: float = 1.0
    attributes: dict[str, str] = field(default_factory=dict)
    why: list[str] = field(default_factory=list)
    asks: list[Ask] = field(default_factory=list)

    def ask(self, question: str, *answers: str) -> None:
        self.asks.append(Ask(question, tuple(f"{self.header} ({answer})" for answer in answers)))


def analyte(header: str, unit: str = "", matrix: Matrix = "soil", layer_m: float | None = None) -> Analyte | None:
    """What a header means, in any order of its words; None where it is none of the laboratory kinds.

    unit: as another row or column of the sheet has it; layer_m: thickness of the layer sampled, where it is known.

    >>> found = analyte("P (Mehlich III) ppm")
    >>> found.kind, found.unit, found.factor, dict(found.attributes)
    ('phosphorus', 'ppm', 1.0, {'extractant': 'mehlich_3'})
    >>> analyte("NO3 ppm").asks[0].headers
    ('NO3 ppm (as N)', 'NO3 ppm (as NO3)')
    >>> analyte("P index") is None
    True
    """
    printed = parted(header, unit)
    name = _kind(printed, matrix) if printed else None
    if printed is None or name is None or _matter_and_carbon(printed):
        return None
    meant = _Meant(header)
    if name == _NITROGEN:
        name = _which_nitrogen(meant, printed)
    if name == "sodium" and printed.unit == "%":
        name = _share_of_exchange(meant, printed)
    kind = kinds()[name]
    found = amount(kind, _element(printed), printed, layer_m)
    if found is None:
        return None
    _methods(meant, kind, printed)
    if _is_carbon(kind, printed):
        _carbon(meant, printed)
    else:
        _form(meant, printed)
    if found.question:
        meant.ask(found.question, *found.answers)
    why = "; ".join([*meant.why, *([found.said] if found.said else [])])
    return Analyte(name, found.unit, printed.unit_text, found.factor * meant.factor, meant.attributes, why,
                   tuple(meant.asks))


def _kind(printed: Printed, matrix: Matrix) -> str | None:
    """The one kind all words agree on; a method may speak for its analyte, as Olsen does for phosphorus."""
    named = {word.soil if matrix == "soil" else word.leaf for word in printed.words}
    implied = {method.implies for method in printed.methods if method.implies}
    if "buffer_ph" in implied:
        named.discard("soil_ph")
    if not named or named == {"soil_ph"}:
        named |= implied if matrix == "soil" else set()
    if named & set(_OF_NITROGEN):
        named.discard(_NITROGEN)
    if len(named) != 1:
        return None
    (name,) = named
    if matrix == "soil" and "total" in printed.beside and name not in (_NITROGEN, "total_nitrogen", "carbonate"):
        return None  # the whole of an element in the soil is not what an extractant takes
    return ("total_nitrogen" if name == _NITROGEN and "total" in printed.beside else name) or None


def _which_nitrogen(meant: _Meant, printed: Printed) -> str:
    if printed.unit in ("%", "g/kg"):
        meant.why.append(say("lab.nitrogen_taken", unit=printed.unit))
        return "total_nitrogen"
    unit = f" ({printed.unit_text})" if printed.unit else ""
    words = say("lab.nitrogens").split("|")[:None if printed.unit in ("", "ppm", "mg/kg") else -1]
    meant.asks.append(Ask(say("lab.which_nitrogen"), tuple(f"{word}{unit}" for word in words)))
    return "nitrate_n"


def _share_of_exchange(meant: _Meant, printed: Printed) -> str:
    if printed.beside & set(say("lab.exchangeable").split("|")):
        meant.why.append(say("lab.esp_taken"))
    else:
        meant.ask(say("lab.which_share"), say("lab.exchangeable").split("|")[0])
    return "esp"


def _element(printed: Printed) -> str:
    """Symbol of what is counted; every substance a figure is told as begins with it."""
    return next((element_of(form) for word in printed.words for form in word.forms), "")


def _form(meant: _Meant, printed: Printed) -> None:
    """The substance the figure is told as, turned into the kind's own."""
    sets = [set(word.forms) for word in printed.words if word.forms]
    if not sets:
        return
    element, shared = _element(printed), set.intersection(*sets)
    known = sorted(set.union(*sets), key=lambda form: (len(form), form))
    said = [form for form in SUBSTANCES if form.casefold() == printed.form and element_of(form) == element]
    if not said and len(shared) == 1:
        said = list(shared)
    if not said and shared and not all(word.asked for word in printed.words if word.forms):
        said = [element]
    if not said:
        meant.ask(say("lab.which_form", first=known[0], second=known[-1],
                      times=number(1 / formula_factor(known[-1], element), 3)), *(f"as {form}" for form in known))
    elif said[0] in SUBSTANCES and said[0] != element:
        meant.factor *= formula_factor(said[0], element)
        meant.why.append(say("lab.form", form=said[0], element=element, factor=number(meant.factor, 4)))


def _matter_and_carbon(printed: Printed) -> bool:
    """Whether a header names both organic matter and its carbon, so that nobody can tell which the figure is."""
    return {_CARBON, _MATTER} <= {form for word in printed.words for form in word.forms}


def _is_carbon(kind: ReadingKind, printed: Printed) -> bool:
    """Whether organic matter is told as its carbon."""
    return kind.kind == "organic_matter" and _element(printed) == _CARBON


def _carbon(meant: _Meant, printed: Printed) -> None:
    """Organic carbon becomes organic matter only by a factor somebody has named."""
    named = {method.code for method in printed.methods} & set(_CARBON_FACTORS)
    if len(named) == 1:
        meant.factor *= _CARBON_FACTORS[next(iter(named))]
        meant.why.append(say("lab.carbon", factor=meant.factor))
    else:
        meant.ask(say("lab.which_carbon"), *(f"x {factor:.4g}" for factor in _CARBON_FACTORS.values()))


def _methods(meant: _Meant, kind: ReadingKind, printed: Printed) -> None:
    """What the kind requires beside its value, from the header; what fits no choice is kept as it is printed."""
    used: set[str] = set()
    for name, allowed in kind.required.items():
        fitting = [each for each in printed.methods if each.attribute in (name, f"{kind.kind}.{name}")
                   and (not _is_carbon(kind, printed) or each.code in _CARBON_FACTORS)
                   and not (kind.kind == "soil_ph" and _is_ratio(each) and _in_no_water(printed))]
        used |= {method.printed for method in fitting}
        _method(meant, kind, printed, name, allowed, fitting)
    spare = [method.printed for method in printed.methods if method.printed not in used]
    if printed.span_text and kind.kind in _TEXTURE:
        meant.attributes[f"size{_AS_PRINTED}"] = printed.span_text
    elif printed.span_text:
        meant.attributes[f"layer{_AS_PRINTED}"] = printed.span_text
    left = [*dict.fromkeys(spare), *([] if "other" in meant.attributes.values() else printed.unnamed)]
    if left and "buffer" not in meant.attributes:
        meant.attributes[f"method{_AS_PRINTED}"] = " ".join(left)


def _is_ratio(method: Method) -> bool:
    return bool(re.fullmatch(r"1:\d\.?\d*", method.printed))


def _in_no_water(printed: Printed) -> bool:
    """Whether a solution is named, so that a ratio beside it is not one of water."""
    return any(not _is_ratio(method) and method.attribute != "instrument" and folded(method.printed) not in _PLAIN_WATER
               for method in printed.methods)


def _method(meant: _Meant, kind: ReadingKind, printed: Printed, name: str, allowed: tuple[str, ...],
            fitting: list[Method]) -> None:
    known = [each if not allowed or each.code in (*allowed, _FROM_CARBON) else replace(each, code="other")
             for each in fitting if not each.code.startswith("?")]
    codes = {each.code: each.printed for each in known}
    for weaker in ("other", _FROM_CARBON):
        if len(codes) > 1:
            codes.pop(weaker, None)
    if len(codes) > 1:
        meant.ask(say("lab.two_methods", kind=kind.label, methods=say("readings.or").join(codes.values())))
    elif codes:
        _named(meant, kind, name, *next(iter(codes.items())))
    elif unclear := next((each for each in fitting if each.code.startswith("?")), None):
        meant.ask(say("lab.which_method", kind=kind.label), *unclear.code[1:].split("|"))
    elif printed.unnamed and (not allowed or "other" in allowed) and name != "washed":
        _named(meant, kind, name, "other" if allowed else "printed", " ".join(printed.unnamed))
    elif kind.kind == "ece" and not any(":" in method.printed for method in printed.methods):
        meant.ask(say("lab.which_extract"), *_EXTRACTS)


def _named(meant: _Meant, kind: ReadingKind, name: str, code: str, printed: str) -> None:
    if code == "other":
        meant.attributes |= {name: code, f"{name}{_AS_PRINTED}": printed}
        meant.why.append(say("lab.other", name=name, printed=printed))
    elif code == _FROM_CARBON:
        meant.attributes |= {name: "carbon_x_1.724", f"{name}{_AS_PRINTED}": printed}
        meant.why.append(say("lab.from_carbon", printed=printed))
    else:
        meant.attributes[name] = printed if code == "printed" else code
        if kind.kind == "soil_ph" and ":" in printed and not any(sign.isalpha() for sign in printed):
            meant.why.append(say("lab.water_taken", ratio=printed))
