"""What a phone knows without a network: kinds of readings, units and species, generated from the one catalogue."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from functools import cache
from typing import Any

from rootcase.casework.species import growth_class_of
from rootcase.ground.units import convert_exactly, in_us_units, relatives, unit_label
from rootcase.ground.words import catalogue
from rootcase.report.text.causes import LIKELY, MAYBE
from rootcase.services.field_forms import field_forms
from rootcase.tables.load import table
from rootcase.tables.readings import (
    GROWTH,
    MOST_SATURATION_PCT,
    OXYGEN,
    ReadingKind,
    also_shown,
    in_whole_percents,
    kinds,
)

_SPOKEN = ("dates", "field", "limit", "quantity", "readings", "report.change_mind", "typed", "web.place")
"""Sections of the words that a phone says: its own, and those in which the desk judges the same value."""
_SINGLE = ("intake.no_year", "intake.range", "intake.right_range", "intake.right_whole", "intake.whole",
           "intake.year_ahead")
"""What a typed value is refused with at the desk."""
_LOOKED_UP = "mesh"
"""Has no factor, and no field is told in it."""
_OF = ("tree", "pit", "place", "visit", "sample")
"""What is read in the field; heaps, batches and loads have no entry on the phone yet."""
_ABOUT = ("label", "of", "value_type", "si_unit", "us_unit", "metric_unit", "axis", "note", "minutes", "tools",
          "repeat_rule", "method", "season")
_LIMITS = ("lower_hard", "upper_hard", "lower_doubt", "upper_doubt")


@cache
def field_catalogue() -> Mapping[str, Any]:
    """Kinds by code, units by the SI unit they become, and names of species with their growth class.

    >>> field_catalogue()["units"]["mm"]["in"], field_catalogue()["labels"]["yd3"]
    (['127/5', '0'], 'yd³')
    """
    told = {code: kind for code, kind in kinds().items() if kind.of in _OF}
    into = {kind.si_unit: _into(kind.si_unit) for kind in told.values() if kind.si_unit}
    known = sorted({name for factors in into.values() for name in factors})
    return {"kinds": {code: dict(_told(kind)) for code, kind in told.items()}, "units": into,
            "labels": {name: unit_label(name) for name in known}, "us": [name for name in known if in_us_units(name)],
            "most_saturation_pct": MOST_SATURATION_PCT, "species": list(_species()),
            "growth": {row["growth_class"]: [row["shoot_low_mm"], row["shoot_high_mm"]]
                       for row in table("growth_class").rows},
            "words_from": {"likely": LIKELY, "maybe": MAYBE}, "walk": dict(field_forms())}


@cache
def field_words() -> Mapping[str, str]:
    """The words that the phone says, by key.

    >>> field_words()["quantity.interval"]
    '{low} to {high}'
    """
    sections = tuple(f"{each}." for each in _SPOKEN)
    return {key: said for key, said in catalogue("en").items() if key.startswith(sections) or key in _SINGLE}


def _told(kind: ReadingKind) -> Iterator[tuple[str, Any]]:
    """What stands in the catalogue of one kind; what is empty is left out."""
    yield from ((name, getattr(kind, name)) for name in (*_ABOUT, *_LIMITS) if getattr(kind, name) not in ("", None))
    yield from ((name, dict(told)) for name, told in (("choices", kind.choices), ("required", kind.required)) if told)
    also = [[label, _exact(size)] for label, size in also_shown(kind)]
    marks = {"also": also, "whole_percents": in_whole_percents(kind), "quick": kind.quick,
             "growth": kind.kind in GROWTH, "oxygen": kind.kind in OXYGEN}
    yield from ((name, told) for name, told in marks.items() if told)


def _into(si_unit: str) -> dict[str, list[str]]:
    """Scale and shift of every unit that becomes this one."""
    found = {}
    for name in relatives(si_unit):
        if name != _LOOKED_UP:
            shift = convert_exactly(0, name, si_unit)
            found[name] = [_exact(convert_exactly(1, name, si_unit) - shift), _exact(shift)]
    return found


def _exact(number: Fraction) -> str:
    return str(number)


def _species() -> Iterator[list[str]]:
    """Botanical name, the names people use, growth class."""
    for row in table("observe/tree_names").rows:
        yield [row["botanical_name"], row["common_names"], growth_class_of(row["botanical_name"])]
