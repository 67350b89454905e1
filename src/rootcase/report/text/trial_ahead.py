"""What pairs that are about to be parted could show, said before they are signed."""

from __future__ import annotations

from collections.abc import Iterator
from math import expm1

from rootcase.ground.quantity import number
from rootcase.ground.words import say
from rootcase.records.prove import TrialAhead


def ahead_lines(ahead: TrialAhead) -> Iterator[str]:
    """Return the least difference they would show, what was repeated, and whose spread that rests on."""
    if not ahead.pairs:
        return
    if ahead.plots is not None:
        yield say("ahead.plots", plots=ahead.plots)
    if not ahead.missed:
        yield say("ahead.one_plot" if ahead.plots is not None else "ahead.one_pair")
    for at, (seasons, even, likely) in enumerate(ahead.missed):
        what = say("ahead.of_plots" if ahead.plots is not None else "ahead.of_pairs", pairs=ahead.pairs,
                   plots=ahead.plots or 0, elsewhere=ahead.elsewhere)
        yield say("ahead.first" if not at else "ahead.later", what=what, shoots=ahead.shoots, before=ahead.before,
                  seasons=seasons, even=_percent(even), likely=_percent(likely))
    spreads = ahead.spreads
    key = "ahead.own" if spreads.trees else "ahead.assumed"
    yield say(key, trees=spreads.trees, year=number(100 * spreads.tree_year, 2), shoot=number(100 * spreads.shoot, 2))


def _percent(log_ratio: float) -> str:
    return f"{round(100.0 * expm1(log_ratio))} %"
