"""The plan as it would be: other money, hours, wishes or prices, a remedy not to be had, a choice insisted on."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from rootcase.casework.prescribe.prescribe import PlanInputs, plan_of
from rootcase.records.observe import MINIMUM_CHARGE, Price, PropertyRecord, Reading
from rootcase.records.outlook import Outlooks
from rootcase.records.prescribe import Plan
from rootcase.records.what_if import TreeChange, WhatIf

SUPPOSED = "~supposed"
"""Id of a reading nobody made; it sorts behind those of its day."""
Ahead = Callable[[PropertyRecord], Sequence[Outlooks]]
"""Growth ahead of every tree of a record."""


@dataclass(frozen=True, slots=True)
class Changes:
    """What is to be otherwise; what is not named stays as it is."""

    ceilings: Mapping[str, float | None] = field(default_factory=dict)
    """By name: budget, crew_hours, machine_hours; None: no ceiling."""
    wishes: tuple[tuple[str, str, str], ...] = ()
    """(place id, kind, answer)."""
    prices: tuple[Price, ...] = ()
    left_out: frozenset[str] = frozenset()
    """Remedies that are not to be had."""
    forced: Mapping[str, str] = field(default_factory=dict)
    """What the client insists on: course, or nothing, by tree."""
    worth_m2: float | None = None
    """What a full share of growth on a square metre of root zone over five years is worth."""


def what_if(inputs: PlanInputs, changes: Changes, ahead: Ahead) -> WhatIf:
    """The plan as it would be, beside the plan as it is.

    Parameters
    ----------
    inputs : all the plan is made of.
    changes : what is to be otherwise.
    ahead : gives the growth ahead where a wish is otherwise; it is not called else.

    Returns
    -------
    WhatIf; nothing is kept.

    Raises
    ------
    Missing : there is no such tree or course, or a table lacks what is needed.
    ImpossibleValue : a choice is forbidden by law or trade, or cannot be priced.

    Notes
    -----
    Money and hours only solve the programme again.

    References
    ----------
    `prescribe.plan_of`.

    Examples
    --------
    >>> from datetime import date
    >>> from rootcase.records.observe import PriceBook, Property
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> none = PropertyRecord(owner, (), (), (), (), (), (), (), {})
    >>> from rootcase.casework.prescribe.programme import Ceilings
    >>> inputs = PlanInputs(none, [], [], PriceBook("CHF", ()), Ceilings(), date(2015, 11, 4), 10, 1)
    >>> what_if(inputs, Changes(ceilings={"budget": 100.0}), lambda record: []).then.budget
    100.0
    """
    then = supposed(inputs, changes)
    if changes.wishes:
        then = replace(then, outlooks=ahead(then.record))
    now, otherwise = plan_of(inputs), plan_of(then)
    return WhatIf(now, otherwise, changed_trees(now, otherwise))


def supposed(inputs: PlanInputs, changes: Changes) -> PlanInputs:
    """What the plan would be made of, the growth ahead left as it was.

    Parameters
    ----------
    inputs : all the plan is made of.
    changes : what is to be otherwise.

    Returns
    -------
    PlanInputs.

    Raises
    ------
    Nothing.

    Notes
    -----
    A supposed wish stands in the record as an answer of the plan's day.

    References
    ----------
    None; bookkeeping (computed).

    Examples
    --------
    >>> from datetime import date
    >>> from rootcase.records.observe import PriceBook, Property
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> none = PropertyRecord(owner, (), (), (), (), (), (), (), {})
    >>> from rootcase.casework.prescribe.programme import Ceilings
    >>> inputs = PlanInputs(none, [], [], PriceBook("CHF", ()), Ceilings(), date(2015, 11, 4), 10, 1)
    >>> told = supposed(inputs, Changes(wishes=(("lawn", "wish_lawn", "stays"),))).record.readings
    >>> [(reading.kind, reading.choice) for reading in told]
    [('wish_lawn', 'stays')]
    """
    told = tuple(Reading(f"{SUPPOSED}/{at}", kind, place, "", inputs.today, "", None, answer, "=", None, answer)
                 for at, (place, kind, answer) in enumerate(changes.wishes))
    prices = {price.item: price for price in changes.prices}
    least = prices.pop(MINIMUM_CHARGE, None)
    kept = tuple(price for price in inputs.price_book.prices if price.item not in prices)
    return replace(
        inputs, record=replace(inputs.record, readings=(*inputs.record.readings, *told)),
        price_book=replace(
            inputs.price_book, prices=(*kept, *prices.values()),
            minimum_charge=inputs.price_book.minimum_charge if least is None else least.amount),
        ceilings=replace(inputs.ceilings, **changes.ceilings), left_out=inputs.left_out | changes.left_out,
        forced={**inputs.forced, **changes.forced},
        worth_m2=inputs.worth_m2 if changes.worth_m2 is None else changes.worth_m2)


def changed_trees(now: Plan, then: Plan) -> tuple[TreeChange, ...]:
    """Trees at which another course is taken, or the same gains or costs otherwise.

    Parameters
    ----------
    now : the plan as it is.
    then : the plan as it would be.

    Returns
    -------
    TreeChange of each such tree, in the order of the plan as it is.

    Raises
    ------
    Nothing.

    Notes
    -----
    None.

    References
    ----------
    None; bookkeeping (computed).

    Examples
    --------
    >>> from datetime import date
    >>> empty = Plan("p", (), 0.0, 0.0, None, "USD", 0.0, 0.0, (), (), True, (), date(2016, 1, 15), 10, 1)
    >>> changed_trees(empty, empty)
    ()
    """
    before, after = ({item.tree_id: item for item in plan.items} for plan in (now, then))
    found = []
    for tree in now.trees:
        old, new = before.get(tree.tree_id), after.get(tree.tree_id)
        change = TreeChange(tree.tree_id, *((None, 0.0, 0.0) if item is None else
                                            (item.remedy, item.gain_points.mean, item.cost) for item in (old, new)))
        if change.before != change.after:
            found.append(change)
    return tuple(found)
