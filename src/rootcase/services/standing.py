"""Where each property stands: what is signed, offered, agreed and due; looked up anew only where something came."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from threading import Lock
from typing import Literal

from rootcase.casework.prescribe.due import Known, due_list
from rootcase.fieldbook.arrivals import Reach
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.records.apply.told import WentWrong
from rootcase.records.observe import Property, PropertyRecord, Reading
from rootcase.records.offer import DueItem, MadeOffer, OfferState, SignedPlan, newest_answered
from rootcase.services.kept import Kept
from rootcase.services.offer import known_of, offers_of
from rootcase.services.run import Run
from rootcase.services.sign import fieldbook_state

AHEAD = timedelta(days=90)
"""How far the list of what is due looks ahead where nobody says a day. JUDGEMENT: a season."""
SOON = timedelta(days=14)
"""JUDGEMENT: two weeks ahead are planned on Monday; the list of what is due looks further."""
_NEWS = timedelta(days=14)
"""JUDGEMENT: so long an answer is news, and what went wrong; a question is until somebody replied."""
PlanState = Literal["none", "made", "signed", "perhaps", "outdated"]
"""Of a property: perhaps outdated is what something came to since that nobody has thought through."""


@dataclass(frozen=True, slots=True)
class Standing:
    """One property as it stands on a day."""

    ground: Property
    known: Known
    plans: tuple[SignedPlan, ...]
    """Newest first."""
    offers: tuple[tuple[MadeOffer, OfferState], ...]
    wrong: tuple[WentWrong, ...]
    """What went wrong at work there, newest first."""

    @property
    def record(self) -> PropertyRecord:
        return self.known.record

    @property
    def signed(self) -> SignedPlan | None:
        return self.known.plan

    @property
    def doubted(self) -> tuple[Reading, ...]:
        """Readings that were kept with a doubt nobody has answered."""
        return tuple(reading for reading in self.record.readings if reading.doubts)

    def told(self) -> tuple[tuple[MadeOffer, OfferState], ...]:
        """The offers that are open, that bind, or with a question that waits for an answer."""
        binding = newest_answered([made for made, _ in self.offers])
        return tuple((made, state) for made, state in self.offers
                     if made is binding or state.standing == "open" or made.open_questions)

    def news(self, today: date) -> tuple[tuple[MadeOffer, OfferState], ...]:
        """The offers to which a client has said something that nobody may miss."""
        return tuple((made, state) for made, state in self.offers
                     if made.open_questions or (made.decided and today - made.decided.day <= _NEWS))


def went_wrong_lately(standings: Iterable[Standing], today: date) -> tuple[tuple[Property, WentWrong], ...]:
    """What went wrong at work, newest first."""
    found = [(each.ground, one) for each in standings for one in each.wrong if today - one.day <= _NEWS]
    return tuple(sorted(found, key=lambda each: each[1].at, reverse=True))


def plan_state(fieldbook: Fieldbook, standing: Standing, kept: Kept) -> PlanState:
    """Where the plan of a property stands."""
    if standing.signed is None:
        return "made" if kept.casework else "none"
    if kept.casework is None or kept.because:
        return "perhaps"
    now = kept.form("fieldbook_state", lambda made: fieldbook_state(fieldbook, made.record))
    return "signed" if standing.signed.signing.fieldbook == now else "outdated"


def standing_of(fieldbook: Fieldbook, ground: Property, run: Run) -> Standing:
    """All of a property that is signed, offered, agreed or due."""
    _, offers, _ = offers_of(fieldbook, ground, run.today)  # names are looked up each time: they can be erased
    return Standing(ground, known_of(fieldbook, ground, run), fieldbook.signed_plans(ground.id), tuple(offers),
                    fieldbook.applying.went_wrong(ground.id))


def due_at(standings: list[Standing], fieldbook: Fieldbook, today: date, until: date) -> tuple[DueItem, ...]:
    """What is due at these properties and in the practice until a day."""
    return due_list([each.known for each in standings], fieldbook.practice(), today, until)


class Standings:
    """Properties as they stand, at hand; after a commit it is asked whose it was."""

    def __init__(self) -> None:
        self._held: dict[tuple[str, str], _Held] = {}
        self._turn = Lock()

    def of(self, fieldbook: Fieldbook, ground: Property, run: Run) -> Standing:
        """As standing_of, for the price of a look at the file where nothing came of this property."""
        key = (fieldbook.arrivals.where, ground.id)
        with self._turn:
            held = self._held.get(key)
        commits = fieldbook.arrivals.commits()
        if held and held.today == run.today and held.commits == commits:
            return held.standing
        reach = fieldbook.arrivals.reach(ground.id)
        if held and held.today == run.today and held.reach.weather == reach.weather and not (
                fieldbook.arrivals.anything_since(ground.id, held.reach.received)):
            found = _Held(commits, reach, run.today, held.standing)
        else:
            found = _Held(commits, reach, run.today, standing_of(fieldbook, ground, run))
        with self._turn:
            self._held[key] = found
        return found.standing


@dataclass(frozen=True, slots=True)
class _Held:
    commits: tuple[int, int]
    reach: Reach
    today: date
    standing: Standing
