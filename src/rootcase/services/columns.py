"""Columns of a list: what each may be taken for, in the order and the groups in which it is offered."""

from __future__ import annotations

from collections.abc import Sequence

from rootcase.fieldbook.intake.lists.columns import Theirs
from rootcase.fieldbook.intake.lists.listing import Listing
from rootcase.fieldbook.intake.lists.told import KEEP, LEAVE
from rootcase.fieldbook.intake.lists.words import PLAIN, TRUNKS
from rootcase.ground.units import unit_label
from rootcase.ground.words import say
from rootcase.tables.readings import kinds

Meanings = Sequence[tuple[str, Sequence[tuple[str, str]]]]
"""Name of a group, and the words of it with what each is called."""
_OF_TREES, _OF_SAMPLES = ("tree", "place", "visit"), ("sample",)
_SAMPLE_WORDS = ("sample", "tree", "place", "depth", "day")
"""What a column of a laboratory's sheet may be beside a kind of reading."""


def meanings(listing: Listing) -> Meanings:
    """What a column may be taken for; readings by what they are read at."""
    of_sample = listing.thing == "sample"
    plain = _SAMPLE_WORDS if of_sample else (*PLAIN[:-2], *TRUNKS[1:])
    named = {word: say(f"bring.ours.{word}") for word in (KEEP, LEAVE, *plain)}
    groups = {of: sorted(((kind.kind, kind.label) for kind in kinds().values() if kind.of == of and
                          kind.kind not in named), key=lambda each: each[1])
              for of in (_OF_SAMPLES if of_sample else _OF_TREES)}
    known = {*named, *(word for words in groups.values() for word, _ in words)}
    others = {each.word: each.ours for each in listing.columns if each.word not in known and each.word != "asked"}
    return [(say("bring.columns.group.list"), list((named | others).items())),
            *((say(f"bring.columns.group.{of}"), words) for of, words in groups.items())]


def option_said(option: str) -> str:
    """What may be written for a column that is asked about, in words."""
    word, _, unit = option.partition(":")
    label = kinds()[word].label if word in kinds() else say(f"bring.ours.{word}") if word in TRUNKS else word
    return say("bring.option", label=label, unit=unit_label(unit)) if unit else label


def has_unit(theirs: Theirs) -> bool:
    """Whether a column's unit can be another."""
    return ":" in theirs.means


def may_have_unit(word: str) -> bool:
    """Whether what a column is taken for is measured in a unit."""
    return word in TRUNKS or bool(word in kinds() and kinds()[word].si_unit)
