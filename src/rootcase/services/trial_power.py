"""What a trial could see, from what it is made of."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rootcase.ground.errors import Missing, UnreadableValue
from rootcase.ground.words import say
from rootcase.science.trials.power import least_difference, power_of_arms, sd_of_change, trees_for_power
from rootcase.services.plain_table import plain_number

NAMES = ("trees", "effect", "tree_year", "shoot", "shoots", "before", "after", "sites")
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
    sd = sd_of_change(told["tree_year"], told["shoot"], told["shoots"], told["before"], told["after"])
    blocks, trees = int(told["sites"]), told["trees"]
    if blocks != told["sites"]:
        raise UnreadableValue(say("prove.power.whole"), where="sites", value=typed["sites"],
                              right=say("prove.power.whole_right"))

    def power(difference: float, many: float) -> float:
        return power_of_arms(difference, sd, many, many, blocks=blocks)

    needed = trees_for_power(lambda many: power(told["effect"], many), wanted, blocks)
    return {"sd": sd, "power": power(told["effect"], trees), "wanted": wanted,
            "least": least_difference(lambda difference: power(difference, trees), wanted, sd),
            "trees_needed": needed if needed < float("inf") else None, **{name: told[name] for name in NAMES}}
