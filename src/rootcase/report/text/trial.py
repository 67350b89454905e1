"""What a trial says, in words."""

from __future__ import annotations

from collections.abc import Iterator

from rootcase.ground.quantity import number
from rootcase.ground.words import say
from rootcase.records.prove import TrialFit, TrialWarning

MOST_NAMES = 8


def trial_lines(fit: TrialFit) -> Iterator[str]:
    """The finding first, then its interval, what was compared, and what has to be known of it."""
    yield finding(fit)
    yield say("prove.interval", level=number(100 * fit.level, 3), low=number(fit.low, 4), high=number(fit.high, 4),
              df=number(fit.freedom, 3), p=number(fit.p, 2))
    yield say(f"prove.compared.{fit.replicate}", treated=fit.treated, untreated=fit.untreated, sites=fit.sites,
              trees=fit.trees, readings=fit.readings)
    for each in fit.warnings:
        yield warning_line(each)


def finding(fit: TrialFit) -> str:
    """More, less, or not told from nothing; harm as plainly as good."""
    effect = number(abs(fit.effect), 4)
    if fit.low > 0.0:
        return say("prove.more", effect=effect)
    if fit.high < 0.0:
        return say("prove.less", effect=effect)
    return say("prove.nothing_seen", low=number(abs(min(fit.low, 0.0)), 4), high=number(max(fit.high, 0.0), 4))


def warning_line(warning: TrialWarning) -> str:
    """One thing a reader of an answer has to know."""
    more = len(warning.names) - MOST_NAMES
    names = ", ".join(warning.names[:MOST_NAMES]) + (say("prove.and_more", count=more) if more > 0 else "")
    figures = {f"figure{at}": number(each, 4) for at, each in enumerate(warning.figures, 1)}
    return say(f"prove.warn.{warning.kind}", names=names, count=len(warning.names), **figures)
