"""The mass balance of a batch in words."""

from __future__ import annotations

from rootcase.ground.quantity import number
from rootcase.ground.words import say
from rootcase.records.make.balance import Balance


def balance_line(balance: Balance) -> str:
    """How much came across, or what is missing to say it."""
    share = balance.recovery
    if share is None:
        return say("made.balance.lacking", what="; ".join(say(f"made.balance.{each}") for each in balance.lacking))
    value, low, high = (number(100.0 * each) for each in (share.value, share.low, share.high))
    return say("made.balance.recovery", counted=balance.counted, value=value, low=low, high=high)
