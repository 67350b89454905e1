"""What kind of tree a person meant: botanical and common names as they are really written, never guessed.

A name that fits one kind is taken for it, and how it was read is said. A name that fits several kinds, or that is a
slip or two away from one, is kept as typed with what it may mean.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from typing import Literal

from rootcase.fieldbook.intake.grid import folded
from rootcase.fieldbook.intake.spelling import Spelling, slips_between
from rootcase.ground.words import say
from rootcase.tables.load import table

How = Literal["accepted", "synonym", "common", "genus", "near", "unknown"]

_GENUS = " sp."
_RANKS = {"x", "var", "subsp", "ssp", "f", "forma"}
"""Words inside a botanical name that tell its form, not the kind."""
_GENUS_ALONE = {"sp", "spp", "species"}
_QUOTED = re.compile(r"""(?<!\w)['"‘’“”„`´«](.+?)['"‘’“”`´»](?!\w)|\bcv\.?\s+(.+)$""")
_BREAKS = re.compile(r"\s+[-–—]\s+|[/()\[\];:|,]+")
_CODE = re.compile(r"([A-Z]{2})([A-Z]{2})\d?|([A-Z]{3})([A-Z]{3})\d?")
_AUTHORS = frozenset((
    "Linnaeus", "Marshall", "Miller", "Mill", "Michaux", "Walter", "Wangenh", "Willd", "Nutt", "Lam", "Roth", "Ehrh",
    "Moench", "Aiton", "Scop", "Engelm", "Britton", "Sarg", "Thunb", "Siebold", "Zucc", "Bunge", "Maxim", "Lindl",
    "Koch", "Gray", "Torr", "Hook", "Muenchh", "Münchh", "Franco", "Carrière"))
"""Of the kinds of our table, as they are written without a full stop (memory)."""
_SUREST: tuple[How, ...] = ("accepted", "synonym", "common", "genus", "near")
_MOST = 5
APART = " / "
"""Between two names of one tree that do not go together."""
_SURE_FIRST_LETTER = 8
"""JUDGEMENT: of a shorter single word another first letter makes another word, as of ahorn (maple) and thorn."""
_LONGEST = 200
"""No name is longer with its author, its cultivar and a remark; looking through a longer text takes too long."""
_CONFUSED = 2
"""Kinds of one genus whose names are two letters apart are confused even with a slip: saccharum, saccharinum."""


@dataclass(frozen=True, slots=True)
class Named:
    """How a typed name was read."""

    typed: str
    botanical: str | None
    """The kind as our table writes it, or its genus with "sp."; None where it is not sure."""
    cultivar: str
    how: How
    candidates: tuple[str, ...] = ()
    """What the name may mean, where that is not one kind."""


@dataclass(frozen=True, slots=True)
class _Found:
    """Kinds that a name, as written, is a name of."""

    how: How
    kinds: tuple[str, ...]
    after: tuple[str, ...] = ()
    """Words behind a botanical name, as typed."""


@dataclass(frozen=True, slots=True)
class _Names:
    botanical: Mapping[str, tuple[How, tuple[str, ...]]]
    """By the name's folded words without its ranks; an old name may have been that of two kinds."""
    common: Mapping[str, tuple[str, ...]]
    """By the name's letters alone: people part and join its words as they like."""
    kinds_of_genus: Mapping[str, tuple[str, ...]]
    kinds_by_letters: Mapping[str, tuple[str, ...]]
    """By the letters of any name or genus."""
    common_names: Mapping[str, tuple[str, ...]]
    """By the name's folded words."""
    common_words: frozenset[str]


@lru_cache(maxsize=20_000)
def resolve(typed: str) -> Named:
    """The kind of tree a cell names.

    >>> named = resolve("Maple, Red 'October Glory'")
    >>> named.botanical, named.cultivar, named.how
    ('Acer rubrum', 'October Glory', 'common')
    >>> resolve("sycamore").candidates, resolve("silver mapel").candidates
    (('Acer pseudoplatanus', 'Platanus occidentalis'), ('Acer saccharinum',))
    """
    if len(typed) > _LONGEST:
        return Named(typed, None, "", "unknown")
    text, cultivar = _without_cultivar(typed)
    named = Named(typed, None, cultivar, "unknown")
    if names_no_kind(typed):
        return named
    found = _agreed(text) or _near(text)
    if found is None:
        return named
    if len(found.kinds) > 1 or found.how == "near" or "?" in typed:
        return replace(named, how="near" if len(found.kinds) == 1 else found.how, candidates=found.kinds)
    return replace(named, botanical=found.kinds[0], how=found.how, cultivar=cultivar or _cultivar_behind(found, text))


def doubts_of(name: str) -> tuple[str, ...]:
    """What to ask about a name that is not surely one of our kinds, where it may be.

    >>> doubts_of("Quercus rubra"), doubts_of("Sassafras albidum")
    ((), ())
    >>> doubts_of("Qercus rubra")
    ('"Qercus rubra" is kept: so written it is none of our names. Did you mean Quercus rubra?',)
    """
    named = resolve(name)
    if not named.candidates:
        return ()
    return (say("names.near" if named.how == "near" else "names.several", typed=name,
                kinds=say("readings.or").join(named.candidates)),)


def are_apart(one: str, other: str) -> bool:
    """Whether two names, each known, are of no one kind.

    >>> are_apart("Acer rubrum", "Norway maple"), are_apart("Acer rubrum", "maple"), are_apart("Acer rubrum", "Foo")
    (True, False, False)
    """
    kinds = [(named.botanical,) if named.botanical else named.candidates if named.how != "near" else ()
             for named in map(resolve, (one, other))]
    return all(kinds) and not _common_ground(*kinds)


def names_no_kind(typed: str) -> bool:
    """Whether a cell says that there is no tree, or none that anybody knew.

    >>> names_no_kind("Vacant site"), names_no_kind("Unknown sp."), names_no_kind("dead oak")
    (True, True, False)
    """
    return not _without_idle(typed)


def said_of(named: Named) -> str:
    """How a name was read, where that is not as it was typed; and where our tables know no more of the kind than that.

    >>> said_of(resolve("Quercus rubra")), said_of(resolve("red maple"))
    ('', '"red maple" is read as Acer rubrum')
    """
    if names_no_kind(named.typed):
        return say("names.no_kind_named", typed=named.typed)
    if named.botanical is None:
        return "" if named.candidates else say("names.not_ours", typed=named.typed)
    told, kind = [], named.botanical
    if folded(named.typed) != folded(kind):
        full = say("names.with_cultivar", kind=kind, cultivar=named.cultivar) if named.cultivar else kind
        told.append(say("names.read", typed=named.typed, kind=full))
    ours = table("species").rows
    if not kind.endswith(_GENUS) and kind not in {row["botanical_name"] for row in ours}:
        of_genus = kind.split()[0] in {row["genus"] for row in ours}
        told.append(say("names.of_genus" if of_genus else "names.name_only", kind=kind))
    return "; ".join(told)


@cache
def _names() -> _Names:
    rows = table("observe/tree_names").rows
    common, letters, before = defaultdict(list), defaultdict(list), defaultdict(list)
    botanical: dict[str, tuple[How, tuple[str, ...]]] = {}
    genera: dict[str, list[str]] = {row["genus"].casefold(): [] for row in rows}
    names = defaultdict(list)
    for row in rows:
        kind = row["botanical_name"]
        for name in filter(None, row["common_names"].split("|")):
            words = folded(name).split()
            common[_letters(words)].append(kind)
            letters[_letters(words)].append(kind)
            names[" ".join(words)].append(kind)
        for name in filter(None, row["synonyms"].split("|")):
            before[_botanical_words(name)].append(kind)
        if not kind.endswith(_GENUS):
            botanical[_botanical_words(kind)] = ("accepted", (kind,))
            genera[row["genus"].casefold()].append(kind)
    for name, several in before.items():
        botanical.setdefault(name, ("synonym", tuple(several)))
    for name, (_, kinds) in botanical.items():
        letters[_botanical_letters(name)] += kinds
    for genus in genera:
        letters[genus].append(genus.capitalize() + _GENUS)
    return _Names(botanical, _frozen(common), _frozen(genera), _frozen(letters), _frozen(names),
                  frozenset(word for name in names for word in name.split()))


@cache
def _spelling() -> Spelling:
    return Spelling(_names().kinds_by_letters)


def _frozen(lists: Mapping[str, list[str]]) -> Mapping[str, tuple[str, ...]]:
    return {key: tuple(dict.fromkeys(values)) for key, values in lists.items()}


def _botanical_words(text: str) -> str:
    return " ".join(word for word in folded(text).split() if word not in _RANKS)


def _botanical_letters(kind: str) -> str:
    return _botanical_words(kind).replace(" ", "")


def _letters(words: Iterable[str]) -> str:
    return "".join(words).replace("grey", "gray")


def _without_cultivar(typed: str) -> tuple[str, str]:
    """A name and the cultivar in it, which stands in quotes or behind cv."""
    found = _QUOTED.search(typed)
    rest = " ".join(f"{typed[:found.start()]} {typed[found.end():]}".split()) if found else ""
    if found and folded(rest):
        return rest, (found[1] or found[2]).strip()
    return (found[1] or found[2] if found else typed), ""


def _cultivar_behind(found: _Found, text: str) -> str:
    """Capitalised words behind a botanical name are a cultivar, unless they are its author."""
    words = found.after
    if not words or text.isupper() or not all(
            word.isalpha() and word.istitle() and len(word) > 2 and word not in _AUTHORS for word in words):
        return ""
    return " ".join(words)


def _agreed(text: str) -> _Found | None:
    """What all the parts of a cell that are names can mean: "Maple, red", "Oak (Quercus rubra)"."""
    parts = _parts(text)
    found = [each for part in parts if (each := _written(part) or _written(_without_idle(part)))]
    if not found:
        return None
    kinds = found[0].kinds
    for other in found[1:]:
        kinds = _common_ground(kinds, other.kinds)
    after = next((each.after for each in found if each.after), ())
    if not kinds:
        return _Found("near", tuple(dict.fromkeys(kind for each in found for kind in each.kinds))[:_MOST])
    either_or = "/" in text and len(found) < len(parts)
    how = min((each.how for each in found), key=_SUREST.index)
    return _Found("near" if either_or else how, kinds, after)


def _parts(text: str) -> list[str]:
    """Parts of a cell between its commas, brackets and dashes, the first two turned where that makes a name."""
    parts = [part.strip() for part in _BREAKS.split(text) if folded(part)]
    whole = " ".join(reversed(parts))
    if len(parts) > 2 and _common(folded(whole).split()):
        return [whole]
    if len(parts) > 1:
        words = folded(f"{parts[1]} {parts[0]}").split()
        if _common(words) or " ".join(words) in _names().botanical:
            return [" ".join(words), *parts[2:]]
    return parts


def _common_ground(one: tuple[str, ...], other: tuple[str, ...]) -> tuple[str, ...]:
    """Kinds in both, a genus standing for all of its kinds."""
    return tuple(dict.fromkeys([kind for kind in one if {kind, _genus_of(kind)} & set(other)]
                               + [kind for kind in other if _genus_of(kind) in one]))


def _genus_of(kind: str) -> str:
    return kind.split()[0] + _GENUS


def _without_idle(text: str) -> str:
    """A name without the words that tell of no kind."""
    idle = set(say("names.no_kind").split()) | _GENUS_ALONE
    return " ".join(word for word in folded(text).split() if word not in idle and not word.isdigit())


def _written(text: str) -> _Found | None:
    """Kinds of which a text is the name, letter by letter."""
    words = folded(text).split()
    return _botanical(text) or _common(words) or _genus(words) or _abbreviated(words) if words else None


def _botanical(text: str) -> _Found | None:
    """The longest beginning that is a botanical name; what follows is its author, variety or cultivar."""
    words = [(word, _botanical_words(word)) for word in text.split()]
    words = [(raw, word) for raw, word in words if word]
    for count in range(min(len(words), 5), 1, -1):
        known = _names().botanical.get(" ".join(word for _, word in words[:count]))
        if known:
            return _Found(*known, tuple(raw for raw, _ in words[count:]))
    return None


def _common(words: list[str]) -> _Found | None:
    last = words[-1]
    for one in (last, last.removesuffix("s"), last.removesuffix("es"), re.sub("ies$", "y", last)):
        kinds = _names().common.get(_letters([*words[:-1], one]))
        if kinds:
            return _Found("genus" if len(kinds) == 1 and kinds[0].endswith(_GENUS) else "common", kinds)
    return None


def _genus(words: list[str]) -> _Found | None:
    alone = words[0] in _names().kinds_of_genus and set(words[1:]) <= _GENUS_ALONE
    return _Found("genus", (words[0].capitalize() + _GENUS,)) if alone else None


def _abbreviated(words: list[str]) -> _Found | None:
    """ "Q. rubra": sure only where no other genus of the table begins so."""
    if len(words) < 2 or len(words[0]) > 3:
        return None
    genera = [genus for genus in _names().kinds_of_genus if genus.startswith(words[0])]
    found = [kind for genus in genera for kind in _names().kinds_of_genus[genus]
             if words[1] == _botanical_words(kind).split()[1]]
    if not found:
        return None
    return _Found("accepted" if len(genera) == 1 else "near", tuple(found[:_MOST]))


def _near(text: str) -> _Found | None:
    """Kinds that a text which is no name may mean."""
    parts = _parts(text)
    words = folded(text).split()
    forms = [text, " ".join(reversed(parts)), *parts, _without_idle(text), " ".join(words[:2])]
    misspelt = next(filter(None, map(_misspelt, dict.fromkeys(map(folded, forms)))), ())
    kinds = _coded(text) or misspelt or _ended(words) or _turned(words)
    return _Found("near", kinds[:_MOST]) if kinds else None


def _turned(words: list[str]) -> tuple[str, ...]:
    """Kinds of the name whose last word stands first, as lists sort by it: "Linden littleleaf"."""
    found = _written(" ".join([*words[1:], words[0]])) if len(words) > 1 else None
    return found.kinds if found else ()


def _coded(text: str) -> tuple[str, ...]:
    """Kinds whose genus and second word begin with the letters of a code: a custom of field lists, never one to one."""
    found = _CODE.fullmatch(text.strip())
    if not found:
        return ()
    genus, second = (part.casefold() for part in found.groups() if part)
    return tuple(kind for name, kinds in _names().kinds_of_genus.items() if name.startswith(genus)
                 for kind in kinds if _botanical_words(kind).split()[1].startswith(second))


def _misspelt(text: str) -> tuple[str, ...]:
    """Kinds with a name a slip or two away; where the genus is surely right, only names that begin with it."""
    names = _names()
    words = [word for word in _botanical_words(text).split() if word not in _GENUS_ALONE]
    if not words or names.common_words.issuperset(words):  # "eastern larch" is no slip of "western larch"
        return ()
    typed = _letters(words)
    near = _spelling().near(typed)
    if len(words) == 1 and len(typed) < _SURE_FIRST_LETTER:
        near = {name: count for name, count in near.items() if name[0] == typed[0]}
    genus = words[0] if len(words) > 1 and words[0] in names.kinds_of_genus else ""
    last = words[-1] if len(words) > 1 and words[-1] in names.common_words else ""
    slips: dict[str, int] = {}
    for name, count in sorted(near.items(), key=lambda item: item[1]):
        if name.startswith(genus) and name.endswith(last):
            for kind in names.kinds_by_letters[name]:
                slips.setdefault(kind, count)
                for other in _confused(kind) if name == _botanical_letters(kind) else ():
                    slips.setdefault(other, _MOST)
    return tuple(sorted(slips, key=lambda kind: (slips[kind], kind)))


@cache
def _confused(kind: str) -> tuple[str, ...]:
    return tuple(other for other in _names().kinds_of_genus[kind.split()[0].casefold()] if other != kind
                 and slips_between(_botanical_letters(kind), _botanical_letters(other)) <= _CONFUSED)


def _ended(words: list[str]) -> tuple[str, ...]:
    """Kinds of the common name that ends the words ("Bowhall red maple"), or whose own end they are ("tree lilac")."""
    for start in range(1, len(words)):
        found = _common(words[start:])
        if found and (start < len(words) - 1 or found.how == "genus"):
            return found.kinds
    end = " " + " ".join(words)
    kinds = dict.fromkeys(kind for name, kinds in _names().common_names.items() if name.endswith(end) for kind in kinds)
    return tuple(kinds) if len(words) > 1 and len(kinds) <= _MOST else ()
