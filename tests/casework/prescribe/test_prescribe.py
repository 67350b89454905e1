"""Plans: wishes are hard, money is a ceiling, nothing is credited beyond the yardstick, and the verdicts."""

from dataclasses import replace
from datetime import date
from functools import cache

import numpy as np
import pytest

from rootcase.casework.explain.explain import explain
from rootcase.casework.prescribe.prescribe import prescribe
from rootcase.casework.prescribe.verdict import look_again
from rootcase.ground.measured import measured
from rootcase.ground.words import say
from rootcase.records.observe import Price, PriceBook
from rootcase.report.text.naming import remedy_name
from tests.casework.property import DAY, FIELD, LAWN, PRICES, WOOD, comparison, read, record, weather, without

N = 200
SHARES = (("t-field", 0.14), ("t-lawn", 0.95))


@cache
def _explained(readings, shares, draws):
    ground, seen = record(list(readings)), comparison(dict(shares), draws)
    return ground, seen, tuple(explain(ground, each.tree_id, each, weather(), draws=draws, seed=1, threads=2)
                               for each in seen.trees)


class Frozen(tuple):
    """Readings as a key: their ids and values tell them apart."""

    def __hash__(self):
        return hash(tuple((r.id, r.value, r.choice) for r in self))


def planned(readings=None, shares=SHARES, book=PRICES, draws=N, **more):
    given = FIELD + LAWN + WOOD if readings is None else readings
    ground, seen, explanations = _explained(Frozen(given), shares, draws)
    return prescribe(ground, seen, explanations, weather(), book, today=DAY, draws=draws, seed=1, threads=2, **more)


def tree(plan, tree_id):
    return next(t for t in plan.trees if t.tree_id == tree_id)


def outcome(plan, tree_id, code):
    return next(r for r in tree(plan, tree_id).remedies if r.remedy == code)


def wishing(**answers):
    """The field's readings with other answers of the client."""
    kinds = tuple(f"wish_{name}" for name in answers)
    told = [read(f"wish_{name}", "field", choice=answer) for name, answer in answers.items() if answer]
    return without(FIELD, *kinds) + told + LAWN + WOOD


def test_a_trodden_field_is_mulched_and_the_sound_tree_left_alone():
    plan = planned()
    assert [(item.tree_id, item.remedy) for item in plan.items] == [("t-field", "mulch")]
    field, lawn = tree(plan, "t-field"), tree(plan, "t-lawn")
    assert (field.verdict, field.chosen, field.reason) == ("treat", "mulch", "gains_most")
    assert (lawn.verdict, lawn.chosen, lawn.reason) == ("leave it alone", None, "like_its_kind")
    assert field.remedies[0].remedy == lawn.remedies[0].remedy == "nothing"
    assert (field.remedies[0].verdict, lawn.remedies[0].verdict) == ("possible", "chosen")
    assert plan.fits
    assert field.share_if_chosen[-1].mean > field.share_if_nothing[-1].mean


def test_ground_doses_and_money_are_the_same_whatever_was_drawn():
    """Only what was read enters them; gains may move."""
    def measured_out(plan):
        return {(t.tree_id, r.remedy): (t.root_zone_m2, t.allowed_share, r.dose, r.cost)
                for t in plan.trees for r in t.remedies}

    many, few = measured_out(planned()), measured_out(planned(draws=40))
    both = many.keys() & few.keys()
    assert len(both) > 30
    assert {key: many[key] for key in both} == {key: few[key] for key in both}


def test_remedies_stand_by_gain_and_those_not_known_last():
    found = tree(planned(), "t-field").remedies
    known = [r.gain_points.mean for r in found[1:] if r.gain_points is not None]
    assert known == sorted(known, reverse=True)
    unknown = [r.gain_points is None for r in found]
    assert unknown == sorted(unknown)
    assert {r.remedy for r in found if r.verdict == "gain not known"} >= {"keep_off", "open_flare", "soil_volume"}
    assert all(r.gain_points is None and r.cost is None for r in found if r.verdict == "gain not known")


def test_gypsum_nitrogen_and_extract_are_what_trials_found():
    plan = planned()
    gypsum = outcome(plan, "t-field", "gypsum")
    assert (gypsum.verdict, gypsum.reason, gypsum.evidence) == ("no use here", "no_sodium", "trials found nothing")
    assert (gypsum.gain_points.low, gypsum.gain_points.high) == (0.0, 0.0)
    assert outcome(plan, "t-lawn", "slow_nitrogen").verdict == "test first"  # no leaf was tested
    extract = outcome(plan, "t-field", "extract")
    assert (extract.verdict, extract.reason) == ("gain too small", "trial_only")
    assert extract.evidence == "trials found nothing"


@pytest.mark.parametrize(("answers", "barred"), [
    ({"chips": "no"}, {"mulch": "no_chips", "air_tillage": "play_ground"}),
    ({"chips": ""}, {"mulch": "play_ground", "air_tillage": "play_ground"}),
    ({"products": "no chips, no tea please"}, {"mulch": "product_barred", "extract": "product_barred"}),
    ({"chips": "", "products": "no chips, no air"}, {"mulch": "play_ground", "air_tillage": "play_ground"}),
    ({"lawn": "stays"}, {"turf_off": "lawn_stays"}),
    ({"bed_line": "fixed"}, {"turf_off": "bed_line_fixed"}),
    ({"holes": "no"}, {"open_flare": "no_holes", "drainage": "no_holes", "soil_volume": "no_holes"}),
])
def test_a_wish_is_hard(answers, barred):
    plan = planned(wishing(**answers))
    for code, reason in barred.items():
        found = outcome(plan, "t-field", code)
        assert (found.verdict, found.reason) == ("not allowed", reason)
        assert code not in [item.remedy for item in plan.items]
    for name, answer in answers.items():
        assert (any(wish[1:] == (f"wish_{name}", answer) for wish in plan.wishes)) == bool(answer)
        assert (f"wish_{name}" in plan.not_asked) == (not answer)


def test_what_a_barred_remedy_would_gain_is_what_the_wish_costs_the_tree():
    free, barred = planned(), planned(wishing(chips="no"))
    assert outcome(barred, "t-field", "mulch").gain_points == outcome(free, "t-field", "mulch").gain_points
    field = tree(barred, "t-field")
    assert (field.verdict, field.reason) == ("nothing on our list helps", "wishes_bar")
    assert field.what_would[0] == max(("mulch", "air_tillage"), key=lambda code: outcome(
        barred, "t-field", code).gain_points.mean)
    assert "keep_off" in field.what_would


def test_nobody_works_under_a_tree_that_could_fail():
    plan = planned([*FIELD, *LAWN, *WOOD, read("structural_concern", "t-field", choice="seen")])
    field = tree(plan, "t-field")
    assert (field.verdict, field.reason) == ("leave it alone", "structural_concern")
    assert {(r.verdict, r.reason) for r in field.remedies if r.verdict != "no use here"} == {
        ("chosen", ""), ("not allowed", "structural_concern")}
    assert plan.items == ()


def test_nothing_is_proposed_where_no_growth_was_read():
    plan = planned(shares=(("t-field", None), ("t-lawn", None)))
    assert {(t.verdict, t.reason) for t in plan.trees} == {("leave it alone", "read_first")}
    assert max(t.look_again for t in plan.trees) <= date(plan.made_on.year + 1, 4, 15), "read next, not in two years"
    assert plan.items == ()


def test_a_remedy_the_lawn_bars_is_reckoned_as_if_it_did_not():
    free, barred = planned(), planned(wishing(lawn="stays"))
    assert outcome(barred, "t-field", "turf_off").gain_points == outcome(free, "t-field", "turf_off").gain_points


def test_the_lawn_stays_but_bare_ground_may_be_covered():
    plan = planned(wishing(lawn="stays"))
    mulch, free = outcome(plan, "t-field", "mulch"), outcome(planned(), "t-field", "mulch")
    assert mulch.dose.area_m2 == pytest.approx(0.3 * free.dose.area_m2, rel=0.1)
    assert mulch.gain_points.mean < free.gain_points.mean
    assert tree(plan, "t-field").allowed_share == pytest.approx(0.3, abs=0.03)
    assert (mulch.verdict, mulch.reason) == ("gain too small", "only_part")


def test_no_money_is_advice_only():
    plan = planned([*FIELD, *LAWN, *WOOD, read("budget_year", "field", 0.0)])
    field = tree(plan, "t-field")
    assert (plan.items, plan.total_cost, plan.first_year_cost, plan.budget, plan.fits) == ((), 0.0, 0.0, 0.0, False)
    assert (field.verdict, field.reason, field.chosen) == ("treat", "no_money", None)
    assert outcome(plan, "t-field", "mulch").verdict == "possible"


def test_the_ceiling_is_this_year_s():
    plan = planned()
    item = plan.items[0]
    assert item.cost == pytest.approx(12.0 * item.dose.area_m2)
    assert plan.total_cost == pytest.approx(item.cost + plan.shared_cost)
    assert plan.shared_cost == pytest.approx(2 * 80.0)
    assert plan.first_year_cost == pytest.approx(item.cost / 2 + 80.0)
    for ceiling, fits in ((plan.first_year_cost + 1.0, True), (plan.first_year_cost - 1.0, False)):
        assert planned([*FIELD, *LAWN, *WOOD, read("budget_year", "field", ceiling)]).fits == fits


def test_the_bound_holds_what_was_chosen():
    plan = planned()
    gain, zone = outcome(plan, "t-field", "mulch").gain_points.mean, tree(plan, "t-field").root_zone_m2
    assert plan.gain_points_m2 == pytest.approx(gain * zone)
    assert plan.best_bound >= plan.gain_points_m2


def test_what_the_book_has_no_line_for_is_not_priced():
    plan = planned(book=PriceBook("USD", ()))
    field = tree(plan, "t-field")
    assert (field.verdict, field.reason, field.chosen) == ("treat", "not_priced", None)
    assert {r.cost for r in field.remedies[1:]} == {None}
    assert outcome(plan, "t-field", "mulch").reason == "not_priced"
    unsaid = planned(book=PriceBook("", ()))
    assert {tree(unsaid, "t-field").reason, outcome(unsaid, "t-field", "mulch").reason} == {"no_currency"}
    by_hour = PriceBook("USD", (Price("mulch", "per_hour", 60.0, "USD", "made up"),))
    dose = outcome(plan, "t-field", "mulch").dose
    assert outcome(planned(book=by_hour), "t-field", "mulch").cost == pytest.approx(60.0 * 0.87 * 2 * dose.volume_m3)


def test_what_costs_more_than_it_gives_is_not_taken():
    dear = replace(PRICES, prices=tuple(replace(p, amount=90.0) if p.item == "mulch" else p for p in PRICES.prices))
    plan = planned(book=dear)
    assert outcome(plan, "t-field", "mulch").verdict == "costs more than it gives"
    assert plan.items == ()
    field = tree(plan, "t-field")
    assert (field.reason, field.worth_m2, field.chosen) == ("too_dear", 100.0, None)
    would = outcome(plan, "t-field", field.too_dear)
    assert would.verdict == "costs more than it gives"
    assert would.gain_points.mean >= 10.0
    assert would.gain_points.mean / 100.0 * 100.0 * field.root_zone_m2 < would.cost
    assert {each.too_dear for each in planned().trees} == {""}


@pytest.mark.property
def test_no_tree_is_credited_beyond_its_kind():
    field = tree(planned(), "t-field")
    assert all(year.high <= 1.0 for year in (*field.share_if_nothing, *field.share_if_chosen))
    sound = planned(shares=(("t-lawn", 1.0),), draws=400)
    best = max(r.gain_points.mean for r in tree(sound, "t-lawn").remedies if r.gain_points is not None)
    assert best < 10.0


def test_a_sick_tree_on_sound_soil_is_not_treated_but_looked_at():
    plan = planned(shares=(("t-lawn", 0.20),), draws=400)
    lawn = tree(plan, "t-lawn")
    assert (lawn.verdict, lawn.reason, lawn.chosen) == ("leave it alone", "not_the_soil", None)
    assert lawn.what_would[0] == "open_flare"
    assert lawn.first_look == "encircling_share"
    assert lawn.look_again <= date(plan.made_on.year + 1, 4, 15), "by next spring at the latest"
    assert {each.first_look for each in planned().trees} == {""}, "where the soil leads nothing comes before it"
    seen = [*FIELD, *LAWN, *WOOD, read("root_flare_state", "t-lawn", choice="all_round")]
    assert tree(planned(seen, (("t-lawn", 0.20),), draws=400), "t-lawn").what_would == ()


@pytest.mark.property
def test_few_draws_are_taken_as_their_weights_say():
    """Three draws that carry all weight, none of them among the first, must be the ones that are run."""
    ground, seen, explanations = _explained(Frozen(FIELD + LAWN + WOOD), SHARES, N)
    heavy = np.zeros(N)
    heavy[[150, 170, 190]] = 1.0 / 3.0
    told = (replace(explanations[0], weights=heavy), explanations[1])

    def mulch(draws):
        plan = prescribe(ground, seen, told, weather(), PRICES, today=DAY, draws=draws, seed=1, threads=1)
        return outcome(plan, "t-field", "mulch").gain_points

    assert np.isfinite(mulch(60).mean)
    assert mulch(60).mean == pytest.approx(mulch(120).mean, abs=3.0)


@pytest.mark.property
def test_another_tree_changes_no_gain():
    both, one = planned(), planned(shares=SHARES[:1])
    for here, there in zip(tree(both, "t-field").remedies, tree(one, "t-field").remedies, strict=True):
        assert here == there


@pytest.mark.property
def test_every_key_has_words():
    for plan in (planned(), planned(wishing(chips="no")), planned(shares=(("t-lawn", 0.20),), draws=400)):
        for each in plan.trees:
            assert say(f"prescribe.verdict.{each.reason}")
            for found in each.remedies:
                assert remedy_name(found.remedy)
                assert not found.reason or say(f"prescribe.reason.{found.reason}")
                assert all(say(f"prescribe.caution.{caution}") for caution in found.cautions)
                assert found.dose is None or say(f"prescribe.season.{found.dose.season}")


def test_the_next_look_is_in_leaf_on_both_halves_of_the_earth():
    assert look_again(date(2015, 10, 20), "treat", False) == date(2016, 9, 15)
    assert look_again(date(2015, 10, 20), "treat", True) == date(2017, 3, 15)
    assert look_again(date(2015, 10, 20), "leave it alone", False, look_first=True) == date(2016, 4, 15)
    assert look_again(date(2015, 10, 20), "leave it alone", True, look_first=True) == date(2016, 3, 15)
    assert look_again(date(2016, 5, 1), "leave it alone", False, look_first=True) == date(2016, 9, 15)
    assert tree(planned(), "t-lawn").look_again == date(2017, 6, 15)


def test_doses_are_of_the_ground_they_lie_on():
    plan = planned()
    mulch, water = (outcome(plan, "t-field", code).dose for code in ("mulch", "water"))
    zone = tree(plan, "t-field").root_zone_m2
    assert zone == pytest.approx(np.pi * 25.0 * 2.2, rel=0.1)
    assert mulch.depth_m == pytest.approx(2.5 * 0.0254)  # heavy clay
    assert mulch.volume_m3 == measured(mulch.area_m2 * 2.5 * 0.0254, "m3", "us", ("yd3", "m3"))
    assert (water.water_mm, water.every_days) == (10.7, 3)
    assert water.litres == measured(zone * 10.7, "L", "us", ("gal", "L"))
    assert outcome(plan, "t-lawn", "mulch").dose.depth_m == pytest.approx(3.0 * 0.0254)
