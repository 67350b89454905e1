"""What the header words of the trade mean, in a few languages, and the units that stand beside them."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache, lru_cache

from rootcase.fieldbook.intake.grid import folded
from rootcase.fieldbook.intake.layout import kind_of
from rootcase.ground.errors import UnknownUnit
from rootcase.ground.units import convertible, unit_name
from rootcase.ground.words import say
from rootcase.science.circle import diameter_of_girth
from rootcase.tables.readings import ReadingKind, kinds

PLAIN = ("tag", "place", "ground", "day", "position", "genus", "depth", "of_tree")
"""What a column may be beside a kind of reading."""
TRUNKS = ("dbh", "girth", "caliper")
"""Words for the size of a trunk, the best first."""
_MEASURED: Mapping[str, tuple[str, float, str]] = {
    "girth": ("dbh", float(diameter_of_girth(1.0)), "lists.girth"), "caliper": ("dbh", 1.0, "lists.caliper")}
"""Kind, factor and what is said of trunk sizes that are no diameter at breast height."""

_BREAST_HEIGHT = re.compile(r"(?:\b(?:at|in|measured at)|@)\s*(?:1[.,][345]\d?\s*m|1[345]\d\s*cm|4[.,]5\s*(?:ft|feet|')"
                            r"|4'\s*6\")(?![^\W_])(?:\s*(?:height|hohe|höhe|above ground))?", re.IGNORECASE)
"""Where a trunk is taped on either side of the Atlantic and in forests; it says no more than breast height does."""


@dataclass(frozen=True, slots=True)
class Meant:
    """What a header stands for."""

    target: str
    """One of PLAIN, a word of a trunk's size, or the code of a kind."""
    unit: str = ""
    factor: float = 1.0
    attributes: Mapping[str, str] = field(default_factory=dict)
    said: str = ""
    """What must be known of it; empty where the word says all."""
    options: tuple[str, ...] = ()
    """Headers that would leave nothing open, where this one does."""
    asked: bool = False
    word: str = ""
    """As `--column` writes it, where that is not the target."""

    @property
    def kind(self) -> ReadingKind | None:
        return kinds().get(_MEASURED[self.target][0] if self.target in _MEASURED else self.target)


@lru_cache(maxsize=4096)
def meant(header: str, unit: str = "") -> Meant | None:
    """What a header stands for, or None; `unit` is what a row of units says.

    >>> meant("Ht ft").target, meant("Ht ft").unit, meant("DBH_cm").unit, meant("Stammumfang [cm]").target
    ('tree_height', 'ft', 'cm', 'girth')
    >>> meant("Girth at 1.3 m (cm)").unit, meant("Girth at 1 m (cm)") is None
    ('cm', True)
    >>> meant("Height of nearest building") is None
    True
    """
    for name, beside in _partings(header):
        found = target_of(name)
        if found is None:
            continue
        if beside and (found.kind is None or not is_unit_of(found.kind, beside)):
            continue
        given = beside or unit
        return Meant(found.target, unit_name(given) if found.kind and is_unit_of(found.kind, given) else "",
                     found.factor, found.attributes, found.said)
    return None


def target_of(word: str) -> Meant | None:
    """What a word without a unit names: one of the list's own words, a kind's code, or its label."""
    bare = plain(word)
    numbered = re.sub(r"(?<=[a-z]) ?\d$", "", bare)  # stem 1, stem 2
    target = _words().get(bare) or _words().get(_bare(bare)) or _words().get(numbered)
    kind = kind_of(word)
    if target is None and (kind is None or kind.kind == "tree_tag"):
        return Meant("tag") if kind else None
    name = target or (kind.kind if kind else "")
    if name in _MEASURED:
        _, factor, said = _MEASURED[name]
        return Meant(name, factor=factor, attributes={"measured": name}, said=say(said))
    return Meant(name) if name in PLAIN or name in kinds() else None


def factor_of(measured: str) -> float:
    """What makes a number that was measured so (a girth) one of its kind."""
    return _MEASURED[measured][1] if measured in _MEASURED else 1.0


def is_unit_of(kind: ReadingKind, text: str) -> bool:
    """Whether a text names a unit in which this kind can be given; "year" in a header names the fact, no unit."""
    if not text or kind.si_unit in ("", "year"):
        return False
    try:
        return convertible(unit_name(text), kind.si_unit)
    except UnknownUnit:
        return False


def plain(text: str) -> str:
    """A word without case, accents and punctuation.

    >>> plain("Höhe"), plain("TreeID"), plain("Année de plantation")
    ('hohe', 'tree id', 'annee de plantation')
    """
    parted = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", text)
    return folded("".join(sign for sign in unicodedata.normalize("NFKD", parted) if not unicodedata.combining(sign)))


def _partings(header: str) -> Iterator[tuple[str, str]]:
    """The ways to part a header into its name and a unit."""
    whole = header = _BREAST_HEIGHT.sub(" ", header).strip()
    if found := re.fullmatch(r"(.*?)\s*[(\[{]\s*([^()\[\]{}]*?)\s*[)\]}]\s*(.*)", header):
        yield f"{found[1]} {found[3]}".strip(), found[2]
        yield found[1], ""  # what stands in brackets may be a remark
        yield found[2], ""
        header = f"{found[1]} {found[3]}"
    words = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", header).replace("_", " ").replace("-", " ")
    parts = [part for part in re.split(r"[\s,;:/|]+", words) if part]
    for many in (1, 2):
        if len(parts) > many:
            head, tail = parts[:-many], parts[-many:]
            if head[-1].lower() == "in" and len(head) > 1 and many == 1:
                yield " ".join(head[:-1]), tail[0]
            yield " ".join(head), " ".join(tail)
            yield " ".join(parts[many:]), " ".join(parts[:many])
    yield whole, ""


def _bare(word: str) -> str:
    """A word without those that add nothing, where something is left."""
    left = [part for part in word.split() if part not in say("lists.filler_words").split("|")]
    return " ".join(left)


@cache
def _words() -> Mapping[str, str]:
    found: dict[str, str] = {}
    for entry in say("lists.header_words").split(";"):
        target, _, listed = entry.partition(":")
        found |= {plain(word): target.strip() for word in listed.split(",") if plain(word)}
    return found
