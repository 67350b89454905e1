"""What a trial could see, from what it is made of."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from rootcase.casework.prove.ahead import spreads_of, trial_ahead
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.ground.errors import Missing, UnreadableValue
from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord
from rootcase.records.offer import Arms
from rootcase.records.prove import TrialAhead
from rootcase.science.trials.power import MOST_TREES, least_difference, power_of_arms, sd_of_change, trees_for_power
from rootcase.services.plain_table import plain_number

NAMES = ("trees", "effect", "tree_year", "shoot", "shoots", "before", "after", "sites")
COUNTS = ("trees", "before", "after", "sites")
USUAL = {"shoots": 10.0, "before": 1.0, "after": 1.0, "sites": 1.0}
"""Ten shoots, a year each side, one site. JUDGEMENT."""


def power_of(typed: Mapping[str, str], wanted: float) -> dict[str, Any]:
    """Power of a trial, the least difference it would see and the trees it would take, from what was typed."""
    told = dict(USUAL)
    for name, text in typed.items():
        number = plain_number(text)
        if number is None:
            raise UnreadableValue(say("prove.power.needs"), where=name, value=text, right=say("choose.write_number"))
        told[name] = number
    missing = [name for name in NAMES if name not in told]
    if missing:
        raise Missing(say("prove.power.missing", names=", ".join(missing)), right=say("prove.power.missing_right"))
    for name in COUNTS:
        if not 1.0 <= told[name] <= MOST_TREES or told[name] % 1.0:
            raise UnreadableValue(say("prove.power.whole"), where=name, value=typed[name],
                                  right=say("prove.power.whole_right"))
    sd = sd_of_change(told["tree_year"], told["shoot"], told["shoots"], told["before"], told["after"])
    blocks, trees = int(told["sites"]), told["trees"]

    def power(difference: float, many: float) -> float:
        return power_of_arms(difference, sd, many, many, blocks=blocks)

    needed = trees_for_power(lambda many: power(told["effect"], many), wanted, blocks)
    return {"sd": sd, "power": power(told["effect"], trees), "wanted": wanted,
            "least": least_difference(lambda difference: power(difference, trees), wanted, sd),
            "trees_needed": needed if needed < float("inf") else None, **{name: told[name] for name in NAMES}}


def trials_ahead(book: Fieldbook, record: PropertyRecord, arms: Sequence[Arms]) -> tuple[TrialAhead, ...]:
    """What the pairs of each thing in doubt at a property could show, with those of the practice's others."""
    if not arms:
        return ()
    others = [each.id for each in book.properties() if each.id != record.property.id]

    def records() -> Iterator[PropertyRecord]:
        yield record
        yield from (book.record(each) for each in others)

    spreads = spreads_of(records())
    drawn = [[found for plan in book.signed_plans(each) if plan.standing == "standing" for found in plan.signing.arms]
             for each in others]
    return tuple(trial_ahead(record, each, spreads, _elsewhere(drawn, each.doubt)) for each in arms)


def _elsewhere(drawn: Sequence[Sequence[Arms]], doubt: str) -> tuple[int, int]:
    """Pairs of the same thing, and at how many properties."""
    pairs = [sum(len(arms.pairs) for arms in here if arms.doubt == doubt) for here in drawn]
    return sum(pairs), sum(many > 0 for many in pairs)
