"""Whether an offer can still be said yes to, and what has changed under a yes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import fields, replace
from datetime import date
from math import isclose

from rootcase.casework.prescribe.offer import offer_of
from rootcase.records.observe import Practice
from rootcase.records.offer import MadeOffer, OfferOption, OfferState, OfferWork, SignedPlan, WorkChange
from rootcase.records.prescribe import Dose, Plan
from rootcase.tables.currencies import half_a_coin

_SAME = 1e-9
"""What is kept of an offer and of a plan has twelve figures; what differs by less than this is the same."""


def offer_state(made: MadeOffer, offers: Sequence[MadeOffer], plans: Sequence[SignedPlan], practice: Practice,
                today: date) -> OfferState:
    """Whether an offer can still be said yes to, and what has changed under it.

    Parameters
    ----------
    made : the offer.
    offers : all of the property, newest first.
    plans : all that were signed there.
    practice : as it is today.
    today : the day that is asked about.

    Returns
    -------
    OfferState.

    Raises
    ------
    Missing : as `offer_of`.

    Notes
    -----
    An offer of a signed plan falls with that plan's mark, even where the newer plan does the same. One of a plan that
    nobody had signed holds when it is signed with the same work at the same price. A yes that came in time does not
    run out.

    References
    ----------
    None; the mark is a content hash (computed).

    Examples
    --------
    >>> empty = Plan("p", (), 0.0, 0.0, None, "USD", 0.0, 0.0, (), (), True, (), date(2016, 1, 15), 10, 1)
    >>> offer = offer_of(empty, (), Practice(), plan_mark="m", signed=False, today=date(2016, 1, 15))
    >>> made = MadeOffer("1", "mark", 1, offer, ())
    >>> offer_state(made, [made], [], Practice(), date(2016, 2, 14)).standing
    'open'
    >>> offer_state(made, [made], [], Practice(), date(2016, 2, 15)).standing
    'run out'
    """
    offer, answer = made.offer, made.decided
    asked = offer.options[answer.option] if answer and answer.option < len(offer.options) else offer.options[
        min(1, len(offer.options) - 1)]
    standing = next((plan for plan in plans if plan.standing == "standing"), None)
    if standing is None and offer.signed:
        return OfferState("withdrawn", None)
    if standing is not None and standing.mark != offer.plan_mark:
        signing = standing.signing
        rounded_by = half_a_coin(offer.currency)  # its price was rounded, perhaps to below what it costs
        now = offer_of(signing.plan, signing.arms, practice, plan_mark=standing.mark, signed=True, today=standing.day,
                       budgets=(asked.this_year.net + rounded_by,) if asked.kind == "less" else ())
        if offer.signed or not _among(asked, now.options):
            return _changed(asked, now.options, standing.day)
    newest = offers[0]
    if newest.number > made.number and not _among(asked, newest.offer.options):
        return _changed(asked, newest.offer.options, newest.offer.made_on)
    in_time = answer is not None and answer.answer == "yes" and answer.day <= offer.valid_until
    return OfferState("open" if in_time or today <= offer.valid_until else "run out", offer.valid_until)


def same_work(made: MadeOffer, plan: Plan, practice: Practice, today: date) -> bool:
    """Whether a plan that nobody signed is still the one an offer was made of: the same work for the same money.

    Parameters
    ----------
    made : the offer.
    plan : as it is prescribed now.
    practice : as it is today.
    today : the day that is asked about.

    Returns
    -------
    bool.

    Raises
    ------
    Missing : as `offer_of`.

    Notes
    -----
    Made anew on another day a plan has another mark, even where nothing of it is otherwise.

    References
    ----------
    None; a comparison of lines and sums (computed).

    Examples
    --------
    >>> empty = Plan("p", (), 0.0, 0.0, None, "USD", 0.0, 0.0, (), (), True, (), date(2016, 1, 15), 10, 1)
    >>> offer = offer_of(empty, (), Practice(), plan_mark="m", signed=False, today=date(2016, 1, 15))
    >>> same_work(MadeOffer("1", "mark", 1, offer, ()), replace(empty, seed=2), Practice(), date(2016, 1, 16))
    True
    """
    now = offer_of(plan, (), practice, plan_mark=made.offer.plan_mark, signed=False, today=today)
    wanted = next((each for each in made.offer.options if each.kind == "plan"), made.offer.options[0])
    return len(wanted.work) == sum(len(each.work) for each in now.options if each.kind == "plan") and _among(
        wanted, now.options)


def _among(option: OfferOption, options: Iterable[OfferOption]) -> bool:
    """Whether the same work for the same money is still to be had."""
    return any((option.this_year, option.five_years) == (each.this_year, each.five_years)
               and len(option.work) == len(each.work) and all(map(_same, option.work, each.work)) for each in options)


def _same(one: OfferWork | None, other: OfferWork | None) -> bool:
    """Whether it is the same piece of work, its amounts to the figures that are kept."""
    if one is None or other is None:
        return one is other
    bare = (replace(each, step=replace(each.step, dose=Dose(0.0))) for each in (one, other))
    amounts = ((getattr(one.step.dose, each.name), getattr(other.step.dose, each.name)) for each in fields(Dose))
    return next(bare) == next(bare) and all(
        isclose(mine, theirs, rel_tol=_SAME) if isinstance(mine, float) and isinstance(theirs, float)
        else mine == theirs for mine, theirs in amounts)


def _changed(old: OfferOption, options: Sequence[OfferOption], day: date) -> OfferState:
    """What has become of an option: of its kind and number, else of the plan, else nothing is left of it."""
    new = next((each for each in options if (each.kind, each.number) == (old.kind, old.number)), None) or next(
        (each for each in options if each.kind == "plan"), options[0])
    remedies = dict.fromkeys(work.step.remedy for option in (old, new) for work in option.work)
    changes = []
    for remedy in remedies:
        before, after = (next((work for work in option.work if work.step.remedy == remedy), None)
                         for option in (old, new))
        if not _same(before, after):
            changes.append(WorkChange(remedy, before, after))
    return OfferState("changed", day, tuple(changes), old.five_years.total, new.five_years.total)
