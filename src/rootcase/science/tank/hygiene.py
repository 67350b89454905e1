"""Whether a liquid may go out: tests for indicator bacteria, what was put in, and its age."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Literal, NamedTuple

import numpy as np

from rootcase.ground.errors import ImpossibleValue
from rootcase.science.lanes import Numbers, within
from rootcase.tables.load import table

MOST_COUNT = 1e12

Verdict = Literal["met", "not_met", "not_shown"]
Regrowth = Literal["seen", "not_seen", "not_known"]


class Pretest(NamedTuple):
    """Tests of one recipe against a limit. [-], [CFU per 100 mL] twice"""

    tests: int
    mean: float
    limit: float
    verdict: Verdict


def pretest(counts_per_100_ml: Numbers, organism: str, rule: str, *, from_below: bool = False) -> Pretest:
    """Do the tests of one compost, additive and equipment stay within a rule's mean?

    Parameters
    ----------
    counts_per_100_ml : one a test, at least one; a result below detection as the detection limit.
        [CFU per 100 mL], 0 to 1e12; above 0 where the rule's mean is geometric
    organism : "e_coli" or "enterococci"
    rule : of the table tank/hygiene_limits, "additives" or "bathing"
    from_below : whether one of the counts or more is only known to lie above its figure, as ">100"

    Returns
    -------
    Pretest(tests, mean, limit, verdict); "not_shown" with fewer tests than the rule asks for, whatever their mean,
    and with a count known only from below unless the figures alone are over

    Raises
    ------
    OutOfRange : a value leaves its range.
    ImpossibleValue : no tests at all.
    Missing : the table has no such rule.

    Notes
    -----
    The rule for additives takes the arithmetic mean as remembered from its source; the bathing-water criterion, whose
    figures it borrows, a geometric one, which one high test moves far less: 10, 100 and 1,000 have 370 and 100. A new
    compost, additive or vat starts the count of tests again. Indicator bacteria say that faeces may be there, not that
    the liquid is safe; what goes near food or children is for the local authority to judge.

    References
    ----------
    Table tank/hygiene_limits, a source each row (memory for the rule, seen for the figures).

    Examples
    --------
    >>> pretest([40.0, 180.0], "e_coli", "additives")
    Pretest(tests=2, mean=110.0, limit=126.0, verdict='met')
    """
    row = table("tank/hygiene_limits").row(organism=organism, rule=rule)
    geometric = row["mean"] == "geometric"
    counts = np.atleast_1d(within("counts_per_100_ml", counts_per_100_ml, 1e-3 if geometric else 0.0, MOST_COUNT,
                                  "CFU/100 mL"))
    if not counts.size:
        raise ImpossibleValue("no tests to take a mean of", right="enter each test's count")
    mean = float(np.exp(np.log(counts).mean()) if geometric else counts.mean())
    limit: float = row["most_per_100_ml"]
    if counts.size < row["tests_needed"]:
        return Pretest(counts.size, mean, limit, "not_shown")
    if from_below:
        return Pretest(counts.size, mean, limit, "not_met" if mean >= limit else "not_shown")
    return Pretest(counts.size, mean, limit, "met" if mean <= limit * (1.0 + 1e-12) else "not_met")


def regrowth(additive: str, share_pct: float) -> Regrowth:
    """Have bacteria that make people ill been seen to grow with so much of an additive?

    Parameters
    ----------
    additive : of the table tank/additives, as "molasses"; any other is not known
    share_pct : of the liquid. [%], 0 to 100

    Returns
    -------
    "seen" at the lowest share a trial saw it at and above, "not_seen" at the highest share of a trial that did not and
    below, "not_known" between and for all else

    Raises
    ------
    OutOfRange : the share leaves its range.

    Notes
    -----
    For information: any additive asks for a `pretest`, whatever stands here.

    References
    ----------
    Table tank/additives, a source each row; that more of it grows them too: JUDGEMENT.

    Examples
    --------
    >>> [regrowth("molasses", share) for share in (0.2, 0.5, 1.0)]
    ['not_seen', 'not_known', 'seen']
    """
    share = float(within("share_pct", share_pct, 0.0, 100.0, "%"))
    rows = [row for row in table("tank/additives").rows if row["additive"] == additive and row["share_pct"] is not None]
    if any(row["regrowth"] == "yes" and share >= row["share_pct"] for row in rows):
        return "seen"
    return "not_seen" if any(row["regrowth"] == "no" and share <= row["share_pct"] for row in rows) else "not_known"


def age_h(extraction_ended: datetime, at: datetime) -> float:
    """How old a liquid is.

    Parameters
    ----------
    extraction_ended : with its zone; a load inherits it from its batch
    at : with its zone

    Returns
    -------
    [h], 0 and more

    Raises
    ------
    ImpossibleValue : a time is without its zone, or the extraction ended later.

    Notes
    -----
    Both are taken to world time first: on the night the clocks change, times of one zone subtracted as they stand are
    an hour wrong, a whole holding time. Neither loading, nor air, nor a second tank starts the age anew.

    References
    ----------
    Age from the end of extraction: JUDGEMENT, after the rule in table tank/holding.

    Examples
    --------
    >>> age_h(datetime(2026, 5, 3, 9, 5, tzinfo=UTC), datetime(2026, 5, 3, 10, 20, tzinfo=UTC))
    1.25
    """
    for name, moment in (("extraction_ended", extraction_ended), ("at", at)):
        if moment.utcoffset() is None:
            raise ImpossibleValue("a time without its zone", where=name, value=moment.isoformat(),
                                  right="say the zone, or the hours from world time")
    age = (at.astimezone(UTC) - extraction_ended.astimezone(UTC)).total_seconds() / 3600.0
    if age < 0.0:
        raise ImpossibleValue("used before its extraction ended", value=f"{-60.0 * age:.0f} min before",
                              right="check both times and their zone")
    return age


def holding_limit_h(rule: str) -> float:
    """How old a liquid may be when it is used, by somebody's rule.

    Parameters
    ----------
    rule : of the table tank/holding; "extract" is the one this program goes by

    Returns
    -------
    [h]

    Raises
    ------
    Missing : the table has no such rule.

    Notes
    -----
    At the limit it may still be used, beyond it not. A practice's own longer limit rests on its own oxygen readings
    (`hours_to_floor`) and is shown as its own. The longer rules of the table have no primary source.

    References
    ----------
    Table tank/holding, a source each row (memory).

    Examples
    --------
    >>> holding_limit_h("extract")
    1.0
    """
    limit: float = table("tank/holding").row(rule=rule)["most_h"]
    return limit
