"""What is said of one tree: treat it, leave it alone, or nothing on our list helps and what would."""

from __future__ import annotations

from datetime import date

from rootcase.casework.explain.signs.signs import AT_THE_COLLAR, flare_in_doubt
from rootcase.casework.prescribe.case import CONCERN, Case, Treatment
from rootcase.casework.prescribe.remedies import figure
from rootcase.ground.dates import months_later
from rootcase.records.explain import LIMITS, Limit
from rootcase.records.prescribe import NOT_JUDGED, WISHED, TreeVerdict
from rootcase.science.choice.decision import LEAST_GAIN, net_benefit

LOOK_AGAIN = {"treat": (1, 9), "leave it alone": (2, 6), "nothing on our list helps": (1, 6)}
"""Years on, and month in the north, of the next look by verdict. JUDGEMENT."""
FIRST_LOOK = (4, 9)
"""Months in the north in which a cause outside the soil is looked for: the next of them. JUDGEMENT."""
GIRTH_SQUEEZED = "encircling_share"
SETTLING = "settling_water"
"""Where a tree still roots in, water comes first: this course, alone or at the head of another."""
YIELDING = (*WISHED, "play_ground")
"""What stands against a remedy, and may be settled otherwise by who owns the ground."""
TRODDEN = {"foot_traffic": ("path", "crowd"), "vehicle_traffic": ("light", "heavy")}


def tree_verdict(case: Case, chosen: str | None, worth_it: tuple[Treatment, ...],
                 too_dear: tuple[Treatment, ...] = ()) -> tuple[TreeVerdict, str]:
    """The verdict on one tree and its reason.

    Parameters
    ----------
    case : the tree with every course reckoned.
    chosen : code of the course the programme took; None: none.
    worth_it : courses that are allowed and can be seen, priced or not.
    too_dear : courses that are allowed and can be seen, and cost more than their gain is judged worth.

    Returns
    -------
    (verdict, key of the words under prescribe.verdict)

    Raises
    ------
    Nothing.

    Notes
    -----
    Where something could fail nothing is done under the tree before a qualified assessor has seen it, and nothing is
    proposed for a tree whose growth was not read. A tree lags below three quarters of its kind. Where a cause outside
    the soil is more likely than not and takes what matters, the soil is left alone and that cause looked for.

    References
    ----------
    Table prescribe/effects: JUDGEMENT.

    Examples
    --------
    >>> from types import SimpleNamespace as Told
    >>> seen = Told(explanation=Told(observed_share=Told(median=0.95)), treatments=())
    >>> tree_verdict(seen, None, ()), tree_verdict(seen, "mulch", ())
    (('leave it alone', 'like_its_kind'), ('treat', 'gains_most'))
    """
    if chosen is not None:
        return "treat", "water_and_patience" if chosen.startswith(SETTLING) else "gains_most"
    if any(each.barred == CONCERN for each in case.treatments):
        return "leave it alone", CONCERN
    if case.explanation.observed_share is None:
        return "leave it alone", NOT_JUDGED
    if not lags(case):
        return "leave it alone", "like_its_kind"
    if not_the_soil(case):
        return "leave it alone", "not_the_soil"
    if worth_it:
        unpriced = all(each.cost is None for each in worth_it)
        return "treat", case.unpriced if unpriced else "no_money"
    if _settles_in(case):
        return "leave it alone", "settles_in"
    if too_dear:
        return "nothing on our list helps", "too_dear"
    if _ruled_out(case):
        return "nothing on our list helps", "wishes_bar"
    return "nothing on our list helps", "past_our_means"


def what_would(case: Case) -> tuple[str, ...]:
    """What would help: what is ruled out here, and remedies outside the model that answer what takes the growth.

    Parameters
    ----------
    case : the tree with every course reckoned.

    Returns
    -------
    Codes of remedies, the most telling first; empty where none is known.

    Raises
    ------
    Nothing.

    Notes
    -----
    First what the client or the use of the ground rules out and would gain what can be seen, by gain; not where the
    soil does not explain the growth; last one course of several, of which no remedy is named by itself and which is
    worth its cost. Then by the limits that take ten points and more once the observed growth is taken in; nothing that
    law, trade or a structural concern forbid. The flare is opened first where the soil does not explain the growth and
    the signs point to the collar.

    References
    ----------
    Which remedy answers which cause: common practice, no source.

    Examples
    --------
    >>> from types import SimpleNamespace as Told
    >>> from rootcase.casework.explain.ground import Ground
    >>> limits = [Told(limit=limit, points=Told(mean=30.0 if limit == "air" else 0.0)) for limit in LIMITS]
    >>> sealing = Told(part="sealing", points=Told(mean=0.0))
    >>> wet = Told(explanation=Told(conditioned=None, limits=limits, water_parts=[sealing]),
    ...            ground=Ground("lawn", {}), of=lambda code: Told(no_use="", barred=""), treatments=())
    >>> what_would(wet)
    ('drainage',)
    """
    takes = _takes(case)
    sealed = next(part.points.mean for part in case.explanation.water_parts if part.part == "sealing")
    matters = figure("matters_points")
    rules = (
        ("open_flare", not_the_soil(case) and flare_in_doubt(case.explanation.signs)),
        ("soil_volume", takes["water"] >= matters and sealed >= matters),
        ("drainage", takes["air"] >= matters),
        ("stop_salt", takes["salt"] >= matters),
        ("keep_off", takes["strength"] >= matters and _trodden(case)),
        ("chelate", takes["nutrition"] >= matters),
        ("sulfur", takes["nutrition"] >= matters),
    )
    beyond = tuple(code for code, holds in rules if holds and not case.of(code).no_use
                   and case.of(code).barred in ("", *YIELDING))
    return (*(() if not_the_soil(case) else _ruled_out(case)), *beyond)


def first_look(case: Case, reason: str, would: tuple[str, ...]) -> str:
    """What of the signs is looked at before all else.

    Parameters
    ----------
    case : the tree with every course reckoned.
    reason : key of the words under prescribe.verdict.
    would : what would help; the collar is looked at where opening it is among it.

    Returns
    -------
    Kind of a reading nobody has made; empty where the soil leads, or every cause was looked at.

    Raises
    ------
    Nothing.

    Notes
    -----
    The look at the best cause itself, by the table of causes; one at the collar comes first.

    References
    ----------
    Collar first, since it is cheap and often skipped: common practice, no source.

    Examples
    --------
    >>> from types import SimpleNamespace as Told
    >>> nobody = Told(explanation=Told(signs=None))
    >>> first_look(nobody, "not_the_soil", ("open_flare",)), first_look(nobody, "no_money", ())
    ('encircling_share', '')
    """
    signs = case.explanation.signs
    if reason != "not_the_soil":
        return ""
    opened = "open_flare" in would
    if signs is None:
        return GIRTH_SQUEEZED if opened else ""
    collar = [cause for cause in signs.causes if cause.cause in AT_THE_COLLAR and opened]
    above = [cause for cause in signs.causes if cause.cause not in AT_THE_COLLAR]
    return next((cause.first_look for cause in (*collar, *above) if cause.first_look not in signs.looked_at), "")


def look_again(today: date, verdict: TreeVerdict, southern: bool, *, look_first: bool = False) -> date:
    """When to look at the tree again.

    Parameters
    ----------
    today : the day the plan is made on.
    verdict : what was said of the tree.
    southern : whether it stands on the southern half of the earth.
    look_first : whether something is to be read before all else: the signs of a cause outside the soil, or the growth
        of a tree that nobody read.

    Returns
    -------
    A day in leaf, after the shoots have grown; of a first look the next spring, or autumn where that is nearer.

    Raises
    ------
    Nothing.

    Notes
    -----
    Treated trees after the next season, those left alone after two.

    References
    ----------
    JUDGEMENT.

    Examples
    --------
    >>> look_again(date(2015, 11, 4), "leave it alone", False)
    datetime.date(2017, 6, 15)
    """
    if look_first:
        months = sorted(months_later(month, 6) if southern else month for month in FIRST_LOOK)
        days = (date(year, month, 15) for year in (today.year, today.year + 1) for month in months)
        return next(day for day in days if day > today)
    years, month = LOOK_AGAIN[verdict]
    ahead = month + 6 if southern else month
    return date(today.year + years + (ahead > 12), (ahead - 1) % 12 + 1, 15)


def not_the_soil(case: Case) -> bool:
    """Whether a cause outside the soil is to be looked for before the soil is worked.

    Parameters
    ----------
    case : the tree with every course reckoned.

    Returns
    -------
    True where such a cause is more likely than not and takes what matters.

    Raises
    ------
    Nothing.

    Notes
    -----
    From the conditioned results; without an observed share nothing is said of other causes.

    References
    ----------
    Table prescribe/effects: JUDGEMENT.

    Examples
    --------
    >>> from types import SimpleNamespace as Told
    >>> after = Told(chance_other_cause=0.9, other_cause_points=Told(mean=50.0))
    >>> not_the_soil(Told(explanation=Told(conditioned=after))), not_the_soil(Told(explanation=Told(conditioned=None)))
    (True, False)
    """
    after = case.explanation.conditioned
    return (after is not None and after.chance_other_cause > figure("other_cause_chance")
            and after.other_cause_points.mean >= figure("matters_points"))


def lags(case: Case) -> bool:
    """Whether a tree grows less than most of its kind.

    Parameters
    ----------
    case : the tree with every course reckoned.

    Returns
    -------
    True where its share is under three quarters.

    Raises
    ------
    Nothing.

    Notes
    -----
    The observed share; the predicted one where nothing was observed.

    References
    ----------
    Table prescribe/effects: JUDGEMENT.

    Examples
    --------
    >>> from types import SimpleNamespace as Told
    >>> lags(Told(explanation=Told(observed_share=Told(median=0.5))))
    True
    """
    share = case.explanation.observed_share or case.explanation.predicted_share
    return share.median < figure("lags_below")


def _takes(case: Case) -> dict[Limit, float]:
    """Points each limit takes, once the observed growth is taken in where there is one."""
    after = case.explanation.conditioned
    limits = case.explanation.limits if after is None else after.limits
    return {limit.limit: limit.points.mean for limit in limits}


def _ruled_out(case: Case) -> tuple[str, ...]:
    """What would gain what can be seen but for the client's wishes or the use of the ground, by gain.

    Of courses of several the first of which no remedy would do so by itself, and which is worth what it costs.
    """
    barred = sorted((each for each in case.treatments if each.barred in YIELDING and each.mean_gain >= LEAST_GAIN
                     and not each.no_use), key=lambda each: -each.mean_gain)
    alone = tuple(each.code for each in barred if not each.course.several)
    together = next((each.code for each in barred if each.course.several and _earns(case, each)
                     and not {r.code for r in each.remedies} & set(alone)), None)
    return alone if together is None else (*alone, together)


def _earns(case: Case, each: Treatment) -> bool:
    """Whether it is worth more than it costs; what has no price may be."""
    cost_m2 = (each.cost or 0.0) / case.root_zone_m2
    return bool(net_benefit(each.mean_gain, cost_m2, case.worth_m2) > 0.0)


def _settles_in(case: Case) -> bool:
    """Whether not being rooted in yet takes most, and the tree comes on by itself."""
    takes, alone = _takes(case), case.of("nothing").outlook
    if alone is None or max(LIMITS, key=lambda limit: takes[limit]) != "establishment":
        return False
    by_year = alone.share.mean(axis=1)
    return bool(by_year[-1] - by_year[0] >= LEAST_GAIN)


def _trodden(case: Case) -> bool:
    told = {kind: case.ground.choice(kind) for kind in TRODDEN}
    if all(reading is None for reading in told.values()):
        return case.ground.place_kind in ("pitch", "verge", "construction")
    return any(reading is not None and reading.choice in TRODDEN[kind] for kind, reading in told.items())
