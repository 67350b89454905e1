"""Doubts are added to the drafts of an import before anything is kept."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace

from rootcase.fieldbook.events import Body, ReadingTaken
from rootcase.fieldbook.intake.doubts.agreements import doubt_disagreements
from rootcase.fieldbook.intake.doubts.companions import missing_companions
from rootcase.fieldbook.intake.doubts.held import Held, Question, held
from rootcase.fieldbook.intake.doubts.history import doubt_scales
from rootcase.fieldbook.intake.doubts.positions import doubt_positions
from rootcase.fieldbook.intake.doubts.repeats import doubt_repeats
from rootcase.fieldbook.intake.doubts.whose_tree import doubt_kinds, doubt_trunks
from rootcase.fieldbook.view import Head

NETS: Mapping[str, Callable[[Held], Iterable[Question]]] = {
    "scale": doubt_scales, "trunk": doubt_trunks, "kind": doubt_kinds, "position": doubt_positions,
    "repeat": doubt_repeats, "agreement": doubt_disagreements}
"""In the order they ask."""


def add_doubts(drafts: dict[str, Body], standing: Mapping[str, Head]) -> list[str]:
    """Add to each new reading what is to be asked about it; returns what readings lack beside them, to be told once."""
    laid_out = held(drafts, standing)
    for questions in questions_by_net(laid_out).values():
        for slots, words in questions:
            for slot in slots:
                draft = drafts[slot]
                assert isinstance(draft, ReadingTaken)  # only readings are asked about
                drafts[slot] = replace(draft, doubts=(*draft.doubts, words))
    return missing_companions(laid_out)


def questions_by_net(laid_out: Held) -> dict[str, list[Question]]:
    """What each net asks; one that touches a reading an earlier net has asked about keeps silent there."""
    found: dict[str, list[Question]] = {}
    asked: set[str] = set()
    for net, asks in NETS.items():
        found[net] = [(slots, words) for slots, words in asks(laid_out) if not asked.intersection(slots)]
        asked |= {slot for slots, _ in found[net] for slot in slots}
    return found
