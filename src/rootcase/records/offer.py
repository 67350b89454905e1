"""What a signature holds and what an offer, an answer to it and a programme hold.

A signature holds the plan with all it rests on and who stays untreated by lot; an offer what is put to the client.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from rootcase.records.prescribe import Evidence, Plan, PlanItem, Step

InputKind = Literal["reading", "wish", "fact", "rule", "price", "effect", "table", "engine"]
Standing = Literal["standing", "superseded", "withdrawn", "disputed"]
OptionKind = Literal["plan", "less", "nothing", "trial"]
AnswerWord = Literal["yes", "question", "no"]
OfferStanding = Literal["open", "run out", "changed", "withdrawn"]
Why = Literal["newer", "corrected", "taken back", "no longer used", "changed", "added", "gone"]


@dataclass(frozen=True, slots=True)
class Input:
    """One thing that a plan rests on."""

    kind: InputKind
    name: str
    """Kind of the reading, path of the table, item of the price, topic of the rule, code of the remedy tried."""
    version: str
    """What is another one as soon as the thing says something else: a reading's id, a table's version, an amount."""
    shown: str = ""
    """As the person typed or reads it."""
    of: str = ""
    """Id of what was read."""
    at: str = ""
    """Which of several of one kind and thing: visit, repeat, year, depth, what was told beside it."""


@dataclass(frozen=True, slots=True)
class AgainstAdvice:
    """A choice for one tree that is not the one advised."""

    tree_id: str
    advised: str
    """Code of the remedy or course; "nothing" for leaving it alone."""
    taken: str
    cost: float
    """Of what is taken, over five years, in the property's currency."""


@dataclass(frozen=True, slots=True)
class Pair:
    """Two like trees, of which a lot says who gets the thing in doubt."""

    treated: str
    untreated: str
    """Ids of trees."""
    seed: int
    """Of the lot that parted them; it and the two ids alone decide."""
    rest: str = "nothing"
    """Code of what both get beside."""


@dataclass(frozen=True, slots=True)
class Arms:
    """Who gets the thing in doubt and who does not; all else is the same for both."""

    doubt: str
    """Code of the remedy."""
    evidence: Evidence
    pairs: tuple[Pair, ...]
    """None where no two trees are alike enough."""
    outside: tuple[str, ...]
    """Ids of trees that would get it and found no partner."""
    apart: bool
    """It is no part of the plan and comes on top of what that costs."""
    cost: float | None
    """Of the thing in doubt at the treated trees of the pairs over five years; None where it is not priced."""
    spared: float | None
    """What the plan costs less because the untreated go without; 0 where it comes on top."""


@dataclass(frozen=True, slots=True)
class Signing:
    """Everything that is put under a signature."""

    plan: Plan
    inputs: tuple[Input, ...]
    fieldbook: str
    """SHA-256 of everything the fieldbook and the tables said then; while it is the same nothing has changed."""
    engine: str
    program: str
    draws: int
    """Behind each interval of the explanations."""
    weather_ends: date | None
    """The last day of the weather it was reckoned with; a plan is not outdated by newer days alone."""
    against: tuple[AgainstAdvice, ...] = ()
    reason: str = ""
    """Why against the advice, or why it is signed anew."""
    arms: tuple[Arms, ...] = ()


@dataclass(frozen=True, slots=True)
class SignedPlan:
    """A plan under a signature; it is never changed, a newer one takes its place."""

    id: str
    mark: str
    """SHA-256 of the text that was signed."""
    by: str
    """A code of who signed, as of a reader, never a name."""
    day: date
    signing: Signing
    standing: Standing
    withdrawn_because: str = ""


@dataclass(frozen=True, slots=True)
class Change:
    """One input that is not what it was when the plan was signed."""

    kind: InputKind
    name: str
    of: str
    old: str
    """As shown then; empty where there was none."""
    new: str
    why: Why


@dataclass(frozen=True, slots=True)
class Revised:
    """What the plan had for one tree and what it would have today; None: nothing is done."""

    tree_id: str
    old: PlanItem | None
    new: PlanItem | None


@dataclass(frozen=True, slots=True)
class Outdated:
    """What has changed under a signed plan; nothing of it takes effect before somebody signs anew."""

    changes: tuple[Change, ...]
    revised: tuple[Revised, ...]
    """Trees whose work, cost or gain would be another."""
    old_cost: float
    new_cost: float
    """Totals over five years."""


@dataclass(frozen=True, slots=True)
class OfferWork:
    """One piece of work at one or several trees, the same in years that follow one another."""

    step: Step
    """Of its first year; dose and cost of all these trees together, the cost in whole smallest coins."""
    last_year: int
    tree_ids: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OfferPrice:
    """A sum and the tax on it, in whole smallest coins of the currency."""

    net: float
    """[money]"""
    tax: float
    """0 where no tax is told. [money]"""
    total: float
    """[money]"""


@dataclass(frozen=True, slots=True)
class OfferOption:
    """One of the things a client may say yes to."""

    number: int
    """0 is leaving it alone."""
    kind: OptionKind
    work: tuple[OfferWork, ...]
    shared: tuple[float, float]
    """Set-up of visits and the rest to a minimum charge, this year and over five years; in neither piece of work."""
    this_year: OfferPrice
    five_years: OfferPrice
    """At today's prices."""
    gain_points_m2: float | None
    """None where it is not known."""


@dataclass(frozen=True, slots=True)
class Offer:
    """What is put to a client; its mark covers every figure."""

    property_id: str
    plan_mark: str
    """SHA-256 of the plan it prices: of the signed text, or of the plan where nobody has signed."""
    signed: bool
    made_on: date
    valid_until: date
    currency: str
    options: tuple[OfferOption, ...]
    """Leaving it alone first, a trial last."""
    tax_name: str = ""
    tax_pct: float | None = None
    """None: nobody has told a tax."""
    terms: str = ""
    """The practice's own text."""
    practice: str = ""
    """The practice's name."""


@dataclass(frozen=True, slots=True)
class Reply:
    """What was said back to a client's question."""

    day: date
    by: str
    words: str
    """Empty: it was said by word of mouth."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What a client said to an offer; whose answer it is stands outside the events and can be erased."""

    offer_id: str
    offer_mark: str
    answer: AnswerWord
    option: int
    day: date
    contact_id: str
    words: str = ""
    id: str = ""
    """Of the answer itself, so that a question can be replied to."""
    reply: Reply | None = None
    """To a question; None: nobody has answered it yet."""


@dataclass(frozen=True, slots=True)
class MadeOffer:
    """An offer as the fieldbook keeps it."""

    id: str
    mark: str
    number: int
    """The first offer at a property is 1."""
    offer: Offer
    answers: tuple[Answer, ...]
    """Oldest first."""

    @property
    def decided(self) -> Answer | None:
        """The last yes or no, which holds; a question behind it takes nothing back."""
        return next((each for each in reversed(self.answers) if each.answer != "question"), None)

    @property
    def open_questions(self) -> tuple[Answer, ...]:
        """Oldest first."""
        return tuple(each for each in self.answers if each.answer == "question" and each.reply is None)


def newest_answered(offers: Sequence[MadeOffer]) -> MadeOffer | None:
    """The offer whose answer binds: of those that were said yes or no to the one answered last."""
    decided = [(each.day, made.number, made) for made in offers if (each := made.decided)]
    return max(decided, key=lambda one: one[:2])[2] if decided else None


@dataclass(frozen=True, slots=True)
class WorkChange:
    """A remedy in what was offered and in the plan that stands; None: it is not there."""

    remedy: str
    old: OfferWork | None
    new: OfferWork | None


@dataclass(frozen=True, slots=True)
class OfferState:
    """Whether an offer can still be said yes to."""

    standing: OfferStanding
    since: date | None
    """Day of the change, the withdrawal, or the last day it held."""
    changes: tuple[WorkChange, ...] = ()
    old_total: float = 0.0
    """Of the option over five years with tax, as it was. [money]"""
    new_total: float = 0.0
    """As it is now. [money]"""


@dataclass(frozen=True, slots=True)
class Programme:
    """What is repeated by agreement."""

    id: str
    offer_mark: str
    option: int
    years: tuple[tuple[date, int], ...]
    """(first day, visits) of each agreed year: from its start, then from each renewal."""
    price_until: date
    stopped: date | None = None
    stopped_because: str = ""
    skipped: tuple[tuple[date, str], ...] = ()
    """(day it was due, why)."""


@dataclass(frozen=True, slots=True)
class ProgrammeVisit:
    """One visit of a programme."""

    due: date
    state: Literal["made", "skipped", "missed", "ahead"]
    told: str = ""
    """Why it was skipped, or the day of the visit that was made."""


@dataclass(frozen=True, slots=True)
class ProgrammeState:
    """Where a programme stands on a day."""

    programme: Programme
    visits: tuple[ProgrammeVisit, ...]
    """Of the running year and of those already agreed behind it."""
    renewal_due: date
    price_held: bool


DueKind = Literal["look", "first_look", "wanted", "pest", "notice", "laboratory", "licence", "permit", "permit_needed",
                  "calibration", "locate", "offer", "question", "price", "renewal", "visit", "work",
                  "yes_again"]


@dataclass(frozen=True, slots=True)
class DueItem:
    """One thing that has to be done by a day."""

    day: date
    kind: DueKind
    property_id: str
    """Empty for what is the whole practice's."""
    what: str = ""
    """Name of the thing: sample, paper, remedy, stage of a pest."""
    why: str = ""
    """What is told beside it, in words of its source."""
    tree_ids: tuple[str, ...] = ()
    source: str = ""
    """Id of the reading, mark of the plan or offer, or where the rule stands."""
