"""Feed back: what a practice's own trials say takes the handbook's place in its plans, once somebody signs."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import partial

from rootcase.casework.prove.promised import promised_of, to_be_signed
from rootcase.casework.prove.proof import proof_of
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.ground.errors import Missing, RootcaseError
from rootcase.ground.words import say
from rootcase.records.observe import Property, PropertyRecord
from rootcase.records.prescribe import Plan, PlanItem
from rootcase.records.prove import Promise, Proof, SignedEffect
from rootcase.services.prescribe import plan_inputs, silent_output, thought
from rootcase.services.proof import trials_of
from rootcase.services.results import remembered
from rootcase.services.run import Run


@dataclass(frozen=True, slots=True)
class Fed:
    """One remedy before and after its trials."""

    proof: Proof
    before: Promise | None
    """By the plans of the trees that answer; None: no plan reckoned with it."""
    stands: SignedEffect | None
    """What is signed today."""
    after: SignedEffect | None
    """What would be signed; by nobody yet. None: it cannot be."""
    against: str
    """Why it cannot be; empty where it can."""


@dataclass(frozen=True, slots=True)
class Replanned:
    """One property's plan as it is today and as it would be."""

    record: PropertyRecord
    old: Plan
    new: Plan

    def moved(self) -> tuple[tuple[str, PlanItem | None, PlanItem | None], ...]:
        """Tree and its work then and now, where another remedy is chosen."""
        old, new = ({item.tree_id: item for item in plan.items} for plan in (self.old, self.new))
        return tuple((tree.tree_id, was, now) for tree in self.old.trees
                     for was, now in ((old.get(tree.tree_id), new.get(tree.tree_id)),)
                     if (was.remedy if was else "") != (now.remedy if now else ""))


def feed(book: Fieldbook, property_ids: Iterable[str], day: date) -> tuple[Fed, ...]:
    """Of each thing in doubt for which a lot parted pairs, in the order of their codes."""
    ids = list(property_ids)
    stands = {each.remedy: each for each in book.proving.effects()}
    found = []
    for remedy, trials in sorted(trials_of(book, ids).items()):
        proof = proof_of(trials)
        if proof is None:
            continue
        plans = [plan for trial in trials for plan in book.signed_plans(trial.property_id)]
        before = promised_of(trials, plans, remedy)
        try:
            after, against = to_be_signed(proof, trials, before, by="", day=day), ""
        except RootcaseError as error:
            after, against = None, str(error)
        found.append(Fed(proof, before, stands.get(remedy), after, against))
    return tuple(found)


def feed_of(found: Sequence[Fed], remedy: str) -> Fed:
    """That of one remedy."""
    for each in found:
        if each.proof.remedy == remedy:
            return each
    raise Missing(say("feed.no_trial"), value=remedy, right=say("feed.no_trial_right"))


def may_be_signed(fed: Fed) -> SignedEffect:
    """What would be signed of a remedy, where anything can be."""
    if fed.after is None:
        raise Missing(fed.against)
    return fed.after


def sign_effect(book: Fieldbook, fed: Fed, *, by: str, day: date) -> SignedEffect:
    """From now on every plan reckons with it."""
    return book.proving.sign(replace(may_be_signed(fed), by=by.strip(), day=day))


def replanned(book: Fieldbook, grounds: Iterable[Property], run: Run, remedy: str,
              effect: SignedEffect | None) -> tuple[Replanned, ...]:
    """The plans that would be others, were this signed; None: were the handbook to hold again."""
    found = []
    for ground in grounds:
        record, weather, comparison, explanations, prices = thought(book, ground, run)
        others = tuple(each for each in record.learned if each.remedy != remedy)
        then = replace(record, learned=(*others, effect) if effect else others)

        def planned(held: PropertyRecord) -> Plan:
            from rootcase.casework.prescribe.prescribe import plan_of  # slow to load, and seldom needed

            with silent_output():
                return plan_of(plan_inputs(held, comparison, explanations, weather, prices, run))  # noqa: B023

        old, new = (remembered(run.results, Plan, (held, comparison, explanations, weather, prices, run.today,
                                                   run.draws, run.seed, "no readings ahead"), partial(planned, held))
                    for held in (record, then))
        each = Replanned(record, old, new)
        if each.moved():
            found.append(each)
    return tuple(found)
