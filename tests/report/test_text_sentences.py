"""Sentences of the report: which word a cause gets, how a dose is said, what is never said."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from rootcase.casework.prescribe.doses import dose_of
from rootcase.casework.prescribe.remedies import remedies
from rootcase.casework.prescribe.states import Worked
from rootcase.records.estimate import Estimate
from rootcase.records.explain import LIMITS, Explanation
from rootcase.records.prescribe import Dose
from rootcase.report.terminal import explanation_text, summary
from rootcase.report.text import one_tree, whole_property
from rootcase.report.text.cases import tree_cases
from rootcase.report.text.causes import main_cause
from rootcase.report.text.doses import beside, beside_together, dose_text
from rootcase.report.text.naming import looked_for, names
from rootcase.report.text.offered_trees import _why
from rootcase.report.text.takes import finding
from tests.report.fixtures import casework_fixture


def explanation_where(strength_leads: float) -> Explanation:
    """Hard soil is the largest loss in this share of a hundred draws, too little air in the rest."""
    losses = np.zeros((len(LIMITS), 100))
    losses[0], losses[1] = 0.3, np.where(np.arange(100) < 100 * strength_leads, 0.1, 0.5)
    return replace(casework_fixture().explanations[0], limit_draws=losses, weights=np.full(100, 0.01), conditioned=None)


@pytest.mark.parametrize(("leads", "name", "word"), [
    (0.95, "strength", "likely"), (0.68, "strength", "likely"), (0.60, "strength", "maybe"), (0.2, "air", "likely")])
def test_a_cause_is_likely_above_two_thirds_maybe_above_one(leads: float, name: str, word: str) -> None:
    cause = main_cause(explanation_where(leads))
    assert (cause.name, cause.word) == (name, word)
    assert cause.chance == pytest.approx(max(leads, 1 - leads))


def test_where_another_cause_takes_more_on_the_mean_headline_and_offer_say_both() -> None:
    apart = explanation_where(0.6)
    taken = {"strength": 30.0, "air": 43.0}
    apart = replace(apart, limits=tuple(
        replace(step, rests_on=("r",), points=Estimate(*[taken.get(step.limit, 0.0)] * 6)) for step in apart.limits))
    case = replace(tree_cases(casework_fixture())[0], explanation=apart)
    both = "Most likely first: hard soil; largest on the mean: too little air in the soil."
    assert one_tree.headline(case)[1:] == ["Maybe it is hard soil.", both]
    assert finding(case) == ("Hard soil comes first most often and takes about a third of the growth; "
                             "largest on the mean is lack of air, about two fifths.")
    assert _why(apart).endswith(both)
    led = replace(apart, limits=tuple(replace(step, points=Estimate(*[99.0 if step.limit == "strength" else 0.0] * 6))
                                      for step in apart.limits))
    assert one_tree.headline(replace(case, explanation=led))[1:] == ["Maybe it is hard soil."]


def test_weights_decide_not_the_count_of_draws() -> None:
    weights = np.where(np.arange(100) < 95, 0.001, (1 - 0.095) / 5)
    assert main_cause(replace(explanation_where(0.95), weights=weights)).name == "air"


@pytest.mark.parametrize(("most", "words"), [(84.0, "nine tenths"), (41.0, "two fifths"), (130.0, "all")])
def test_what_the_soil_does_not_explain_is_never_said_smaller_than_its_interval(most: float, words: str) -> None:
    fixture = casework_fixture()
    left = Estimate(most / 2, most / 2, -5.0, most, most / 3, most / 1.5)
    known = tuple(replace(each, unexplained_points=left) for each in fixture.explanations)
    casework = replace(fixture, explanations=known)
    cases = tree_cases(casework)
    told = [one_tree.unexplained(case) for case in cases if case.behind and case.explanation]
    assert told
    assert all(one and f"may take up to {words} of" in one.text for one in told)
    whole = " ".join(one.text for one in whole_property.not_known(cases, casework))
    assert f"may take up to {words} of the growth, most at " in whole


def test_a_cause_nobody_read_anything_for_is_not_known() -> None:
    case = explanation_where(0.95)
    bare = tuple(replace(limit, rests_on=()) for limit in case.limits)
    assert main_cause(replace(case, limits=bare)).word == "not known"


def test_a_cause_outside_the_soil_is_named_where_it_takes_more() -> None:
    maple = casework_fixture().explanations[4]
    assert main_cause(maple).name == "other"


@pytest.mark.parametrize(("dose", "words"), [
    (Dose(41.7, depth_m=0.0762, volume_m3=3.2),
     "7.6 cm (3 in) deep on 42 m² (452 ft²): 3.2 m³ (4.2 yd³), 38 barrows of 85 L"),
    (Dose(10.0, water_mm=10.7, every_days=3), "11 mm (0.43 in) of water on 10 m² (108 ft²) every 3 days"),
    (Dose(100.0, water_mm=2.24, litres=224.0),
     "224 L/100 m² (55 gal/1000 ft²) on 100 m² (1,080 ft²): 224 L (59.2 gal)"),
    (Dose(10.0, mass_kg=0.1, season="spring"),
     "1 kg/100 m² (2.05 lb/1000 ft²) on 10 m² (108 ft²): 0.1 kg (0.2205 lb); in spring"),
    (Dose(500.0, mass_kg=60.0, parts=2), ("12 kg/100 m² (25 lb/1000 ft²) on 500 m² (5,380 ft²): 60 kg (132.3 lb), "
                                          "3 sacks of 25 kg, in 2 doses of this size")),
    (Dose(40.0, depth_m=0.45, volume_m3=0.14, holes=111, hole_m=0.06, spacing_m=0.6),
     ("111 holes 6 cm (2.36 in) wide and 45 cm (17.7 in) deep, 0.6 m (1.97 ft) apart, on 40 m² (431 ft²): "
      "0.14 m³ (0.18 yd³), 2 barrows of 85 L")),
])
def test_a_dose_in_shovel_units(dose: Dose, words: str) -> None:
    assert dose_text(dose, "metric").replace("\N{NO-BREAK SPACE}", " ") == words


def test_a_long_list_of_names_is_counted_not_lost() -> None:
    assert names([f"oak {n}" for n in range(1, 61)]).endswith("oak 7 and 53 more")


def test_a_tree_that_was_not_read_is_not_called_well() -> None:
    casework = casework_fixture()
    cases = tree_cases(casework)
    said = " ".join(statement.text for statement in whole_property.found(cases, casework))
    assert "oak 8" not in said.lower()
    assert "The growth of oak 8: no shoots were read." in [s.text for s in whole_property.not_known(cases, casework)]
    assert one_tree.headline(cases[7]) == ["We cannot tell how oak 8 grows: no shoots were read."]


def test_leaving_alone_comes_first() -> None:
    casework = casework_fixture()
    assert whole_property.proposed(tree_cases(casework), casework)[0].text == "Leave oak 2, oak 7 and oak 8 alone."


def test_a_kind_that_was_read_is_not_named_as_not_looked_at() -> None:
    casework = casework_fixture()
    text = one_tree.not_looked_at(tree_cases(casework)[7], casework.record)
    assert text == "We did not look at: fine root length density; water poured, second inch."


def test_a_client_reads_plain_words_for_what_was_not_found_out() -> None:
    assert looked_for(["sar", "mottle_top", "ece", "bulk_density", "drainage_hole_drop", "infiltration_time"]) == (
        "how salty the soil is; how deep air reaches in wet times; how tightly the soil is packed; "
        "how fast water drains away; 1 more")
    assert looked_for(["mycorrhiza_tips"]) == "root tips that are mycorrhizal", "without plain words its label"


def test_months_are_those_of_the_property() -> None:
    dose = Dose(10.0, water_mm=11.0, every_days=3, litres=110.0, season="may_september")
    assert dose_text(dose, "metric").endswith("May to September")
    assert dose_text(dose, "metric", southern=True).endswith("November to March")
    autumn = Dose(10.0, season="autumn")
    assert dose_text(autumn, "us", southern=True) == dose_text(autumn, "us"), "autumn is autumn in both halves"


def test_causes_that_differ_are_told_a_sentence_each_three_at_most() -> None:
    def caused(name: str, chance: float) -> Explanation:
        losses = np.zeros((len(LIMITS), 100))
        losses[LIMITS.index(name)] = np.where(np.arange(100) < 100 * chance, 0.3, 0.0)
        losses[LIMITS.index("air" if name != "air" else "salt")] = 0.1
        return replace(casework_fixture().explanations[0], limit_draws=losses, weights=np.full(100, 0.01),
                       conditioned=None)

    behind = [case for case in tree_cases(casework_fixture()) if case.behind]
    told = (("water", 0.9), ("water", 0.6), ("strength", 0.9), ("nutrition", 0.9), ("salt", 0.9))
    cases = tuple(replace(case, explanation=caused(*cause)) for case, cause in zip(behind, told, strict=True))
    assert whole_property.causes(cases) == (
        "Likely too little water at oak 1, maybe at oak 3. Likely hard soil at maple 4. "
        "Likely a soil short of food, or food locked up at maple 5.")
    assert len(whole_property.headline(cases)) == 1
    shared = tuple(replace(case, explanation=caused("water", 0.9)) for case in behind)
    assert whole_property.causes(shared) == ""
    assert whole_property.headline(shared)[1] == "Likely it is too little water."


@pytest.mark.parametrize(("behind", "well", "words"), [
    (3, 0, "All three trees we read grow clearly less"), (2, 0, "Both trees we read grow clearly less"),
    (3, 1, "Three of the four trees we read grow clearly less"), (1, 1, "One of the two trees we read grows")])
def test_all_are_not_counted_out_of_themselves(behind: int, well: int, words: str) -> None:
    cases = tree_cases(casework_fixture())
    chosen = [case for case in cases if case.behind][:behind]
    chosen += [case for case in cases if case.share and not case.behind][:well]
    assert whole_property.headline(tuple(chosen))[0].startswith(words)


def test_a_rest_below_nothing_is_not_said_to_be_next_to_nothing() -> None:
    case = tree_cases(casework_fixture())[0]
    assert case.explanation
    points = Estimate(-20.0, -20.0, -40.0, 1.0, -30.0, -10.0)
    text = one_tree.unexplained(replace(case, explanation=replace(case.explanation, unexplained_points=points)))
    assert text
    assert text.text.startswith("Nothing beside the soil seems to hold it back.")


def test_what_a_wish_bars_is_not_said_to_be_unknown() -> None:
    case = tree_cases(casework_fixture())[3]
    assert case.prescription
    barred = replace(case, prescription=replace(case.prescription, what_would=(), reason="wishes_bar"))
    verdict = one_tree.verdict(barred)
    assert verdict
    assert verdict.text.startswith("Nothing on our list helps maple 4 within what is allowed here. Wishes or the use")
    said = [statement.text for statement in whole_property.proposed((barred,), casework_fixture())]
    assert said[-1].startswith("Nothing on our list helps maple 4 within what is allowed. Wishes or the use of")
    beyond = replace(case, prescription=replace(case.prescription, what_would=(), reason="past_our_means"))
    verdict = one_tree.verdict(beyond)
    assert verdict
    assert "We know of nothing that would." in verdict.text


def test_that_something_is_too_dear_is_said_once() -> None:
    case = tree_cases(casework_fixture())[3]
    assert case.prescription
    priced = next(each for each in case.prescription.remedies if each.gain_points and each.remedy != "nothing")
    dear = replace(case.prescription, verdict="nothing on our list helps", reason="too_dear", too_dear=priced.remedy,
                   first_look="")
    verdict = one_tree.verdict(replace(case, prescription=dear))
    assert verdict
    assert verdict.text.count("what it is worth to you") == 1


def test_watering_is_told_by_the_season_with_who_waters() -> None:
    water = Dose(121.2, water_mm=10.7, litres=1306.0, every_days=3, season="may_september")
    said = " ".join(beside(water, "us")).replace(",", "")
    assert "Over the season about 51 times in all about 17600 gal" in said
    assert "who waters and whose water it is" in said
    both = " ".join(beside_together([("oak 5", water), ("oak 8", water)], "us"))
    assert both.count("Over the season about 51 times") == 1
    once = Dose(10.0, water_mm=300.0, litres=3000.0, season="early_spring")
    assert "Over the season" not in " ".join(beside(once, "us"))


def test_tilled_ground_tells_its_chips_apart_and_the_organic_matter_not_known() -> None:
    tillage = next(remedy for remedy in remedies() if remedy.code == "air_tillage")
    lawn = {"litter": 0.0, "mulch": 0.0, "turf": 0.8, "bare": 0.2, "paved": 0.0}
    dose = dose_of(tillage, 100.0, lawn, Worked(), 0.4)
    assert dose
    assert dose_text(dose, "us").startswith("tilled 7.9 in (20 cm) deep on ")
    assert "; then chips 2.6 in (6.6 cm) deep: " in dose_text(dose, "us")
    assert beside(dose, "us") == [
        "How much organic matter to mix in: not known; the amount beside it is the chips alone."]


def test_what_is_nearly_as_good_is_told_with_its_price() -> None:
    case = next(case for case in tree_cases(casework_fixture()) if case.prescription and case.prescription.chosen)
    assert case.prescription
    water = replace(case.prescription.remedies[1], remedy="water", cost=471.3)
    plan = replace(case.prescription, nearly_as_good=("water",), remedies=(*case.prescription.remedies, water))
    said = one_tree.verdict(replace(case, prescription=plan))
    assert said
    assert "Nearly as good: watering in summer, 471 USD." in said.text
    alone = one_tree.verdict(case)
    assert alone
    assert "Nearly" not in alone.text


def test_what_lay_beyond_a_formula_is_told_on_page_and_screens() -> None:
    casework = casework_fixture()
    doubted = replace(casework.explanations[0], doubts=("explain.doubt.clay",))
    casework = replace(casework, explanations=(doubted, *casework.explanations[1:]))
    assert "More than 60 % clay was read" in one_tree.beyond(tree_cases(casework)[0])
    for screen in (summary(casework), explanation_text(casework.record, casework.explanations)):
        assert screen.count("More than 60 % clay") == 1
