"""What prescribing gives: every remedy with dose, cost and gain, one verdict a tree, one plan a property."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from rootcase.records.estimate import Estimate
from rootcase.records.observe import Rule

TreeVerdict = Literal["treat", "leave it alone", "nothing on our list helps"]
RemedyVerdict = Literal["chosen", "possible", "gain too small", "costs more than it gives", "not allowed",
                        "no use here", "test first", "gain not known"]
Evidence = Literal["trials agree", "mixed", "practice only", "trials found nothing"]
WISHED = ("lawn_stays", "bed_line_fixed", "no_chips", "no_holes", "product_barred")
"""Reasons that are the client's own and fall when the client says so; all others are the trade's, the law's or of the
ground's use."""
NOT_JUDGED = "read_first"
"""Reason of a tree nothing is said of, as its growth was not read: it is not left alone, it is not judged."""
TRIAL_ONLY = ("extract",)
"""Offered beside untreated trees, priced apart: never part of a course, never as the treatment of a tree."""


@dataclass(frozen=True, slots=True)
class ZoneRun:
    """One zone of the sprinklers: what cups caught under it, and how long it runs for one watering."""

    zone: str
    """As the controller calls it."""
    heads: str
    """Choice of zone_heads; empty where nobody looked."""
    rate_mm_h: float
    """Water on the ground while it runs. [mm/h]"""
    evenness: float
    """What the driest quarter of the cups got of the mean; 0 to 1."""
    cups: int
    minutes: float
    """In all, of one watering."""
    cycles: int
    soak_minutes: float
    """Rest between two runs."""
    intake_read: bool
    """Whether what the ground takes in was read, not taken from its texture."""


@dataclass(frozen=True, slots=True)
class Dose:
    """How much of what on how much ground, as it is measured out; SI, the report shows both systems."""

    area_m2: float
    depth_m: float | None = None
    cover_m: float | None = None
    """Thickness of the chips on top of ground that is worked to `depth_m`; the volume is theirs."""
    volume_m3: float | None = None
    mass_kg: float | None = None
    water_mm: float | None = None
    """A time, with `every_days`, or as a whole."""
    every_days: int | None = None
    litres: float | None = None
    season: str = ""
    """Key of the words that say when."""
    parts: int = 1
    """How many such doses the whole course takes, each after a new reading."""
    holes: int | None = None
    hole_m: float | None = None
    spacing_m: float | None = None
    """Between holes."""
    trench_m: float | None = None
    """Length of all trenches."""
    runs: tuple[ZoneRun, ...] = ()
    """How long each zone of the sprinklers runs for one such watering."""
    trunk_rule_l_week: float | None = None
    """What a rule by the inch of trunk would give in a week."""
    unknown: str = ""
    """Key of the words under dose.unknown that say which amount is not known, and what would tell it."""
    turf_m2: float | None = None
    """Of the area, turf that goes; None where none does."""

    @property
    def amount_known(self) -> bool:
        """Whether so much of it can be laid out as the dose says; minutes of sprinklers and a label are no amount."""
        return self.unknown in ("", "no_audit", "label")


@dataclass(frozen=True, slots=True)
class Step:
    """One piece of work in a course of several over years."""

    year: int
    """1 to 5; 1 is the year the plan is made for."""
    season: str
    """Key of the words that say when in that year."""
    remedy: str
    """Code of one remedy, never of several."""
    dose: Dose
    cost: float | None
    """In the property's currency; None where the price book has no line for it."""
    note: str = ""
    """Key of the words under course.note, or empty."""


@dataclass(frozen=True, slots=True)
class RemedyOutcome:
    remedy: str
    """Code of one remedy, or of several in their order of work, joined by +."""
    dose: Dose | None
    cost: float | None
    """In the property's currency over five years; None where the price book has no line for it."""
    gain_points: Estimate | None
    """Mean gain over years 1 to 5 against doing nothing, in points; None: gain not known."""
    yearly_points: tuple[float, ...]
    """Mean gain in each of years 1 to 5; empty where not known."""
    evidence: Evidence
    verdict: RemedyVerdict
    reason: str
    """Key of the words under prescribe.reason, or empty."""
    cautions: tuple[str, ...]
    """Keys of the words under prescribe.caution that stand beside this remedy."""
    steps: tuple[Step, ...] = ()
    """The work by year and season; their costs sum to `cost`."""


@dataclass(frozen=True, slots=True)
class PlanReading:
    """A reading worth taking before the money is spent: what it could change in the plan at one tree."""

    kind: str
    """A code of the catalogue; sample_cores stands for all that a laboratory tells of one sample."""
    tools: str
    season: str
    """As the catalogue codes it."""
    minutes: float
    """In the field, for all its goes."""
    days_to_answer: int | None
    """Until a laboratory or a drying oven tells; None where the field does."""
    ground_opened: bool
    """Something is pushed or dug into the ground, so buried lines are located first."""
    taken_before: bool
    laboratory_fee: float
    """In the property's currency, as all money here; 0 where no laboratory is asked."""
    cost: float
    """Minutes, fee, and what is lost while the answer is waited for. [money]"""
    worth: float
    """By how much the plan is expected to be better with it, before its cost. [money]"""
    worth_error: float
    """Standard error of the worth, from the number of draws. [money]"""
    plan_now: str
    """Code of the course that is taken without it, money being no object; nothing where none is."""
    chance_of_change: float
    """That another course, or nothing, is taken once it is known."""
    would_become: str
    """The course that is likeliest then."""


@dataclass(frozen=True, slots=True)
class TreePrescription:
    tree_id: str
    verdict: TreeVerdict
    reason: str
    """Key of the words under prescribe.verdict."""
    chosen: str | None
    remedies: tuple[RemedyOutcome, ...]
    """Nothing first, then by gain, then those whose gain is not known."""
    what_would: tuple[str, ...]
    """Codes of remedies outside the model that would help where nothing on the list does."""
    share_if_nothing: tuple[Estimate, ...]
    """Share of the yardstick in years 1 to 5 when left alone."""
    share_if_chosen: tuple[Estimate, ...]
    root_zone_m2: float
    allowed_share: float
    """Share of the root zone where the client lets us work the surface."""
    look_again: date
    weight: float = 1.0
    """How much the client cares for this tree; 1 where nobody asked."""
    against_advice: bool = False
    """Whether the client chose so, or chose nothing, though another choice was advised."""
    next_for_plan: tuple[PlanReading, ...] = ()
    """Readings worth more than they cost, the best for its minutes first."""
    enough_read: bool | None = None
    """No further reading would change the plan by more than it costs; None where that is not known."""
    too_dear: str = ""
    """Code of the course that would help and costs more than its gain is judged worth, where that is the reason."""
    worth_m2: float = 0.0
    """What a full share of growth on a square metre of root zone over five years was judged worth. [money m-2]"""
    nearly_as_good: tuple[str, ...] = ()
    """Codes of courses that leave as much over as the chosen one, give or take the draws' luck; the cheapest first."""
    first_look: str = ""
    """Kind of the reading of the signs that comes before all else; empty where no cause outside the soil leads."""

    @property
    def judged(self) -> bool:
        """Whether its growth was read, so that there is something to propose and to sign."""
        return self.reason != NOT_JUDGED


@dataclass(frozen=True, slots=True)
class PlanItem:
    tree_id: str
    remedy: str
    """Code of one remedy, or of several in their order of work, joined by +."""
    dose: Dose
    cost: float
    gain_points: Estimate
    steps: tuple[Step, ...] = ()
    """The work by year and season; their costs sum to `cost`."""
    against_advice: bool = False
    """Whether the client chose it though another choice was advised."""


@dataclass(frozen=True, slots=True)
class FrontierPoint:
    """The best plan for one budget."""

    budget: float
    """This year's money; so of `first_year_cost`."""
    first_year_cost: float
    total_cost: float
    gain_points_m2: float
    best_bound: float
    """No choice within that budget can reach more than this."""
    treated: tuple[tuple[str, str], ...]
    """(tree id, code of the remedy or course), in the order of the trees."""


@dataclass(frozen=True, slots=True)
class ConstraintPrice:
    """What one wish or limit costs: the best without it less the best with it, both solved whole."""

    constraint: str
    """Kind of the wish, or budget, crew_hours, machine_hours."""
    choice: str
    """The client's answer that binds; the figure as text for a limit."""
    place_id: str
    """Whose; the property for money and hours."""
    tree_id: str
    """The tree it costs most; empty where it costs none."""
    points_at_tree: float
    """Growth that tree would have more, by its best allowed course with and without. [points]"""
    points_m2: float
    """What the whole plan would gain more. [points x m2]"""
    money: float
    """What the plan would cost more without it, five years; below 0: less."""


@dataclass(frozen=True, slots=True)
class Plan:
    """The chosen set for a property, inside the client's wishes and money."""

    property_id: str
    items: tuple[PlanItem, ...]
    shared_cost: float
    """Set-up of visits and minimum charge, shared by the trees."""
    total_cost: float
    budget: float | None
    currency: str
    gain_points_m2: float
    """What the choice maximised: mean gain x root-zone area, summed."""
    best_bound: float
    """No choice inside the constraints can reach more than this."""
    wishes: tuple[tuple[str, str, str], ...]
    """(place id, kind, choice) of the client's wishes that bound the plan, the newest answer of each place."""
    not_asked: tuple[str, ...]
    fits: bool
    trees: tuple[TreePrescription, ...]
    made_on: date
    draws: int
    seed: int
    first_year_cost: float = 0.0
    """What of the total falls into this year; the budget is this year's."""
    crew_hours: float = 0.0
    """Person-hours the plan takes this year, driving and setting up with them."""
    machine_hours: float = 0.0
    frontier: tuple[FrontierPoint, ...] = ()
    """The best plans for several budgets, rising."""
    prices: tuple[ConstraintPrice, ...] = ()
    """What each wish and limit costs that binds the plan, dearest first."""
    rules: tuple[Rule, ...] = ()
    """What law and the practice's own rules ask of this work, or bar; each with the remedies it touches here alone."""
    rules_unknown: tuple[str, ...] = ()
    """Remedies of the plan that law often speaks of, and nobody has told a rule on."""

    @property
    def judged(self) -> bool:
        """Whether there is anything to sign: some tree of it was judged."""
        return any(tree.judged for tree in self.trees)
