"""One tree's courses with dose, cost, gain and what bars each, before the programme chooses."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from rootcase.casework.explain.explain import tree_of
from rootcase.casework.explain.ground import Ground, ground_of
from rootcase.casework.explain.site import central_site
from rootcase.casework.prescribe.courses import Course, Part, courses
from rootcase.casework.prescribe.doses import cost_of, dose_of
from rootcase.casework.prescribe.forward import Outlook
from rootcase.casework.prescribe.lifted import ON_TURF, course_barred, lifted, remedies_of, turf_worked
from rootcase.casework.prescribe.measured_out import measured_out
from rootcase.casework.prescribe.needs import LITTLE, Standing, cautions_here, law_of_the_trade, no_use
from rootcase.casework.prescribe.outlooks import covers_of
from rootcase.casework.prescribe.paces import Hours
from rootcase.casework.prescribe.remedies import YEARS, Remedy, figure, remedies
from rootcase.casework.prescribe.rules import Law, Leave, law_at, leave_of, left_of, open_season
from rootcase.casework.prescribe.states import Worked
from rootcase.casework.prescribe.steps import cost_of_steps, hours_of_course, steps_of, visits_of
from rootcase.casework.prescribe.wishes import Wishes, wishes_of, worked_share
from rootcase.records.explain import Explanation
from rootcase.records.observe import PriceBook, PropertyRecord, Reading, System, Tree
from rootcase.records.outlook import NOTHING, Outlooks
from rootcase.records.prescribe import Dose, Step

CONCERN = "structural_concern"
"""Something that could fail was seen: nobody works under the tree."""
WEIGHT = "tree_weight"
"""Kind of the reading that says how much the client cares for a tree."""


@dataclass(frozen=True, slots=True)
class Treatment:
    """One course at one tree."""

    course: Course
    remedies: tuple[Remedy, ...]
    """Of its parts, in their order of work."""
    dose: Dose | None
    """Of its first work."""
    steps: tuple[Step, ...]
    cost: float | None
    """Of itself over five years."""
    hours: Hours
    """Of this year's work."""
    outlook: Outlook | None
    """None where the model cannot reckon it; of a barred course as if it were allowed."""
    mean_gain: float
    barred: str
    """Why it may not be used; key of the words under prescribe.reason."""
    only_part: bool
    """Whether the client lets us work but a part of the ground it needs."""
    no_use: str
    """Why there is no need of it here."""
    cautions: tuple[str, ...]
    """Keys of the words under prescribe.caution, those of this ground last."""

    @property
    def code(self) -> str:
        return self.course.code

    @property
    def amounts_known(self) -> bool:
        return (self.dose is None or self.dose.amount_known) and all(step.dose.amount_known for step in self.steps)

    @property
    def first_year_cost(self) -> float:
        return cost_of_steps(self.steps, 1) or 0.0

    def visits(self, year: int | None = None) -> frozenset[str]:
        return visits_of(self.steps, year)


@dataclass(frozen=True, slots=True)
class Case:
    """A tree with its explanation and every course reckoned."""

    tree: Tree
    explanation: Explanation
    ground: Ground
    treatments: tuple[Treatment, ...]
    root_zone_m2: float
    allowed_share: float
    ph: float
    """Medians of what the model was told."""
    ece_ds_m: float
    years_since_planting: float
    settling_years: int | None
    """Years in which it still roots in; None: it is rooted in."""
    weight: float
    """How much the client cares for it; 1 where nobody asked."""
    worth_m2: float
    """Of a full share of growth on a square metre of root zone over five years. [money m-2]"""
    unpriced: str
    """Why what has no price here has none; key of the words under prescribe.reason and prescribe.verdict."""
    learned: tuple[str, ...] = ()
    """Codes of remedies of which the practice's own trials were signed."""

    def of(self, code: str) -> Treatment:
        return next(each for each in self.treatments if each.code == code)


def case_of(record: PropertyRecord, explanation: Explanation, outlooks: Outlooks, book: PriceBook, *,
            without_wish: str = "", worth_m2: float | None = None) -> Case:
    """Every course at one tree with what it costs and what stands against it.

    Parameters
    ----------
    record : the property, corrections applied.
    explanation : of this tree.
    outlooks : its growth ahead.
    book : the practice's prices.
    without_wish : kind of a wish that is not heeded; empty: all are.
    worth_m2 : worth of a full share of growth on a square metre of root zone over five years, >= 0; None: as the table
        has it. [money m-2]

    Returns
    -------
    Case.

    Raises
    ------
    Missing : a table lacks what is needed, or there is no such tree.

    Notes
    -----
    Doses are for the ground over the roots as it will be in five years, and need is judged, by what was read and not by
    what was drawn around it. A course that was not run gains nothing that its parts do not, and is left out.

    References
    ----------
    docs/prescribe.md: JUDGEMENT where marked there.

    Examples
    --------
    >>> from rootcase.ground.errors import Missing
    >>> from rootcase.records.observe import Property
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> nobody = PropertyRecord(owner, (), (), (), (), (), (), (), {})
    >>> from types import SimpleNamespace
    >>> try:
    ...     case_of(nobody, SimpleNamespace(tree_id="t"), None, PriceBook("CHF", ()))
    ... except Missing as missing:
    ...     print(missing.what)
    there is no such tree
    """
    tree = tree_of(record, explanation.tree_id)
    site = central_site(record, tree)
    ground = ground_of(record, [tree])
    wishes = wishes_of(ground)
    if without_wish:
        wishes = lifted(wishes, without_wish)
    standing = Standing(ground, site, covers_of(site))
    turf, paved = standing.covers["turf"], standing.covers["paved"]
    asked = [r for r in ground.take(WEIGHT) if r.value is not None]
    case = Case(tree, explanation, ground, (), outlooks.root_zone_m2,
                1.0 - paved - turf * (1.0 - worked_share(wishes).turf), standing.middle("ph"),
                standing.middle("ece_ds_m"), standing.middle("years_since_planting"), outlooks.settling_years,
                _newest(asked), figure("worth_m2") if worth_m2 is None else worth_m2,
                "not_priced" if book.currency else "no_currency", tuple(each.remedy for each in record.learned))
    beyond = [Course(r.code, (Part(r.code, 1, YEARS),)) for r in remedies() if not r.in_model]
    law = law_at(record, tree, ground, outlooks.root_zone_m2)
    leaves = {remedy.code: leave_of(remedy, law) for remedy in remedies()}
    treatments = (_treatment(course, standing, wishes, outlooks, book, record.property.system, law, leaves)
                  for course in (*courses(outlooks.settling_years), *beyond))
    return replace(case, treatments=tuple(each for each in treatments if each is not None))


def _newest(asked: Sequence[Reading]) -> float:
    """The client's newest word on how much a tree counts; 1 where nobody asked."""
    newest = max(asked, key=lambda reading: (reading.day, reading.id), default=None)
    return 1.0 if newest is None or newest.value is None else newest.value


def _treatment(course: Course, standing: Standing, wishes: Wishes, outlooks: Outlooks, book: PriceBook,
               system: System, law: Law, left: Mapping[str, Leave]) -> Treatment | None:
    parts, covers = remedies_of(course), standing.covers
    turf = turf_worked(parts, wishes, covers["turf"], covers["bare"])
    run = outlooks.of(course.code, turf)
    if run is None and course.several:
        return None
    leaves = {r.code: left[r.code] for r in parts}
    each = None if run is None else _as_left(Outlook(run.share, outlooks.gain(run)), leaves, outlooks, turf)
    clay = standing.middle("clay")
    usual = {r.code: dose_of(r, outlooks.root_zone_m2, dict(covers), Worked(turf=turf), clay) for r in parts}
    doses = {r.code: measured_out(r, None if (dose := usual[r.code]) is None else left_of(dose, leaves[r.code]),
                                  standing, system) for r in parts}
    steps = tuple(replace(step, season=open_season(step.remedy, step.season, law) or step.season)
                  for step in steps_of(course, doses, {r.code: cost_of(r, doses[r.code], book) for r in parts}))
    mean = 0.0 if each is None else float(each.gain.mean())
    barred = next((reason for r in parts if (reason := law_of_the_trade(r, standing) or leaves[r.code].reason)), ""
                  ) or course_barred(parts, wishes, covers["turf"], covers["bare"])
    if _concerned(standing.ground) and course.code != NOTHING:
        barred = CONCERN
    part = (not barred and any(r.ground in ON_TURF for r in parts) and worked_share(wishes).turf < 1.0
            and covers["turf"] > LITTLE)
    gains = {r.code: mean if not course.several else _alone(r.code, outlooks) for r in parts}
    return Treatment(course, parts, doses[parts[0].code], steps, _cost(course, steps),
                     hours_of_course(course, doses, 1), each, mean, barred, part,
                     next((why for r in parts if (why := no_use(r, standing, gains[r.code]))), ""),
                     tuple(dict.fromkeys((*(word for r in parts for word in r.cautions),
                                          *(word for r in parts for word in cautions_here(r, standing))))))


def _as_left(whole: Outlook, leaves: Mapping[str, Leave], outlooks: Outlooks, turf: float) -> Outlook:
    """The outlook less what each remedy gains by itself on the part of its dose that the rules take. JUDGEMENT.

    What no rule leaves anything of is told as if it were allowed.
    """
    lost = np.zeros_like(whole.gain)
    for code, leave in leaves.items():
        alone = outlooks.of(code, turf) or outlooks.of(code, 1.0)
        if alone is not None and not leave.reason:
            lost += (1.0 - leave.share) * outlooks.gain(alone)
    return Outlook(whole.share - lost, whole.gain - lost)


def _cost(course: Course, steps: tuple[Step, ...]) -> float | None:
    """Doing nothing is free; what has no steps cannot be priced."""
    if course.code == NOTHING:
        return 0.0
    return cost_of_steps(steps) if steps else None


def _alone(remedy: str, outlooks: Outlooks) -> float:
    """The most a remedy gains by itself."""
    return max((float(outlooks.gain(each).mean()) for each in outlooks.courses if each.course == remedy), default=0.0)


def _concerned(ground: Ground) -> bool:
    concern = ground.choice(CONCERN)
    return concern is not None and concern.choice == "seen"
