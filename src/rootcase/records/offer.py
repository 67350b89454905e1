"""What a signature holds: the plan with all it rests on, who stays untreated by lot, and what has changed since."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from rootcase.records.prescribe import Evidence, Plan, PlanItem

InputKind = Literal["reading", "wish", "fact", "rule", "price", "table", "engine"]
Standing = Literal["standing", "superseded", "withdrawn", "disputed"]
Why = Literal["newer", "corrected", "taken back", "no longer used", "changed", "added", "gone"]


@dataclass(frozen=True, slots=True)
class Input:
    """One thing that a plan rests on."""

    kind: InputKind
    name: str
    """Kind of the reading, path of the table, item of the price, topic of the rule."""
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
