"""Case: what the fieldbook holds of a property beside its casework, at hand for the pages of its trees."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass
from datetime import date
from threading import Lock

from rootcase.casework.prescribe.due import Known, due_list
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.put_on_log import put_on_of
from rootcase.records.field import PutOn
from rootcase.records.observe import Practice, Property, PropertyRecord, Tree, WantedReading
from rootcase.records.offer import DueItem, MadeOffer, SignedPlan
from rootcase.records.prove import Proof
from rootcase.services.proof import proofs

MOST_HELD = 64
"""JUDGEMENT: properties held at hand, some megabytes each."""


@dataclass(frozen=True, slots=True)
class CaseFile:
    """All that is written down of a property as it stands now, newer than its casework may be."""

    record: PropertyRecord
    plans: tuple[SignedPlan, ...]
    """Newest first."""
    offers: tuple[MadeOffer, ...]
    """Newest first."""
    wanted: tuple[WantedReading, ...]
    put_on: tuple[PutOn, ...] = ()
    """Newest first."""
    proofs: tuple[Proof, ...] = ()
    """Of the trials of this property alone."""

    @property
    def signed(self) -> SignedPlan | None:
        """The plan that stands."""
        return next((plan for plan in self.plans if plan.standing == "standing"), None)


def case_file(fieldbook: Fieldbook, ground: Property) -> CaseFile:
    """Read it all."""
    with fieldbook.store.reading() as look:
        put_on = put_on_of(look.events(ground.id))
    return CaseFile(fieldbook.record(ground.id), fieldbook.signed_plans(ground.id), fieldbook.offers(ground.id),
                    fieldbook.wanting.of(ground.id), put_on, proofs(fieldbook, [ground.id]))


def next_work(file: CaseFile, tree: Tree, today: date) -> DueItem | None:
    """The signed work that comes next at a tree; None where none is signed or its season is not known."""
    items = due_list([Known(file.record, file.signed, (), None)], Practice(), today, date.max)
    return next((item for item in items if item.kind == "work" and tree.id in item.tree_ids), None)


@dataclass(frozen=True, slots=True)
class _Held:
    file: CaseFile
    received: int
    commits: tuple[int, int]


class CaseFiles:
    """Files at hand, so that a page need not read them again; each is read anew where something of it was written."""

    def __init__(self) -> None:
        self._held: OrderedDict[tuple[str, str], _Held] = OrderedDict()
        self._turn = Lock()

    def file(self, fieldbook: Fieldbook, ground: Property) -> CaseFile:
        """As case_file, for the price of a look where nothing of the property was written since the last time."""
        arrivals, key = fieldbook.arrivals, (fieldbook.arrivals.where, ground.id)
        commits = arrivals.commits()
        with self._turn:
            held = self._held.get(key)
        if held is None or held.commits != commits:
            received = arrivals.reach(ground.id).received  # before: what comes while it is read is read the next time
            file = held.file if held and not arrivals.anything_since(ground.id, held.received) else case_file(
                fieldbook, ground)
            held = _Held(file, received, commits)
        with self._turn:
            self._held[key] = held
            self._held.move_to_end(key)
            while len(self._held) > MOST_HELD:
                self._held.popitem(last=False)
        return held.file
