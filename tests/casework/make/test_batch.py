"""What makes a batch fit, what refuses it, in which order, and how long it may be used."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from rootcase.casework.make import additive
from rootcase.casework.make.additive import additive_faults, is_test_batch
from rootcase.casework.make.batch import against_by_step, before_compost, judge
from rootcase.casework.make.checklist import checklist
from rootcase.casework.make.evenness import tanks_evenness
from rootcase.casework.make.limits import age_limit, under_the_floor
from rootcase.casework.make.step_doubts import step_doubts
from rootcase.casework.make.steps import require_step
from rootcase.ground.errors import RootcaseError
from rootcase.records.make.batch import (
    AdditiveTest,
    Batch,
    BatchFinding,
    BatchRules,
    Figure,
    HeapUse,
    Judgement,
    Load,
    Step,
    ToldStep,
)

START = datetime(2016, 5, 3, 9, 5, tzinfo=UTC)
END = START + timedelta(minutes=60)
HEAP = HeapUse(name="heap 4", may_be_used=True, why_not=(), time_zone="UTC")
RULES = BatchRules(oxygen_floor_mg_l=6.0)


def told(step: Step, minutes: float = 0.0, figures: Mapping[str, float] | None = None, **words: str) -> ToldStep:
    return ToldStep(id=f"{step} {minutes:g}", step=step, at=START + timedelta(minutes=minutes), by="rs", words=words,
                    figures=tuple(Figure(*each) for each in (figures or {}).items()))


def oxygen(minutes: float, mg_l: float, air: str = "on", temperature_c: float = 20.0) -> ToldStep:
    return told("oxygen", minutes, {"oxygen_mg_l": mg_l, "temperature_c": temperature_c}, air=air)


GOOD = (told("vat", cleaned="yes"), told("water", 1, {"volume_l": 1135.6}, origin="mains"),
        told("chlorine", 2, {"total_chlorine_mg_l": 0.4}, strip="total"),
        told("neutraliser", 3, {"mass_g": 1.1, "total_chlorine_mg_l": 0.1}, chemical="ascorbic_acid", strip="total",
             rule="field_guide"),
        told("compost", 10, {"mass_kg": 113.4}), told("start", 15), oxygen(40, 8.2), told("end", 60))


def batch(*steps: ToldStep, without: Step | None = None) -> Batch:
    """A good one, with these steps behind or in the place of its own."""
    own = tuple(each for each in GOOD if each.step != without
                and (each.step == "oxygen" or each.step not in {step.step for step in steps}))
    return Batch(id="b", number=32, heap_id="h", started_at=START, by="rs", steps=(*own, *steps), judgement=None,
                 loads=())


def found(one: Batch, rules: BatchRules = RULES, at: datetime = END, heap: HeapUse = HEAP,
          tests: tuple[AdditiveTest, ...] = ()) -> BatchFinding:
    return judge(one, heap, rules, tests, at, UTC)


def test_a_good_batch_is_fit_for_one_hour_from_the_end_of_extraction() -> None:
    judged = found(batch())
    assert (judged.verdict, judged.why, judged.read_again) == ("fit", (), ())
    assert (judged.ended_at, judged.good_until, judged.own_limit_h) == (END, END + timedelta(hours=1), None)
    assert judged.sums.neutraliser_needed_g == pytest.approx(1135.6 * 0.4 * 2.5 / 1000)
    assert judged.sums.compost_per_water_kg_l == pytest.approx(113.4 / 1135.6)
    assert judged.sums.saturation_mg_l == pytest.approx(9.09, abs=0.01)
    assert judged.sums.share_of_saturation_pct == pytest.approx(100 * 8.2 / 9.09, abs=0.1)
    assert judged.sums.hours_to_floor is None


@pytest.mark.parametrize(("one", "why"), [
    (batch(without="vat"), "Nobody told that the vat was cleaned."),
    (batch(told("vat", cleaned="no")), "The vat was not cleaned."),
    (batch(without="water"), "Nobody told where the water comes from."),
    (batch(told("water", origin="pond")), "Pond water does not go into a batch. Right: city water"),
    (batch(told("water", origin="softened")), "Right: the same water from before the softener."),
    (batch(told("water", origin="roof")), "Roof water does not go into a batch."),
    (batch(told("water", origin="well")), "The well was not tested as drinking water."),
    (batch(told("water", origin="brook")), "Nobody told where the water comes from."),
    (batch(without="chlorine"), "Total chlorine was not tested."),
    (batch(told("chlorine", 2, {"free_chlorine_mg_l": 0.0}, strip="free")), "This strip misses chloramine."),
    (batch(told("neutraliser", 3, {"mass_g": 1.1, "total_chlorine_mg_l": 0.0}, strip="free")), "misses chloramine"),
    (batch(without="neutraliser"), "Total chlorine 0.4 mg/L, limit 0.1."),
    (batch(told("neutraliser", 3, {"mass_g": 1.1})), "not tested again after the neutralizer"),
    (batch(told("neutraliser", 3, {"mass_g": 1.1, "total_chlorine_mg_l": 0.11})), "Total chlorine 0.11 mg/L"),
    (batch(told("additive", 4, additive="Molasses")), "Additive molasses: 0 of 2 laboratory tests"),
    (batch(without="compost"), "No compost was weighed in."),
    (batch(without="start"), "Nobody told when extraction started."),
    (batch(without="end"), "Extraction has not ended."),
    (batch(without="oxygen"), "Oxygen was not read."),
    (batch(oxygen(75, 4.1)), "Oxygen 4.1 mg/L at 10:20, floor 6.0."),
    (batch(oxygen(30, 5.9), oxygen(50, 8.5)), "Oxygen 5.9 mg/L at 09:35, floor 6.0."),
    (batch(told("smell", 61, smell="sour")), "Smell sour. Started 09:05."),
    (batch(told("lab", 61, {"e_coli_per_100_ml": 2400.0})), "Laboratory: E. coli 2,400 per 100 mL; limit 126."),
    (batch(oxygen(75, 5.96)), "Oxygen 5.96 mg/L at 10:20, floor 6.0."),
    (batch(oxygen(12, 8.9), without="oxygen"), "Oxygen was not read."),
    (batch(told("chlorine", 4, {"total_chlorine_mg_l": 0.3}, strip="total")), "Total chlorine 0.3 mg/L, limit 0.1."),
    (batch(told("water", 5, {"volume_l": 900.0}, origin="mains")), "Total chlorine was not tested."),
], ids=str)
def test_each_thing_that_is_wrong_refuses_it_with_its_own_line(one: Batch, why: str) -> None:
    judged = found(one)
    assert judged.verdict == "refused"
    assert len(judged.why) == 1
    assert why in judged.why[0]
    assert "Right: " in judged.why[0]


def test_oxygen_of_the_water_alone_refuses_nothing_and_carries_no_limit() -> None:
    assert found(batch(oxygen(5, 4.1))).verdict == "fit"
    before = batch(oxygen(5, 8.5, "off"), oxygen(10, 8.5, "off"), without="oxygen")
    assert "two readings with the air off" in age_limit(before, replace(RULES, holding_h=1.5)).note


def test_oxygen_is_read_within_an_hour_of_the_end_or_later() -> None:
    long = replace(batch(told("end", 100)), started_at=START)
    assert found(long, at=START + timedelta(minutes=100)).verdict == "fit"
    later = batch(told("end", 101))
    assert "not read within 1 hour of the end" in found(later, at=START + timedelta(minutes=101)).why[0]
    assert found(batch(told("end", 101), oxygen(102, 8.0)), at=START + timedelta(minutes=102)).verdict == "fit"
    listed = checklist(later, {}, read_again=False)
    assert next(each.state for each in listed if each.step == "oxygen") == "now"


def test_the_test_before_the_neutralizer_decides_its_dose() -> None:
    first = batch()
    again = told("chlorine", 5, {"total_chlorine_mg_l": 0.0}, strip="total")
    retested = batch(again)
    retested = replace(retested, every_step=(*first.steps, again))
    assert found(retested).sums.neutraliser_needed_g == pytest.approx(1135.6 * 0.4 * 2.5 / 1000)
    assert step_doubts(retested, RULES, found(retested).sums.neutraliser_needed_g) == {}


def test_a_start_that_came_after_its_end_refuses() -> None:
    assert "started after it ended" in found(batch(told("start", 61), oxygen(62, 8.2))).why[0]


def test_water_of_before_the_vat_was_cleaned_is_let_in_anew() -> None:
    assert "cleaned after its water" in found(batch(told("vat", 1.5, cleaned="yes"))).why[0]


def test_a_reading_that_cannot_be_still_parts_two_runs_with_the_air_off() -> None:
    off = (oxygen(61, 8.5, "off"), oxygen(91, 8.3, "off"))
    assert found(batch(*off)).sums.hours_to_floor is not None
    assert found(batch(*off, oxygen(95, 11.9), oxygen(121, 8.1, "off"))).sums.hours_to_floor is None


def test_a_limit_counts_from_the_end_and_not_from_readings_before_it() -> None:
    early = batch(oxygen(16, 8.5, "off"), oxygen(30, 8.4, "off"), oxygen(44, 8.3, "off"), without="oxygen")
    lasts = re.search(r"mg/L ([\d.]+) hours after the end", age_limit(early, replace(RULES, holding_h=9.0)).note)
    assert lasts
    hours = found(early).sums.hours_to_floor
    assert hours is not None
    assert float(lasts[1]) == pytest.approx(hours - 16 / 60, abs=0.051)


def test_a_late_reading_below_the_floor_forbids_loads_while_the_batch_may_be_used() -> None:
    fit = replace(batch(), judgement=Judgement(verdict="fit", at=END, by="rs", ended_at=END,
                                               good_until=END + timedelta(hours=1)))
    assert under_the_floor(fit, oxygen(75, 5.96), RULES) == "Oxygen 5.96 mg/L; floor 6.0"
    for harmless in (oxygen(75, 6.0), oxygen(10, 4.1), oxygen(121, 4.1)):
        assert under_the_floor(fit, harmless, RULES) == ""


def test_a_time_of_another_day_is_told_with_it() -> None:
    night = END + timedelta(days=1)
    assert "at 2016-05-03 10:20, floor" in found(batch(oxygen(75, 4.1)), at=night).why[0]
    assert "extraction at 2016-05-03 10:05, limit 60" in found(batch(oxygen(75, 4.1)), at=night).why[1]


def test_a_moment_over_the_hour_is_seen_to_be_over() -> None:
    assert found(batch(), at=END + timedelta(hours=1, seconds=1)).why[0].startswith("60.02 minutes since")


def test_loads_beyond_what_was_made_are_told() -> None:
    loads = tuple(Load(id=f"l{each}", batch_id="b", at=END, volume_l=600.0, by="rs") for each in range(2))
    assert found(replace(batch(), loads=loads[:1])).sums.beyond_made_l is None
    assert found(replace(batch(), loads=loads)).sums.beyond_made_l == pytest.approx(1200.0 - 1135.6)
    less = batch(told("end", 60, {"volume_l": 1100.0}))
    assert found(replace(less, loads=loads)).sums.beyond_made_l == pytest.approx(100.0)


def test_every_reason_stands_and_the_first_of_the_work_decides() -> None:
    judged = found(batch(told("vat", cleaned="no"), told("smell", smell="sour"), oxygen(75, 4.1), without="compost"),
                   at=END + timedelta(minutes=80), heap=replace(HEAP, may_be_used=False, why_not=("It is held.",)))
    assert [line.split(".")[0] for line in judged.why] == [
        "The vat was not cleaned", "heap 4 may not be used", "No compost was weighed in", "Oxygen 4", "Smell sour",
        "80 minutes since the end of extraction at 10:05, limit 60"]


def test_the_last_moment_of_the_hour_is_within_it() -> None:
    assert found(batch(), at=END + timedelta(hours=1)).verdict == "fit"
    assert found(batch(), at=END + timedelta(hours=1, seconds=1)).verdict == "refused"


def test_a_well_with_its_own_test_and_water_without_chlorine_need_no_neutraliser() -> None:
    well = batch(told("water", 1, {"volume_l": 900.0}, origin="well", potability_test="yes"),
                 told("chlorine", 2, {"total_chlorine_mg_l": 0.0}, strip="total"), without="neutraliser")
    assert found(well).verdict == "fit"


def test_oxygen_above_what_water_holds_decides_nothing_and_is_read_again() -> None:
    odd = batch(oxygen(50, 11.9))
    assert found(odd, replace(RULES, elevation_m=400.0)).read_again == (
        "Oxygen 11.9 mg/L is above what water holds here (8.7). Calibrate, read again.",)
    again = batch(oxygen(50, 11.9), oxygen(52, 8.0))
    assert (found(again).verdict, found(again).read_again) == ("fit", ())
    # 105 % of 9.09 is 9.55; at 1,609 m water holds 7.45.
    assert found(batch(oxygen(50, 9.5))).read_again == ()
    assert found(batch(oxygen(50, 9.5)), replace(RULES, elevation_m=1609.0)).read_again != ()


def test_a_longer_limit_of_its_own_holds_only_where_oxygen_is_measured_to_last_that_long() -> None:
    own = replace(RULES, holding_h=1.5)
    assert age_limit(batch(), own)[:2] == (1.0, None)
    assert "two readings with the air off" in age_limit(batch(), own).note
    slow = batch(oxygen(61, 8.5, "off"), oxygen(91, 8.3, "off"), oxygen(121, 8.1, "off"))
    limit = age_limit(slow, own)
    assert limit[:2] == (1.5, 1.5)
    assert "own limit" in limit.note
    judged = found(slow, own, END + timedelta(hours=1.5))
    assert (judged.verdict, judged.own_limit_h, judged.good_until) == ("fit", 1.5, END + timedelta(hours=1.5))
    assert found(slow, RULES, END + timedelta(hours=1.5)).verdict == "refused"
    # By the middle of the uptake it lasts 5 h; by its upper end, which the meter's own error makes, 1.7 h from the
    # last reading, which is 1 h after the end.
    assert age_limit(slow, replace(RULES, holding_h=2.6)).own_h == 2.6
    assert age_limit(slow, replace(RULES, holding_h=2.8)).own_h is None
    fast = batch(oxygen(61, 8.5, "off"), oxygen(76, 7.5, "off"))
    assert age_limit(fast, own)[:2] == (1.0, None)
    assert "does not hold" in age_limit(fast, own).note
    assert age_limit(batch(oxygen(61, 8.5, "off"), oxygen(91, 8.3, "off"), oxygen(95, 8.2)), own).own_h is None


def test_a_shorter_limit_of_its_own_always_holds() -> None:
    limit = age_limit(batch(), replace(RULES, holding_h=0.5))
    assert limit[:2] == (0.5, 0.5)
    assert found(batch(), replace(RULES, holding_h=0.5), END + timedelta(minutes=31)).verdict == "refused"


def clean(number: int, count: float = 40.0, **otherwise: object) -> AdditiveTest:
    return replace(AdditiveTest(batch_id=f"b{number}", heap_id="h", additive="molasses", vat="", at=START,
                                e_coli=count), **otherwise)  # type: ignore[arg-type]


@pytest.mark.parametrize(("tests", "fault"), [
    ((clean(1), clean(2)), ""),
    ((clean(1),), "1 of 2"),
    ((clean(1), clean(2, heap_id="other")), "1 of 2"),
    ((clean(1), clean(2, additive="kelp")), "1 of 2"),
    ((clean(1), clean(2, vat="blue")), "1 of 2"),
    ((clean(1), replace(clean(2), batch_id="b")), "1 of 2"),
    ((clean(1), clean(2, 213.0)), "mean of 2 tests 126.5 E. coli per 100 mL, limit 126"),
    ((clean(1), clean(2, 212.0)), ""),
    ((clean(1), clean(2, enterococci=40.0), clean(3, enterococci=40.0)), "40 Enterococci per 100 mL, limit 33"),
    ((clean(1), clean(2, enterococci=2400.0)), "1 of 2 tests counted Enterococci, 2,400 per 100 mL"),
    ((clean(1), clean(2, enterococci=3.0)), ""),
    ((clean(1, e_coli=None, enterococci=3.0), clean(2, e_coli=None, enterococci=9.0)), ""),
    ((clean(1, 100.0, from_below=("e_coli",)), clean(2), clean(3)), "lie above its figure"),
    ((clean(1), clean(2, enterococci=10.0, from_below=("enterococci",))), "Enterococci lie above its figure"),
    ((clean(1, 126.0, from_below=("e_coli",)), clean(2, 126.0)), "mean of 2 tests 126 E. coli"),
], ids=("two clean", "one", "other heap", "other additive", "other vat", "its own", "mean over", "mean at",
        "other organism", "another in one of two", "another clean in one of two", "enterococci alone",
        "above 100", "another above 10", "above the limit"))
def test_an_additive_needs_two_clean_tests_of_the_same_make(tests: tuple[AdditiveTest, ...], fault: str) -> None:
    faults = additive_faults(batch(told("additive", additive=" Molasses ")), tests)
    assert (fault in faults[0]) if fault else faults == ()
    untested = (" of 2" in fault or "above" in fault) and "mean" not in fault
    assert is_test_batch(batch(told("additive", additive=" Molasses ")), tests) == untested
    assert before_compost(batch(told("additive", additive=" Molasses ")), HEAP, tests) == (() if untested else faults)


def test_tests_are_the_laboratorys_answers_of_batches_with_an_additive() -> None:
    with_one = (told("additive", additive="Kelp"), told("vat", cleaned="yes", vat="Blue vat"),
                told("lab", 900, {"e_coli_per_100_ml": 10.0}))
    on_file = additive.tests_on_file([batch(), batch(*with_one)])
    assert [(each.additive, each.vat, each.e_coli, each.enterococci) for each in on_file] == [
        ("kelp", "blue vat", 10.0, None)]
    twice = batch(*with_one, told("lab", 950, {"e_coli_per_100_ml": 9.0, "enterococci_per_100_ml": 3.0}))
    assert [(each.e_coli, each.enterococci) for each in additive.tests_on_file([twice])] == [(10.0, 3.0)]
    never_made = [batch(*with_one, without=step) for step in ("compost", "end")]
    assert additive.tests_on_file(never_made) == ()


def test_a_count_known_only_from_below_is_no_clean_test_until_a_higher_one_tells_how_many() -> None:
    made = (told("additive", additive="Kelp"), told("lab", 900, {"e_coli_per_100_ml": 100.0}, e_coli_sign=">"))
    counted = told("lab", 950, {"e_coli_per_100_ml": 120.0})
    for steps, said in ((made, ("e_coli",)), ((*made, counted), ())):
        assert [each.from_below for each in additive.tests_on_file([batch(*steps)])] == [said]


@pytest.mark.parametrize(("step", "figures", "words", "wrong"), [
    ("compost", {}, {}, "has to be told"),
    ("compost", {"mass_kg": 0.0}, {}, "weight: this cannot be"),
    ("compost", {"mass_kg": float("nan")}, {}, "weight: this cannot be"),
    ("compost", {"mass_kg": 1.0, "mass_lb": 2.0}, {}, "no such entry .*mass_lb"),
    ("vat", {}, {"cleaned": "perhaps"}, "none of the choices .*perhaps.*yes, no"),
    ("vat", {}, {"cleaned": " "}, "has to be told"),
    ("water", {"volume_l": 10.0}, {"origin": "brook"}, "mains, well, softened, pond, roof"),
    ("oxygen", {"oxygen_mg_l": 8.0}, {}, "water temperature"),
    ("smell", {}, {"smell": "bad"}, "none, earthy, sour"),
    ("end", {"screen_um": 400.0}, {}, "has to be told: volume"),
    ("lab", {}, {"lab": "county"}, "has to be told: E. coli per 100 mL or enterococci per 100 mL"),
    ("chlorine", {}, {"strip": "total"}, "has to be told: total chlorine or free chlorine"),
    ("gallons", {}, {"tank": "truck 1"}, "has to be told: cells in the first gallon or"),
    ("gallons", {"first_per_ml": 4e7}, {}, "has to be told: cells in the last gallon"),
    ("gallons", {"first_per_ml": 4e7, "last_per_ml": 4e7, "last_solids_mg_l": 9.0}, {}, "solids in the first gallon"),
    ("gallons", {"first_per_ml": 0.0, "last_per_ml": 4e7}, {}, "first gallon: this cannot be"),
    ("lab", {"e_coli_per_100_ml": 1.0}, {"sampled": "1.000,5"}, "when it was sampled: .*1.000,5"),
], ids=str)
def test_a_step_told_wrongly_is_refused_by_the_entry(step: Step, figures: dict[str, float], words: dict[str, str],
                                                     wrong: str) -> None:
    with pytest.raises(RootcaseError, match=wrong):
        require_step(step, figures, words)


def test_a_tank_is_even_within_a_fifth_of_its_first_gallon() -> None:
    pairs = ((4e7, 3.2e7, True), (4e7, 3.19e7, False), (4e7, 4.8e7, True), (4e7, 4.81e7, False))
    for first, last, even in pairs:
        one = batch(told("gallons", 90, {"first_per_ml": first, "last_per_ml": last}, tank="truck 1"))
        assert [(each.tank, each.measured, each.stays_mixed) for each in tanks_evenness(one)] == [
            ("truck 1", "count", even)]
        assert found(one).verdict == "fit"
    both = {"first_per_ml": 4e7, "last_per_ml": 4e7, "first_solids_mg_l": 900.0, "last_solids_mg_l": 500.0}
    assert [(each.measured, each.stays_mixed) for each in tanks_evenness(batch(told("gallons", 90, both)))] == [
        ("count", True), ("solids", False)]
    assert next(each.state for each in checklist(batch(), {}, read_again=False) if each.step == "gallons") == "later"


@pytest.mark.parametrize(("mass_g", "doubted"), [(0.86, True), (0.88, False), (7.7, False), (7.9, True)])
def test_a_dose_three_times_off_its_advice_is_kept_and_doubted(mass_g: float, doubted: bool) -> None:
    dose = told("neutraliser", 5, {"mass_g": mass_g}, chemical="ascorbic_acid", rule="field_guide")
    assert bool(step_doubts(batch(dose), RULES, 2.6)) is doubted
    assert step_doubts(batch(dose), RULES, None) == {}


def test_every_reading_of_more_oxygen_than_water_holds_is_doubted() -> None:
    odd, fair = oxygen(10, 39.0), oxygen(12, 8.4)
    doubts = step_doubts(batch(odd, fair, without="oxygen"), RULES, None)
    assert list(doubts) == [odd.id]
    assert "Not believed: water holds" in doubts[odd.id]


def test_the_checklist_asks_for_what_has_to_be_done_again() -> None:
    def state(one: Batch, step: Step) -> tuple[str, tuple[str, ...]]:
        against = against_by_step(one, HEAP, ())
        listed = checklist(one, against, read_again=False)
        return next((each.state, each.against) for each in listed if each.step == step)

    assert state(batch(), "chlorine") == ("done", ())
    let_in_anew = batch(told("water", 5, {"volume_l": 900.0}, origin="mains"))
    assert state(let_in_anew, "chlorine")[0] == "now"
    assert "Total chlorine was not tested." in state(let_in_anew, "chlorine")[1][0]
    assert state(let_in_anew, "neutraliser") == ("later", ())
    over = batch(told("chlorine", 4, {"total_chlorine_mg_l": 0.3}, strip="total"))
    assert state(over, "neutraliser")[0] == "now"
    assert "Total chlorine 0.3 mg/L" in state(over, "neutraliser")[1][0]
    assert state(batch(oxygen(12, 8.9), without="oxygen"), "oxygen")[0] == "now"


def test_conductivity_and_ph_of_the_water_are_told_with_care_and_refuse_nothing() -> None:
    water = told("water", 1, {"volume_l": 1135.6, "ec_ds_m": 1.6, "ph": 8.4}, origin="mains")
    judged = found(batch(water))
    assert judged.verdict == "fit"
    assert [line.partition(":")[0] for line in judged.cautions] == [
        "Electrical conductivity of the water 1.6 dS/m is poor", "pH 8.4 of the water is to be used with care"]
    good = told("water", 1, {"volume_l": 1135.6, "ec_ds_m": 0.75, "ph": 6.0}, origin="mains")
    assert found(batch(good)).cautions == ()


def test_a_start_that_is_told_anew_later_wipes_no_low_reading_out() -> None:
    anew = batch(told("start", 30), oxygen(20, 4.1))
    assert found(anew).verdict == "fit", "by this start alone it was the water"
    why = found(replace(anew, every_step=(told("start", 15), *anew.steps))).why
    assert why[0].startswith("Oxygen 4.1 mg/L at 09:25")
