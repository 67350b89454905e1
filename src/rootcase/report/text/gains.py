"""Gains of remedies as every table prints them."""

from __future__ import annotations

from collections.abc import Iterable

from rootcase.ground.words import say
from rootcase.records.prescribe import RemedyOutcome
from rootcase.report.text.figures import change, listed
from rootcase.report.text.naming import remedy_name


def why(outcome: RemedyOutcome) -> str:
    """Return the verdict on a remedy and, where there is one, its reason."""
    verdict = say(f"report.outcome.{outcome.verdict.replace(' ', '_')}")
    if not outcome.reason:
        return verdict
    return say("report.remedy.why", verdict=verdict, reason=say(f"prescribe.reason.{outcome.reason}"))


def gain_of(outcome: RemedyOutcome) -> tuple[str, str]:
    """Return the gain and its interval; doing nothing is the base, and what is not known says so."""
    if outcome.gain_points is None:
        return say("report.not_known"), ""
    return ("0", say("report.base")) if outcome.remedy == "nothing" else change(outcome.gain_points)


def others_told(outcomes: Iterable[RemedyOutcome]) -> list[str]:
    """Return remedies with one verdict and one reason on one line."""
    groups: dict[str, list[str]] = {}
    for outcome in outcomes:
        groups.setdefault(why(outcome), []).append(remedy_name(outcome.remedy))
    return [say("report.remedy.others", why=reason, remedies=listed(members)) for reason, members in groups.items()]
