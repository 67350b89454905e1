"""Offers: every sum closes to the smallest coin, and a plan that has changed is asked about again."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.casework.prescribe.answered import offer_state
from rootcase.casework.prescribe.offer import in_coins, offer_of
from rootcase.ground.errors import Missing
from rootcase.records.estimate import Estimate
from rootcase.records.observe import Practice
from rootcase.records.offer import Answer, Arms, MadeOffer, Offer, Pair, SignedPlan, Signing
from rootcase.records.prescribe import Dose, FrontierPoint, Plan, PlanItem, RemedyOutcome, Step, TreePrescription
from rootcase.tables.currencies import digits_of

DAY = date(2016, 1, 15)
GAIN = Estimate(12.0, 12.0, 2.0, 25.0, 8.0, 16.0)
TAXED = Practice("Practice", tax_name="sales tax", tax_pct=10.1, valid_days=30)


def dose(volume_m3: float = 2.0) -> Dose:
    return Dose(20.0, depth_m=0.08, volume_m3=volume_m3, season="spring")


def outcome(remedy: str, cost: float | None, steps: tuple[Step, ...] = ()) -> RemedyOutcome:
    return RemedyOutcome(remedy, dose(), cost, GAIN, (), "mixed", "possible", "", ("off_trunk",), steps)


def mulch(cost: float, volume_m3: float = 2.0) -> tuple[Step, ...]:
    return (Step(1, "spring", "mulch", dose(volume_m3), cost),
            Step(4, "spring", "mulch", dose(volume_m3), cost, "renew"))


def tree(tree_id: str, *outcomes: RemedyOutcome) -> TreePrescription:
    return TreePrescription(tree_id, "treat", "gains_most", outcomes[0].remedy, outcomes, (), (GAIN,), (GAIN,), 20.0,
                            1.0, date(2018, 6, 15))


def plan_of(costs: list[float], *, shared: float = 80.0, currency: str = "USD", volume_m3: float = 2.0) -> Plan:
    """Mulch at each tree twice, and a smaller step of the first tree alone."""
    trees = tuple(tree(f"t{at}", outcome("mulch", 2 * cost, mulch(cost, volume_m3)), outcome("extract", 30.0))
                  for at, cost in enumerate(costs))
    items = tuple(PlanItem(f"t{at}", "mulch", dose(volume_m3), 2 * cost, GAIN, mulch(cost, volume_m3))
                  for at, cost in enumerate(costs))
    first, whole = sum(costs) + shared, 2 * (sum(costs) + shared)
    steps = tuple(FrontierPoint(budget, costs[0] + shared, 2 * (costs[0] + shared), gain, gain, (("t0", "mulch"),))
                  for budget, gain in ((costs[0] + shared, 240.0),) if len(costs) > 1)
    frontier = (*steps, FrontierPoint(first, first, whole, 480.0, 480.0, tuple((i.tree_id, "mulch") for i in items)))
    return Plan("p", items, 2 * shared, whole, None, currency, 480.0, 480.0, (), (), True, trees, DAY, 500, 1, first,
                frontier=frontier)


def offer(plan: Plan, practice: Practice = TAXED, arms: tuple[Arms, ...] = (), **more: object) -> Offer:
    told = {"plan_mark": "m", "signed": True, "today": DAY} | more
    return offer_of(plan, arms, practice, **told)  # type: ignore[arg-type]


def made(of: Offer, number: int = 1, answers: tuple[Answer, ...] = ()) -> MadeOffer:
    return MadeOffer(str(number), f"mark {number}", number, of, answers)


def signed(plan: Plan, mark: str = "m", day: date = DAY, standing: str = "standing") -> SignedPlan:
    return SignedPlan("1", mark, "rs", day, Signing(plan, (), "", "e", "0", 100, None), standing)  # type: ignore[arg-type]


def yes(day: date, option: int = 1) -> tuple[Answer, ...]:
    return (Answer("1", "mark 1", "yes", option, day, "c1"),)


@pytest.mark.property
@given(st.lists(st.floats(0.0, 1e5), min_size=1, max_size=6), st.floats(0.0, 500.0), st.floats(0.0, 30.0),
       st.sampled_from(["USD", "JPY", "KWD"]))
def test_every_sum_closes_to_the_coin(costs: list[float], shared: float, rate: float, currency: str) -> None:
    found = offer(plan_of(costs, shared=shared, currency=currency), replace(TAXED, tax_pct=rate), budgets=(1e9,))
    for option in found.options:
        lines = [(work.step.cost or 0.0, work.last_year - work.step.year + 1) for work in option.work]
        first = sum(work.step.cost or 0.0 for work in option.work if work.step.year == 1)
        for price, net in ((option.this_year, first + option.shared[0]),
                           (option.five_years, sum(cost * years for cost, years in lines) + option.shared[1])):
            assert price.net == pytest.approx(net, abs=1e-6)
            assert price.total == pytest.approx(price.net + price.tax, abs=1e-6)
            assert abs(price.tax - price.net * rate / 100) <= 0.5 * 10 ** -digits_of(currency) + 1e-6
            for amount in (price.net, price.tax, price.total, *option.shared, *(cost for cost, _ in lines)):
                assert in_coins(amount, currency) == amount
                assert -Decimal(repr(amount)).as_tuple().exponent <= max(digits_of(currency), 1)


def test_set_up_is_exact_and_the_same_work_costs_the_same_every_year() -> None:
    given = plan_of([33.333, 66.667, 10.004], shared=180.0)
    steps = tuple(replace(step, remedy="compost") for step in given.items[2].steps)
    option = offer(replace(given, items=(*given.items[:2], replace(given.items[2], steps=steps)))).options[1]
    assert option.shared == (180.0, 360.0)
    assert [work.step.cost for work in option.work] == [100.0, 10.0, 100.0, 10.0]
    assert (option.this_year.net, option.five_years.net) == (290.0, 580.0)


def test_tax_is_rounded_half_up_to_the_coin_of_the_currency() -> None:
    assert in_coins(0.125, "USD") == 0.13
    plan = plan_of([49.5], shared=0.0)
    assert offer(plan, Practice(tax_pct=9.0)).options[1].this_year.tax == 4.46  # 4.455
    assert offer(replace(plan, currency="JPY"), Practice(tax_pct=9.0)).options[1].this_year.tax == 5.0
    free = offer(plan, Practice())
    assert (free.tax_pct, free.options[1].this_year.tax, free.options[1].this_year.total) == (None, 0.0, 49.5)


def test_leaving_it_alone_is_first_a_trial_last_and_the_rest_falls_in_price() -> None:
    tried = Arms("extract", "trials found nothing", (Pair("t0", "t1", 7),), (), True, 30.0, 0.0)
    found = offer(plan_of([100.0, 100.0, 100.0]), arms=(tried,))
    assert [option.kind for option in found.options] == ["nothing", "plan", "less", "trial"]
    assert [option.number for option in found.options] == [0, 1, 2, 3]
    assert [option.this_year.net for option in found.options] == [0.0, 380.0, 180.0, 30.0]
    assert found.options[3].work[0].tree_ids == ("t0",)
    assert found.options[3].gain_points_m2 is None
    unpriced = replace(tried, cost=None)
    assert [option.kind for option in offer(plan_of([100.0, 100.0]), arms=(unpriced,)).options][-1] != "trial"


def test_the_same_work_at_several_trees_is_one_line_and_years_that_follow_are_too() -> None:
    water = tuple(Step(year, "may_september", "water", Dose(10.0, litres=40.0, every_days=3), 20.0, note)
                  for year, note in ((1, "set_up"), (2, "goes_on"), (3, "goes_on")))
    items = tuple(PlanItem(name, "water", water[0].dose, 60.0, GAIN, water) for name in ("t0", "t1"))
    plan = replace(plan_of([1.0]), items=items, total_cost=120.0, first_year_cost=40.0, shared_cost=0.0)
    work, = offer(plan).options[1].work
    assert (work.tree_ids, work.step.year, work.last_year, work.step.cost) == (("t0", "t1"), 1, 3, 40.0)
    assert (work.step.dose.litres, work.step.dose.every_days, work.step.dose.area_m2) == (80.0, 3, 20.0)
    assert offer(plan).options[1].five_years.net == 120.0


def test_a_tree_that_goes_without_by_lot_costs_what_is_left_for_it() -> None:
    plan = plan_of([100.0, 100.0])
    lot = Arms("mulch", "mixed", (Pair("t0", "t1", 7),), (), False, 200.0, 200.0)
    option = offer(plan, arms=(lot,)).options[1]
    assert {work.tree_ids for work in option.work} == {("t0",)}
    assert option.this_year.net == 100.0 + 80.0
    compost = replace(lot, pairs=(Pair("t0", "t1", 7, "compost"),))
    with pytest.raises(Missing, match="what a tree of this offer gets has no price"):
        offer(plan, arms=(compost,))


def test_what_nobody_knows_the_dose_of_is_not_offered() -> None:
    given = plan_of([100.0])
    item = replace(given.items[0], steps=tuple(
        replace(step, dose=replace(step.dose, unknown="gypsum_lab")) for step in given.items[0].steps))
    with pytest.raises(Missing, match="nobody knows how much to give"):
        offer(replace(given, items=(item,)))


def test_a_modest_step_is_offered_unasked_only_where_it_gains_something() -> None:
    plan = plan_of([100.0, 100.0, 100.0])
    assert [option.kind for option in offer(plan).options] == ["nothing", "plan", "less"]
    little = replace(plan, frontier=tuple(replace(point, gain_points_m2=9.0) for point in plan.frontier))
    assert [option.kind for option in offer(little).options] == ["nothing", "plan"]
    assert [option.kind for option in offer(little, budgets=(200.0, 190.0)).options] == ["nothing", "plan", "less"]
    assert [option.kind for option in offer(plan, budgets=(100.0,)).options] == ["nothing", "plan"]


def test_an_offer_runs_out_and_a_yes_in_time_does_not() -> None:
    of = offer(plan_of([100.0, 100.0]))
    plans = [signed(plan_of([100.0, 100.0]))]
    last, after = of.valid_until, of.valid_until + timedelta(days=1)
    assert offer_state(made(of), [made(of)], plans, TAXED, last).standing == "open"
    assert offer_state(made(of), [made(of)], plans, TAXED, after).standing == "run out"
    agreed = made(of, answers=yes(last))
    assert offer_state(agreed, [agreed], plans, TAXED, after).standing == "open"
    late = made(of, answers=yes(after))
    assert offer_state(late, [late], plans, TAXED, after).standing == "run out"
    assert offer_state(made(of), [made(of)], [], TAXED, last).standing == "withdrawn"


def test_a_plan_that_has_changed_asks_again_and_says_how_much_of_what() -> None:
    old, new = plan_of([100.0]), plan_of([130.0], volume_m3=2.5)
    agreed = made(offer(old), answers=yes(DAY))
    state = offer_state(agreed, [agreed], [signed(new, "n", date(2016, 5, 6))], TAXED, date(2016, 5, 7))
    assert (state.standing, state.since) == ("changed", date(2016, 5, 6))
    change, = state.changes
    assert change.old is not None
    assert change.new is not None
    assert (change.old.step.dose.volume_m3, change.new.step.dose.volume_m3) == (2.0, 2.5)
    assert (state.old_total, state.new_total) == (396.36, 462.42)


@pytest.mark.property
def test_another_mark_asks_again_even_where_the_work_is_the_same() -> None:
    plan = plan_of([100.0])
    agreed = made(offer(plan), answers=yes(DAY))
    state = offer_state(agreed, [agreed], [signed(plan, "n", date(2016, 5, 6))], TAXED, DAY)
    assert (state.standing, state.changes) == ("changed", ())
    proposed = made(offer(plan, signed=False), answers=yes(DAY))
    assert offer_state(proposed, [proposed], [signed(plan, "n", date(2016, 5, 6))], TAXED, DAY).standing == "open"
    dearer = signed(plan_of([100.01]), "n", date(2016, 5, 6))
    assert offer_state(proposed, [proposed], [dearer], TAXED, DAY).standing == "changed"


def test_a_newer_offer_with_other_prices_takes_the_place_of_the_older() -> None:
    plan = plan_of([100.0])
    agreed = made(offer(plan), answers=yes(DAY))
    newer = made(offer(plan, replace(TAXED, tax_pct=12.0), today=date(2016, 2, 1)), 2)
    assert offer_state(agreed, [newer, agreed], [signed(plan)], TAXED, DAY).since == date(2016, 2, 1)
    again = made(offer(plan, today=date(2016, 2, 1)), 2)
    assert offer_state(agreed, [again, agreed], [signed(plan)], TAXED, DAY).standing == "open"


def test_a_yes_to_a_smaller_step_is_held_against_the_step_for_that_money() -> None:
    plan = plan_of([100.0, 100.0, 100.0])
    agreed = made(offer(plan), answers=yes(DAY, 2))
    richer = plan_of([100.0, 100.0, 100.0], volume_m3=2.5)
    state = offer_state(agreed, [agreed], [signed(richer, "n")], TAXED, DAY)
    change, = state.changes
    assert change.new is not None
    assert (change.new.tree_ids, change.new.step.dose.volume_m3) == (("t0",), 2.5)


def test_amounts_that_differ_behind_the_figures_that_are_kept_are_the_same_work() -> None:
    """An offer and a signed plan are kept to twelve figures, and a sum of such is not such a sum."""
    plan = plan_of([100.1, 100.1, 100.1], volume_m3=0.1)
    kept = offer(plan, signed=False)
    option = kept.options[1]
    work = tuple(replace(each, step=replace(each.step, dose=replace(each.step.dose, volume_m3=0.3)))
                 for each in option.work)
    assert work != option.work, "0.1 + 0.1 + 0.1 is not 0.3 to the last bit"
    proposed = made(replace(kept, options=(kept.options[0], replace(option, work=work))), answers=yes(DAY))
    assert offer_state(proposed, [proposed], [signed(plan, "n")], TAXED, DAY).standing == "open"
    more = signed(plan_of([100.1, 100.1, 100.1], volume_m3=0.1001), "n")
    assert len(offer_state(proposed, [proposed], [more], TAXED, DAY).changes) == 1


def test_a_smaller_step_whose_price_was_rounded_down_is_still_the_same() -> None:
    plan = plan_of([100.004, 100.0, 100.0])
    proposed = made(offer(plan, signed=False), answers=yes(DAY, 2))
    assert proposed.offer.options[2].this_year.net == 180.0
    assert offer_state(proposed, [proposed], [signed(plan, "n")], TAXED, DAY).standing == "open"
