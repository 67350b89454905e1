"""Case: what the fieldbook holds of a property beside its casework, at hand for the pages of its trees."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass
from threading import Lock

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.records.observe import Property, PropertyRecord, WantedReading
from rootcase.records.offer import MadeOffer, SignedPlan

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

    @property
    def signed(self) -> SignedPlan | None:
        """The plan that stands."""
        return next((plan for plan in self.plans if plan.standing == "standing"), None)


def case_file(fieldbook: Fieldbook, ground: Property) -> CaseFile:
    """Read it all."""
    return CaseFile(fieldbook.record(ground.id), fieldbook.signed_plans(ground.id), fieldbook.offers(ground.id),
                    fieldbook.wanting.of(ground.id))


class CaseFiles:
    """Files at hand, so that a page need not read them again; looks whether anything was written since."""

    def __init__(self) -> None:
        self._held: OrderedDict[tuple[str, str], tuple[tuple[int, int], CaseFile]] = OrderedDict()
        self._turn = Lock()

    def file(self, fieldbook: Fieldbook, ground: Property) -> CaseFile:
        """As case_file, for the price of a look where nothing was written since the last time."""
        key, now = (fieldbook.arrivals.where, ground.id), fieldbook.arrivals.commits()
        with self._turn:
            held = self._held.get(key)
        fresh = held if held and held[0] == now else (now, case_file(fieldbook, ground))
        with self._turn:
            self._held[key] = fresh
            self._held.move_to_end(key)
            while len(self._held) > MOST_HELD:
                self._held.popitem(last=False)
        return fresh[1]
