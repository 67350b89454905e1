"""What to read before the money is spent: on the demonstration, against nested simulation, and by hand."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial

import numpy as np
import pytest

from rootcase.casework.draws import stream
from rootcase.casework.explain.ahead import readings_ahead
from rootcase.casework.explain.explain import explain, tree_of
from rootcase.casework.explain.ground import ground_of
from rootcase.casework.explain.signs.ahead import LookAhead
from rootcase.casework.explain.site import tree_inputs
from rootcase.casework.explain.slice import slice_for
from rootcase.casework.prescribe import next_reading
from rootcase.casework.prescribe.case import case_of
from rootcase.casework.prescribe.next_reading import Choice, choices_at, minutes_cost, ranked, readings_for_plan
from rootcase.casework.prescribe.outlooks import draws_at, outlooks_of
from rootcase.casework.prescribe.prescribe import PlanInputs, plan_with_readings
from rootcase.casework.prescribe.programme import ceilings_of
from rootcase.casework.prescribe.remedies import figure
from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.records.explain import Explanation
from rootcase.records.observe import Price, PriceBook, PropertyRecord, Reading
from rootcase.records.outlook import Outlooks
from rootcase.records.prescribe import PlanReading, TreePrescription
from rootcase.science.inference.next_reading import plan_value
from rootcase.services.compare import compare_property
from rootcase.services.demo import DAY, SEED, import_demo
from rootcase.services.run import Run
from rootcase.services.weather import weather_for
from tests.casework.nested import nested_value

DRAWS = 1000


@dataclass(frozen=True)
class Thought:
    """One tree of the demonstration with its plan."""

    record: PropertyRecord
    book: PriceBook
    explanation: Explanation
    outlooks: Outlooks
    told: TreePrescription

    @property
    def choices(self) -> tuple[Choice, ...]:
        return choices_at(self.told, case_of(self.record, self.explanation, self.outlooks, self.book))

    @property
    def worth(self) -> float:
        return figure("worth_m2") * self.outlooks.root_zone_m2


@pytest.fixture(scope="module")
def street(tmp_path_factory):
    """The demonstration's second ground: record, weather, comparison, prices."""
    folder = tmp_path_factory.mktemp("demo")
    with open_fieldbook(folder / "book.sqlite") as book:
        import_demo(book, folder / "demo")
        ground, run = book.properties()[1], Run(DAY, DRAWS, SEED, 2)
        whole = book.record(ground.id)
        return whole, weather_for(book, ground, run), compare_property(whole, run), book.price_book(ground.currency)


def think(street, label, *more: Reading, draws=DRAWS, ahead=500) -> Thought:
    """A tree's explanation and plan, as if no other were there; the comparison stays as it was."""
    whole, days, comparison, book = street
    tree = next(tree for tree in whole.trees if tree.label == label)
    line = next(each for each in comparison.trees if each.tree_id == tree.id)
    own = slice_for(replace(whole, readings=(*whole.readings, *more)), tree.id)
    explanation = explain(own, tree.id, line, days, draws=draws, seed=SEED, threads=2)
    outlooks = outlooks_of(own, explanation, line, days, draws=ahead, seed=SEED, threads=2)
    plan = plan_with_readings(PlanInputs(own, [explanation], [outlooks], book, ceilings_of(own), DAY, ahead, SEED))
    return Thought(own, book, explanation, outlooks, plan.trees[0])


@pytest.fixture(scope="module")
def green(street):
    return think(street, "M4")


@pytest.fixture(scope="module")
def kerb(street):
    return think(street, "L4")


def taken(thought: Thought, kind: str, choice: str) -> Reading:
    """One more reading of the tree's own spot or place, as somebody would write it down."""
    tree = tree_of(thought.record, thought.explanation.tree_id)
    of = tree.place_id if kind == "irrigation_kind" else thought.record.pits_of(tree.id)[0].id
    return Reading(f"taken {kind}", kind, of, thought.record.visits[-1].id, DAY, "a", None, choice, "=", None, choice)


@pytest.mark.property
def test_two_trees_get_different_first_readings_and_each_loses_its_place_once_taken(street, green, kerb):
    """Whichever of its two likeliest answers a reading gives."""
    first = {"irrigation_kind": (green, "M4", ("none", "spray")), "texture_feel": (kerb, "L4", ("sandy_loam", "loam"))}
    for kind, (before, label, answers) in first.items():
        assert before.told.next_for_plan[0].kind == kind
        for answer in answers:
            after = think(street, label, taken(before, kind, answer)).told
            assert after.enough_read is not None
            assert after.enough_read or after.next_for_plan[0].kind != kind, (label, answer)


def worths(thought: Thought, answers: int):
    """(EVSI a minute by regression, by nested simulation) of each reading that may be told of."""
    tree = tree_of(thought.record, thought.explanation.tree_id)
    picked = thought.outlooks.picked
    inputs = tree_inputs(thought.record, tree, draws=thought.explanation.draws, seed=SEED)
    inputs = replace(inputs, tree=draws_at(inputs.tree, picked), parameters=inputs.parameters.at(picked))
    made, stakes = ground_of(thought.record, [tree]).made, next_reading._stakes(thought.choices, thought.worth)
    ahead = readings_ahead(inputs, partial(stream, SEED, "nested", tree.id), made)
    minutes = {each.kind: each.minutes for each in thought.explanation.next_readings}
    found = {}
    for kind, shown in ahead.items():
        if np.ptp(shown.read, axis=1).any():
            by_regression = plan_value(stakes.net_benefits, shown.read, least=stakes.least).worth
            nested, _ = nested_value(kind, shown, made, stakes.net_benefits, stakes.least, answers=answers,
                                     rng=np.random.default_rng(5))
            found[kind] = by_regression / minutes[kind], nested / minutes[kind]
    return found


@pytest.mark.property
def test_the_first_three_agree_in_rank_with_nested_simulation(street, long):
    """Where too few draws fit an answer, as with five numbers at once, nested simulation tells nothing."""
    draws, answers = (20_000, 2000) if long else (4000, 150)
    for label in ("M4", "L3") if long else ("M4",):
        found = worths(think(street, label, draws=draws, ahead=draws), answers)
        told = {kind: pair for kind, pair in found.items() if np.isfinite(pair[1])}
        by_regression, by_nesting = (sorted(told, key=lambda kind: -told[kind][at])[:3] for at in (0, 1))
        assert by_regression == by_nesting, (label, found)


ROD = PlanReading("probe_depth", "rod", "soil_moist", 2.0, None, True, False, 0.0, 3.0, 40.0, 5.0, "nothing", 0.3,
                  "mulch")


def test_what_does_not_surely_pay_is_not_told_and_the_rest_stands_by_what_is_left_for_a_minute():
    slow, dear = replace(ROD, kind="slow", minutes=4.0), replace(ROD, kind="dear", cost=36.0)
    assert [each.kind for each in ranked([dear, slow, ROD, replace(ROD, worth=0.0)])] == ["probe_depth", "slow"]


def test_an_hour_and_a_fee_come_from_the_book_where_it_tells_them(green):
    book = PriceBook("USD", (Price("reading hour", "per_hour", 120.0, "USD", "made up"),
                             Price("laboratory", "per_tree", 15.0, "USD", "made up")))
    assert (minutes_cost(30.0, book), minutes_cost(60.0, PriceBook("USD", ()))) == (60.0, 75.0)
    shown = next_reading._told(
        next(each for each in green.explanation.next_readings if each.kind == "sample_cores"),
        plan_value(np.stack([np.zeros(500), np.ones(500)]), np.zeros(500)),
        next_reading._stakes((Choice("mulch", np.full(500, 0.2), 7.0),), 100.0), book)
    # 15.5 minutes, the fee, and 20 money put off by ten of 1826 days.
    assert shown.cost == pytest.approx(15.5 * 2.0 + 15.0 + 20.0 * 10 / 1826.25)
    assert (shown.laboratory_fee, shown.plan_now, shown.chance_of_change) == (15.0, "mulch", 0.0)


@pytest.mark.property
def test_a_look_that_settles_another_cause_is_worth_what_the_draws_say(green):
    """A course that gains as the soil alone is likely, and just earns its cost: the sign that settles it is worth the
    variance of that chance, one that tells nothing is worth nothing."""
    picked, before = green.outlooks.picked, green.explanation.signs.chance_soil_alone
    alone = next_reading._alone(green.explanation)[picked]
    stakes = next_reading._stakes((Choice("mulch", 0.5 * alone, 50.0 * float(alone.mean())),), 100.0)
    settles, idle = (LookAhead("canker_share", "canker", *each)
                     for each in ((1.0 - before, 0.0, 1.0), (0.4, before, before)))
    worths = [next_reading._looks((look,), green.explanation, picked, stakes, green.book)[0].worth
              for look in (settles, idle)]
    assert worths == pytest.approx([50.0 * float(alone.var()), 0.0], abs=1e-9)
    assert next_reading._looks((idle, settles), green.explanation, picked, stakes, green.book)[0].worth == worths[0]


def test_nothing_is_weighed_where_growth_was_not_read_and_nothing_is_left_to_decide_where_all_is_barred(green):
    assert readings_for_plan(green.record, green.explanation, green.outlooks.picked, (), green.book, worth=1.0,
                             seed=1) == ()
    unread = replace(green.explanation, observed_share=None)
    untold = replace(green.told, next_for_plan=(), enough_read=None)
    assert next_reading._read_next(untold, green.record, unread, green.outlooks, green.book, 1).enough_read is None


def test_enough_is_never_said_where_a_cause_outside_the_soil_leads(green, monkeypatch):
    monkeypatch.setattr(next_reading, "readings_for_plan", lambda *args, **named: ())
    untold = replace(green.told, next_for_plan=(), enough_read=None)
    said = [next_reading._read_next(replace(untold, reason=reason), green.record, green.explanation, green.outlooks,
                                    green.book, 1).enough_read for reason in ("not_the_soil", "gains_most")]
    assert said == [None, True]


@pytest.mark.property
def test_the_same_seed_tells_the_same(street, green):
    assert think(street, "M4").told == green.told
