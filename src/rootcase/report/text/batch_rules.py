"""The practice's own limits for its batches in words."""

from __future__ import annotations

from rootcase.ground.quantity import System, show
from rootcase.ground.words import say
from rootcase.records.make.batch import BatchRules


def rules_lines(rules: BatchRules, rule_h: float, system: System) -> tuple[str, ...]:
    """A line each; rule_h: the rule's own limit of age. [h]"""
    own = rules.holding_h
    return (say("batch.rules.floor_is", floor=f"{rules.oxygen_floor_mg_l:g}"),
            say("batch.rules.holding_rule", hours=f"{rule_h:g}") if own is None
            else say("batch.rules.holding_own", hours=f"{own:g}"),
            say("batch.rules.height_is", height=show(rules.elevation_m, "m", system, ("ft", "m"))))
