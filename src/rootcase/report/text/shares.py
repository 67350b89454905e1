"""Shares as a client says them: a seventh, two fifths, a quarter more, twice as much.

The best estimate goes to the nearest fraction; the ends of an interval go outward, so that the words never claim
more than the numbers.
"""

from __future__ import annotations

from math import inf, log

from rootcase.ground.words import say
from rootcase.records.estimate import Estimate

_NAMED = {
    1 / 20: "twentieth", 1 / 10: "tenth", 1 / 8: "eighth", 1 / 7: "seventh", 1 / 6: "sixth", 1 / 5: "fifth",
    1 / 4: "quarter", 1 / 3: "third", 2 / 5: "two_fifths", 1 / 2: "half", 3 / 5: "three_fifths",
    2 / 3: "two_thirds", 3 / 4: "three_quarters", 4 / 5: "four_fifths", 9 / 10: "nine_tenths", 1.0: "whole",
    11 / 10: "tenth_more", 5 / 4: "quarter_more", 4 / 3: "third_more", 3 / 2: "half_more", 2.0: "twice",
    3.0: "three_times", 4.0: "four_times", 5.0: "five_times",
}
_FRACTIONS = tuple(sorted(_NAMED))
_NEAR = 1.04
"""An end this close to a fraction is called by it, not by the next one out. JUDGEMENT."""
_NOTHING = 1 / 40
_MOST = 6.0


def nearest(share: float) -> float:
    """Return the named fraction nearest in ratio; 0 for next to nothing, infinity for more than all names.

    >>> nearest(0.14) == 1 / 7, nearest(0.92), nearest(0.01), nearest(9)
    (True, 0.9, 0.0, inf)
    """
    if share < _NOTHING:
        return 0.0
    if share > _MOST:
        return inf
    return min(_FRACTIONS, key=lambda fraction: abs(log(share / fraction)))


def outward(low: float, high: float) -> tuple[float, float]:
    """Return the named fractions that hold low..high between them.

    >>> outward(0.10, 0.19), outward(0.22, 0.43), outward(0.77, 0.775)
    ((0.1, 0.2), (0.2, 0.5), (0.75, 0.8))
    """
    below = [fraction for fraction in _FRACTIONS if fraction <= low * _NEAR]
    above = [fraction for fraction in _FRACTIONS if fraction * _NEAR >= high]
    bottom, top = (below[-1] if below else 0.0), (above[0] if above else inf)
    return min(bottom, top), max(bottom, top)  # a narrow interval may lie near enough to the fractions on both sides


def of_its_kind(share: Estimate) -> str:
    """Return the best estimate as what follows "grows".

    >>> of_its_kind(Estimate(0.14, 0.14, 0.10, 0.19, 0.12, 0.16))
    'about a seventh of what its healthy kind grows'
    """
    fraction = nearest(share.mean)
    if fraction == 0:
        return say("report.kind.nothing")
    if fraction == inf:
        return say("report.kind.beyond")
    form = "part" if fraction < 1 else "same" if fraction == 1 else "more" if fraction < 2 else "times"
    return say(f"report.kind.{form}", fraction=say(f"report.fraction.{_NAMED[fraction]}"))


def plain(share: float) -> str:
    """Return the bare name of a share, such as "a third".

    >>> plain(0.35), plain(0.004), plain(12)
    ('a third', 'next to nothing', 'more than five times as much')
    """
    return _name(nearest(share))


def part(share: float) -> str:
    """Return a part of the whole as a bare name, never more than all of it.

    >>> part(0.35), part(1.3)
    ('a third', 'all')
    """
    return say("report.fraction.all") if nearest(share) >= 1 else plain(share)


def at_most(share: float) -> str:
    """Return the part of the whole that the upper end of an interval does not go beyond.

    >>> at_most(0.84), at_most(0.41), at_most(1.3)
    ('nine tenths', 'two fifths', 'all')
    """
    return part(outward(share, share)[1])


def between(low: float, high: float) -> str:
    """Return an interval of shares in words.

    >>> between(0.10, 0.19)
    'between a tenth and a fifth'
    >>> between(0.8, 1.22)
    'between four fifths of that and a quarter more than that'
    >>> between(0.05, 0.97), between(0.01, 0.97)
    ('between a twentieth and all', 'anything up to all')
    """
    bottom, top = outward(low, high)
    if top == 1 and bottom < 1:
        whole = say("report.fraction.all")
        return say("report.between.parts", low=_name(bottom), high=whole) if bottom else say("report.between.up_to_all")
    name = _name if top < 1 else _end
    if bottom == top:
        return say("report.between.same", fraction=name(top))
    if top == inf:
        return say("report.between.over", low=name(bottom))
    if bottom == 0:
        return say("report.between.under", high=name(top))
    return say("report.between.parts", low=name(bottom), high=name(top))


def _name(fraction: float) -> str:
    if fraction == 0:
        return say("report.fraction.nothing")
    if fraction == inf:
        return say("report.fraction.beyond")
    return say(f"report.fraction.{_NAMED[fraction]}")


def _end(fraction: float) -> str:
    """One end of an interval that reaches the whole: said against "that", the kind's own growth."""
    if fraction == 0:
        return say("report.fraction.nothing")
    form = "part" if fraction < 1 else "whole" if fraction == 1 else "more" if fraction < 2 else "times"
    return say(f"report.end.{form}", fraction=say(f"report.fraction.{_NAMED[fraction]}"))
