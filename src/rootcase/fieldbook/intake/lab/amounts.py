"""By what a laboratory's figure is multiplied to be the kind's own, and what has to be known for it."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from rootcase.fieldbook.intake.lab.lexicon import Printed
from rootcase.ground.quantity import number
from rootcase.ground.units import convert, convertible
from rootcase.ground.words import say
from rootcase.science.chemistry.soil_mass import FURROW_SLICE_KG_M2
from rootcase.tables.load import table
from rootcase.tables.readings import ReadingKind

_PARTS = {"%": Fraction(1, 100), "g/kg": Fraction(1, 1000), "mg/100g": Fraction(1, 10**5), "mg/kg": Fraction(1, 10**6),
          "ppm": Fraction(1, 10**6)}
"""Units of a share of dry mass, which are one to the laboratory and two, shares and contents, to the catalogue."""
SUBSTANCES = ("N", "NO3", "NH4", "P", "P2O5", "K", "K2O", "Ca", "CaO", "Mg", "MgO", "S", "SO4", "C", "CO2")
"""What a laboratory may tell its figure as; the first element of each is the one that counts."""
_FURROW_M = convert(20, "in", "m") / 3
_ROUND_FURROW_M = (0.15, 0.18)
"""JUDGEMENT: layers of 6 to 7 in, for which laboratories take the furrow slice's round weight."""
_WATER = {"1_1": 1, "1_2": 2, "1_5": 5}
"""Litres of extract to the kilogram of dry soil."""
_SALT_PPM = (640, 700)
"""Dissolved solids in ppm to the dS/m, as meters show them (memory)."""
_LITRES_KG = ("1.0", "1.2")
"""JUDGEMENT: what a litre of sieved soil weighs, peaty or light to mineral."""
_LAYERS = {"lb/ac": ("0-6 in", "0-8 in", "0-12 in")}
_USUAL = ("ppm", "lb/ac of 0-6 in", "kg/ha of 0-15 cm")
_METRIC_LAYERS = ("0-10 cm", "0-15 cm", "0-30 cm")


@dataclass(frozen=True, slots=True)
class Amount:
    """A unit, what the figure is multiplied by to be in it, and what was decided or is still to be asked."""

    unit: str
    factor: float = 1.0
    said: str = ""
    question: str = ""
    answers: tuple[str, ...] = ()
    """What may be added to the header; a question without any cannot be answered in the header."""


def element_of(form: str) -> str:
    """The first element of a substance: N of NO3, P of P2O5; OM, which is no formula, is none."""
    found = re.match(r"[A-Z][a-z]?", form)
    return found[0] if found and found[0] in _weights() else ""


def formula_factor(form: str, element: str) -> float:
    """Share of an element in a substance, from the atomic weights.

    >>> round(1 / formula_factor("NO3", "N"), 4), round(formula_factor("P2O5", "P"), 4)
    (4.4266, 0.4364)
    """
    parts = [(name, int(count or 1)) for name, count in re.findall(r"([A-Z][a-z]?)(\d*)", form)]
    whole = sum(_weights()[name][0] * count for name, count in parts)
    return sum(_weights()[name][0] * count for name, count in parts if name == element) / whole


def amount(kind: ReadingKind, element: str, printed: Printed, layer_m: float | None) -> Amount | None:
    """How the figure becomes the kind's own value; None where the unit cannot be one of this kind.

    layer_m: thickness of the sampled layer, where it is known beside the header.
    """
    if printed.unit is None:
        return Amount(kind.metric_unit, question=say("lab.unknown_unit", unit=printed.unit_text))
    return _WAYS[kind.si_unit](kind, element, printed, printed.layer_m or layer_m)


def _plain(kind: ReadingKind, _element: str, printed: Printed, _layer_m: float | None) -> Amount | None:
    """pH and ratios, which have no other unit."""
    return Amount(kind.si_unit) if printed.unit in ("", kind.si_unit) else None


def _share(kind: ReadingKind, element: str, printed: Printed, layer_m: float | None) -> Amount | None:
    if kind.us_unit != "%":
        return _plain(kind, element, printed, layer_m)
    if not printed.unit:
        if kind.kind == "carbonate":  # or it is the lime that is recommended
            return Amount("%", question=say("lab.no_unit_said", kind=kind.label), answers=("%",))
        if kind.kind == "leaf_cl":
            return Amount("%", question=say("lab.no_unit_said", kind=kind.label), answers=("%", "ppm"))
        return Amount("%", said=say("lab.unit_taken", unit="%", kind=kind.label))
    return _of_mass(printed.unit, "%")


def _of_mass(unit: str, wanted: str) -> Amount | None:
    if unit not in _PARTS:
        return None
    factor = float(_PARTS[unit] / _PARTS[wanted])
    said = say("lab.times", factor=number(factor, 6), unit=unit, wanted=wanted)
    return Amount(unit if convertible(unit, wanted) else wanted) if factor == 1 else Amount(wanted, factor, said)


def _content(kind: ReadingKind, element: str, printed: Printed, layer_m: float | None) -> Amount | None:
    """Of soil or leaf: mg/kg, from shares, charges, the soil of an acre, an extract, or a litre of soil."""
    unit, leaf = printed.unit, kind.kind.startswith("leaf_")
    assert unit is not None  # asked about before
    if not unit and leaf and kind.kind != "leaf_na":
        return Amount("ppm", said=say("lab.unit_taken", unit="ppm", kind=kind.label))
    if not unit:
        return Amount("mg/kg", question=say("lab.no_unit_said", kind=kind.label),
                      answers=("ppm", "%") if leaf else _USUAL)
    if unit in _PARTS:
        return None if unit == "%" and not leaf else _of_mass(unit, "mg/kg")
    if leaf:
        return None
    if unit in ("meq/100g", "cmol/kg"):
        return _in_charges(unit, element)
    if convertible(unit, "kg/m2"):
        return _on_ground(unit, layer_m)
    return _in_litre(kind, printed) if unit == "mg/L" else None


def _in_charges(unit: str, element: str) -> Amount | None:
    weight, charge = _weights().get(element, (0.0, None))
    if not charge:
        return None
    factor = 10 * weight / charge
    return Amount("mg/kg", factor, say("lab.charge", factor=number(factor, 5), unit=unit))


def _on_ground(unit: str, layer_m: float | None) -> Amount:
    if layer_m is None:
        return Amount("mg/kg", question=say("lab.which_layer", unit=unit), answers=_LAYERS.get(unit, _METRIC_LAYERS))
    low, high = _ROUND_FURROW_M
    weight_kg_m2 = FURROW_SLICE_KG_M2 * (1 if low <= layer_m <= high else layer_m / _FURROW_M)
    factor = convert(1, unit, "kg/m2") / weight_kg_m2 * 1e6
    return Amount("mg/kg", factor, say("lab.on_ground", factor=number(factor, 4), unit=unit,
                                       layer=number(convert(layer_m, "m", "in"), 3),
                                       weight=number(convert(weight_kg_m2, "kg/m2", "lb/ac"), 3)))


def _in_litre(kind: ReadingKind, printed: Printed) -> Amount:
    """mg/L are of the extract where its ratio is printed, else of the soil as it was scooped."""
    extracts = {method.code for method in printed.methods if method.attribute == "extract"}
    ratios = [_WATER[code] for code in extracts if code in _WATER]
    if len(extracts) == len(ratios) == 1:
        return Amount("mg/kg", float(ratios[0]), say("lab.in_extract", litres=ratios[0]))
    if extracts:
        return Amount("mg/kg", question=say("lab.paste_water"))
    if "extract" in kind.required:
        ratios_printed = tuple(code.replace("_", ":") for code in _WATER)
        return Amount("mg/kg", question=say("lab.which_water"), answers=ratios_printed)
    if printed.litre_kg:
        return Amount("mg/kg", 1 / printed.litre_kg, say("lab.in_litre", kg=number(printed.litre_kg, 3)))
    return Amount("mg/kg", question=say("lab.which_litre"), answers=tuple(f"{kg} kg/l" for kg in _LITRES_KG))


def _salinity(kind: ReadingKind, _element: str, printed: Printed, _layer_m: float | None) -> Amount | None:
    unit = printed.unit
    if not unit:
        return Amount("dS/m", question=say("lab.no_unit_said", kind=kind.label), answers=("dS/m", "mS/cm", "uS/cm"))
    if unit in ("ppm", "mg/L") and printed.ppm_a_siemens:
        return Amount("dS/m", 1 / printed.ppm_a_siemens, say("lab.salt_ppm", ppm=number(printed.ppm_a_siemens, 4)))
    if unit in ("ppm", "mg/L"):
        return Amount("dS/m", question=say("lab.which_salt_ppm"),
                      answers=tuple(f"{ppm} ppm = 1 dS/m" for ppm in _SALT_PPM))
    return Amount(unit) if convertible(unit, "dS/m") else None


def _exchange(kind: ReadingKind, _element: str, printed: Printed, _layer_m: float | None) -> Amount | None:
    if not printed.unit:
        return Amount("meq/100g", said=say("lab.unit_taken", unit="meq/100g", kind=kind.label))
    return Amount(printed.unit) if convertible(printed.unit, "cmol/kg") else None


def _respired(_kind: ReadingKind, _element: str, printed: Printed, _layer_m: float | None) -> Amount | None:
    days = {method.code: int(method.code) // 24 for method in printed.methods if method.attribute == "hours"}
    if printed.unit == "mg/kg/day":
        return Amount(printed.unit)
    if printed.unit not in ("ppm", "mg/kg"):
        return None
    if len(days) != 1:
        return Amount("mg/kg/day", question=say("lab.which_hours"), answers=("24 h", "72 h"))
    (count,) = days.values()
    return Amount("mg/kg/day", 1 / count, say("lab.respired", days=count) if count > 1 else "")


_WAYS: Mapping[str, Callable[[ReadingKind, str, Printed, float | None], Amount | None]] = {
    "pH": _plain, "1": _share, "mg/kg": _content, "dS/m": _salinity, "cmol/kg": _exchange, "mg/kg/day": _respired}


@cache
def _weights() -> Mapping[str, tuple[float, float | None]]:
    """Atomic weight and charge by element."""
    return {row["element"]: (row["weight"], row["charge"]) for row in table("observe/atomic_weights").rows}
