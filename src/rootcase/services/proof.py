"""Prove: what a practice's own trials say of each remedy in doubt, over all its properties."""

from __future__ import annotations

from collections.abc import Iterable

from rootcase.casework.prove.gathered import readings_of_trial
from rootcase.casework.prove.left_alone import left_alone
from rootcase.casework.prove.proof import proof_of
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.records.prove import LeftAlone, Proof, TrialReadings


def proofs(book: Fieldbook, property_ids: Iterable[str]) -> tuple[Proof, ...]:
    """Of each thing in doubt for which a lot parted pairs, in the order of their codes."""
    trials = trials_of(book, property_ids)
    return tuple(found for doubt in sorted(trials) if (found := proof_of(trials[doubt])))


def trials_of(book: Fieldbook, property_ids: Iterable[str]) -> dict[str, list[TrialReadings]]:
    """What was read of the pairs of each thing in doubt, a property each."""
    trials: dict[str, list[TrialReadings]] = {}
    for property_id in property_ids:
        signed = book.signed_plans(property_id)
        doubts = sorted({arms.doubt for plan in signed for arms in plan.signing.arms if arms.pairs})
        if not doubts:
            continue
        record, applied = book.record(property_id), book.recording.applications(property_id)
        for doubt in doubts:
            trials.setdefault(doubt, []).append(readings_of_trial(record, signed, doubt, applied))
    return trials


def left_alone_at(book: Fieldbook, property_ids: Iterable[str]) -> tuple[LeftAlone, ...]:
    """Of each property with trees that were signed to be left alone and read again, how those grew."""
    found = (left_alone(book.record(an_id), signed, book.recording.applications(an_id)) for an_id in property_ids
             if (signed := book.signed_plans(an_id)))
    return tuple(each for each in found if each.trees)
