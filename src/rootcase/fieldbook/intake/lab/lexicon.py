"""A laboratory's header parted into what it says: analyte, substance, method, unit, layer of soil."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache

from rootcase.fieldbook.intake.grid import folded
from rootcase.ground.errors import UnknownUnit
from rootcase.ground.units import convert, unit_name
from rootcase.ground.words import say
from rootcase.tables.load import table

_UNITS = ("%", "g/kg", "mg/kg", "ppm", "mg/100g", "mg/L", "lb/ac", "kg/ha", "g/m2", "lb/1000ft2", "meq/100g", "cmol/kg",
          "mmol/kg", "dS/m", "mS/m", "mS/cm", "uS/cm", "mmho/cm", "mg/kg/day", "pH", "1")
"""What laboratories print; other words that could be units, such as the K of potassium, are none here."""
_AMOUNT = r"mg|g|ug|μg|mcg|lbs?|kg|pounds?|meq|me|cmolc?(?:\(\+\))?|mmolc?(?:\(\+\))?|ds|ms|us|μs|mmhos?|umhos?|μmhos?"
_PER = r"100 ?g|kg|g|l|lit(?:re|er)|dm3|acre|ac|a|ha|hectare|cm|m2|m|1000 ?(?:sq\.? ?ft|ft2)"
_UNIT = re.compile(rf"%|\b(?:percent|per cent|pct|ppm)\b|(?<![^\W_])(?:{_AMOUNT}) ?(?:(?:/|\bper\b) ?(?:{_PER})\b"
                   r"(?: ?/ ?d(?:ay)?\b)?|(?:kg|g|l|ha|m|cm) ?[-−]1\b(?: d(?:ay)?[-−]1\b)?)")
_SUBSTANCE = "co2-c|co2|c|no3-n|nh4-n|so4-s|no3|nh4|so4|p2o5|k2o|cao|mgo|n|p|k|s|ca|mg|na|cl"
_OF = re.compile(rf"\b(?!mg mg)({_AMOUNT}) (?:of )?({_SUBSTANCE})(?= ?(?:/|per\b))")
_AS = re.compile(rf"\bas ({_SUBSTANCE})\b")
_SPAN = re.compile(r"(\d+(?:\.\d+)?) ?(?:-|–|to) ?(\d+(?:\.\d+)?) ?(inches|inch|in\b|\"|cm\b|mm\b|[uμ]m\b|ft\b)")
_SIZE = re.compile(r"[<>] ?\d+(?:\.\d+)? ?(?:mm|[uμ]m)\b")
_LITRE_WEIGHS = re.compile(r"(\d+(?:\.\d+)?) ?kg ?/ ?l\b")
_PPM_A_SIEMENS = re.compile(r"(\d+) ?ppm ?= ?1 ?ds/m")
_TOKEN = re.compile(r"\d+(?:\.\d+)?:\d+(?:\.\d+)?|\d+\.\d+|[^\W_]+")


@dataclass(frozen=True, slots=True)
class Word:
    """A name of an analyte: its kind in soil and in leaf, and the substances it may be told as."""

    soil: str
    leaf: str
    forms: tuple[str, ...]
    asked: bool


@dataclass(frozen=True, slots=True)
class Method:
    """A name of a method: the attribute it gives, and the catalogue's word for it."""

    attribute: str
    code: str
    implies: str
    printed: str


@dataclass(frozen=True, slots=True)
class Printed:
    """All that a header says."""

    words: tuple[Word, ...]
    methods: tuple[Method, ...]
    unit: str | None
    """Our name; empty where none is printed, None where what is printed is none we know."""
    unit_text: str
    form: str
    """The substance, where the header says "as N" or "lb P2O5/A"."""
    span: tuple[float, float, str] | None
    """A stretch of depth or of size of grains, with its unit."""
    span_text: str
    litre_kg: float | None
    ppm_a_siemens: float | None
    beside: frozenset[str]
    """Words beside the analyte that matter only to some: total, exchangeable."""
    unnamed: tuple[str, ...]
    """What stands in brackets and is not known: the laboratory's own words for its method."""

    @property
    def layer_m(self) -> float | None:
        """How thick the layer of the header is."""
        return convert(self.span[1] - self.span[0], self.span[2], "m") if self.span else None


@dataclass
class _Rest:
    """A header while its parts are taken off it."""

    text: str

    def take(self, pattern: re.Pattern[str]) -> re.Match[str] | None:
        found = pattern.search(self.text)
        if found:
            self.text = f"{self.text[:found.start()]} {self.text[found.end():]}"
        return found


def parted(header: str, unit: str) -> Printed | None:
    """All that a header says, or None where a word of it is neither analyte nor method, or says it is no content."""
    if _openings().isdisjoint(tokens(header)):
        return None  # most texts of a stranger's sheet: told at once
    rest = _Rest(_plain(header))
    litre, siemens = rest.take(_LITRE_WEIGHS), rest.take(_PPM_A_SIEMENS)
    beside = _Rest(_plain(unit))
    span, size = rest.take(_SPAN) or beside.take(_SPAN), rest.take(_SIZE)
    said_as = rest.take(_AS) or beside.take(_AS)
    form = said_as[1] if said_as else _substance(rest) or _substance(beside)
    found = rest.take(_UNIT)
    unit_text = _as_printed((found[0],), header) if found else unit
    name = _unit(found[0] if found else beside.text)
    brackets = r"[(\[{][^)\]}]*[)\]}]?"
    outside, strange = _cover(re.sub(brackets, " ", rest.text), header)
    inside, unnamed = _cover(" ".join(re.findall(brackets, rest.text)), header)
    if strange or _barred(unnamed):
        return None
    entries = (*outside, *inside)
    ends = (float(span[1]), float(span[2]), span[3]) if span and float(span[2]) > float(span[1]) else None
    return Printed(
        tuple(each for each in entries if isinstance(each, Word)),
        tuple(dict.fromkeys(each for each in entries if isinstance(each, Method))), name, unit_text,
        form.rpartition("-")[2], ends, span[0] if span else size[0] if size else "",
        float(litre[1]) if litre else None, float(siemens[1]) if siemens else None,
        frozenset(each for each in entries if isinstance(each, str)), tuple(unnamed))


def tokens(text: str) -> tuple[str, ...]:
    """The words of a text without case and punctuation; a ratio stays one word.

    >>> tokens("Bray-1, pH1:2.5 (P₂O₅)")
    ('bray', '1', 'ph', '1:2.5', 'p2o5')
    """
    return tuple(_TOKEN.findall(re.sub(r"(?<=[^\W\d_])(?=\d+(?:\.\d+)?:\d)", " ", _plain(text))))


def _plain(text: str) -> str:
    form = unicodedata.normalize("NFKC", text).casefold().replace("_", " ").replace("µ", "μ")
    form = re.sub(r"(?<=\d),(?=\d)", ".", re.sub(r"(?<=\d) ?: ?(?=\d)", ":", form))
    return " ".join(form.replace("⁻", "-").split())


def _substance(rest: _Rest) -> str:
    """Takes the substance out of the middle of a unit: mg P/kg, lb P2O5 per acre."""
    found = _OF.search(rest.text)
    if found:
        rest.text = f"{rest.text[:found.start()]}{found[1]}{rest.text[found.end():]}"
    return found[2] if found else ""


def _unit(text: str) -> str | None:
    """Our name of a unit as laboratories print it; empty where there is none, None where it is not known."""
    if folded(text) in say("lab.no_unit").split("|") and "%" not in text:
        return ""
    for attempt in (text.strip(" ()[]"), *(found[0] for found in [_UNIT.search(text)] if found)):
        try:
            name = unit_name(attempt)
        except UnknownUnit:
            continue
        if name in _UNITS:
            return name
    return None


_Entry = Word | Method | str


def _cover(text: str, header: str) -> tuple[list[_Entry], list[str]]:
    """What the words mean, the longest known phrase first, and those that mean nothing here, as the header has them."""
    entries: list[_Entry] = []
    strange: list[str] = []
    words, at = tokens(text), 0
    longest = max(map(len, _phrases()))
    while at < len(words):
        size = next((n for n in range(min(longest, len(words) - at), 0, -1) if words[at:at + n] in _phrases()), 0)
        if size:
            entries += [replace(each, printed=_as_printed(words[at:at + size], header)) if isinstance(each, Method)
                        else each for each in _phrases()[words[at:at + size]]]
        else:
            strange.append(_as_printed(words[at:at + 1], header))
        at += size or 1
    return entries, strange


def _as_printed(words: tuple[str, ...], header: str) -> str:
    found = re.search(r"[\W_]*".join(map(re.escape, words)), header, re.IGNORECASE)
    return found[0] if found else " ".join(words)


def _barred(words: list[str]) -> bool:
    return any(word.casefold() in say("lab.no_content").split("|") for word in words)


@cache
def _phrases() -> Mapping[tuple[str, ...], list[_Entry]]:
    """Every known phrase with all it may mean."""
    found: dict[tuple[str, ...], list[_Entry]] = {}
    for word in say("lab.beside").split("|"):
        found[tokens(word)] = [word]
    for row in table("observe/analyte_words").rows:
        forms = tuple(row["forms"].split("|")) if row["forms"] else ()
        for word in row["words"].split("|"):
            found.setdefault(tokens(word), []).append(Word(row["soil"], row["leaf"], forms, row["asked"] == "yes"))
    for row in table("observe/laboratory_methods").rows:
        for word in row["words"].split("|"):
            method = Method(row["attribute"], row["code"], row["implies"], word)
            found.setdefault(tokens(word), []).append(method)
    return found


@cache
def _openings() -> frozenset[str]:
    """The first word of every phrase that names an analyte or a method."""
    return frozenset(words[0] for words, entries in _phrases().items() if not isinstance(entries[0], str))
