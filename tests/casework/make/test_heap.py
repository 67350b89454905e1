"""What a heap shows, and what keeps it from being used."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from rootcase.casework.make.heap import _judged, judged
from rootcase.casework.make.heap_figures import bars
from rootcase.records.make.heap import BeansRead, HeapFigure, HeapPart, HeatReading, Holding, LoggedHeat, Turn
from tests.casework.make.heaps import DAY, LOG_A, LOG_B, LOG_C, START, heap_of

pytestmark = pytest.mark.property
SOUND = (100.0,) * 3


def figure(quantity: str, value: float | None, unit: str, method: str = "", day: int = 1) -> HeapFigure:
    return HeapFigure(id=f"{quantity}{day}", quantity=quantity, value=value, unit=unit, method=method,
                      lab="a laboratory", day=date(2015, 6, day), by="rs", told_id=f"{quantity} told {day}")


def beans(*twisted: int) -> tuple[BeansRead, ...]:
    return tuple(BeansRead(id=str(at), day=date(2015, 7, at), seeds_a_pot=1, height_mm=SOUND, control_mm=SOUND,
                           twisted=each, control_twisted=0, by="rs", told_id=f"told {at}")
                 for at, each in enumerate(twisted, 1))


@pytest.mark.parametrize(("log", "verdict", "days"), [(LOG_A, "met", 16), (LOG_B, "not shown", 13),
                                                      (LOG_C, "not met", 14)])
def test_the_published_logs(log: dict[int, int], verdict: str, days: int) -> None:
    found = judged(heap_of(log))
    assert (found.verdict, round(found.total_days), found.turns) == (verdict, days, 5)
    assert found.may_be_used == (verdict == "met") == (not found.why_not)
    assert found.stretches[0].start == START


def test_what_was_read_before_the_last_material_went_on_does_not_count() -> None:
    late = replace(heap_of(LOG_A), complete_at=START + 6 * DAY)
    assert judged(late).total_days == pytest.approx(12)
    assert judged(late).verdict == "not met"


def test_what_no_probe_can_read_does_not_count() -> None:
    heap = heap_of(LOG_A)
    wild = HeatReading(id="x", at=START + 8 * DAY, probe=3, temperature_c=1e9, by="rs")
    assert judged(replace(heap, readings=(*heap.readings, wild))).verdict == "met"


def test_a_probe_of_a_logger_keeps_the_longest_gap_of_loggers() -> None:
    heap = heap_of(LOG_A)
    hourly = LoggedHeat(id="f", probe=2, file="heap.csv", mark="0" * 64, by="rs", start=START,
                        after_s=tuple(3600 * hour for hour in range(24 * 20)), temperature_c=(60.0, 60.5) * 240)
    by_hand = tuple(each for each in heap.readings if each.probe == 1)
    assert judged(replace(heap, readings=by_hand, logged=(hourly,))).verdict == "met"
    daily = replace(hourly, after_s=hourly.after_s[::24], temperature_c=hourly.temperature_c[:20])
    assert judged(replace(heap, readings=by_hand, logged=(daily,))).total_days == 0.0


def test_the_carbon_to_nitrogen_of_the_start_is_asked_for_by_a_rule_that_names_it() -> None:
    heap = heap_of(LOG_A, rule="nop")
    unknown = judged(heap)
    assert (unknown.verdict, unknown.deciding_why) == ("not shown", "carbon_nitrogen")
    assert judged(replace(heap, figures=(figure("carbon_nitrogen_start", 29.0, "1"),))).verdict == "met"
    assert judged(replace(heap, figures=(figure("carbon_nitrogen_start", 41.0, "1"),))).verdict == "not met"


def test_a_printed_mix_has_an_interval_and_a_measured_one_has_not() -> None:
    heap = heap_of(LOG_A, rule="nop")
    own = HeapPart(material="leaves", mass_kg=100.0, moisture_pct=50.0, carbon_pct=45.0, nitrogen_pct=1.5)
    measured = judged(replace(heap, parts=(own,)))
    assert (measured.verdict, measured.carbon_nitrogen) == ("met", pytest.approx((30.0, 30.0, 30.0)))
    printed = replace(own, feedstock="leaves", moisture_pct=38.0, carbon_pct=48.6, nitrogen_pct=0.9)
    low, middle, high = judged(replace(heap, parts=(printed,))).carbon_nitrogen or (0, 0, 0)
    assert low < middle < high
    assert middle == pytest.approx(54, rel=0.02)


@pytest.mark.parametrize(("changed", "word"), [
    ({"holdings": (Holding(held=True, reason="hay", at=START, by="rs"),)}, "held: hay"),
    ({"beans": beans(1)}, "weedkiller is likely"),
    ({"figures": (figure("lead", 301.0, "mg/kg dry"),)}, "lead 301, the limit is 300"),
    ({"figures": (figure("listeria", 1.0, "CFU/5 g"),)}, "Listeria monocytogenes 1"),
])
def test_a_heap_that_met_its_rule_may_still_not_be_used(changed: dict[str, object], word: str) -> None:
    found = judged(replace(heap_of(LOG_A), **changed))  # type: ignore[arg-type]
    assert (found.verdict, found.may_be_used, len(found.why_not)) == ("met", False, 1)
    assert word in found.why_not[0]


@pytest.mark.parametrize("changed", [
    {"holdings": (Holding(held=True, reason="hay", at=START, by="rs"),
                  Holding(held=False, reason="test sound", at=START + DAY, by="rs"))},
    {"figures": (figure("lead", 300.0, "mg/kg dry"),)},
    {"figures": (figure("salmonella", None, "MPN/4 g dry"),)},
])
def test_what_was_put_right_holds_nothing_back(changed: dict[str, object]) -> None:
    assert judged(replace(heap_of(LOG_A), **changed)).may_be_used  # type: ignore[arg-type]


def test_a_figure_of_another_unit_or_method_is_held_against_nothing() -> None:
    figures = (figure("nitrogen", 3.0, "g/kg"), figure("conductivity", 3.0, "dS/m", "1:3"),
               figure("conductivity", 3.0, "dS/m", "1:5", 2))
    found = judged(replace(heap_of(LOG_A), figures=figures))
    assert [(each.figure.quantity, each.figure.method, each.kept) for each in found.limits] == [
        ("nitrogen", "", None), ("conductivity", "1:3", None), ("conductivity", "1:5", True)]
    assert found.may_be_used


@pytest.mark.parametrize("value", [3e6, None])
def test_a_figure_that_a_limit_of_law_cannot_be_held_against_keeps_the_heap_back(value: float | None) -> None:
    figures = (figure("lead", value, "ug/kg dry"),)
    found = judged(replace(heap_of(LOG_A), figures=figures))
    line, = found.why_not
    assert line == ("heap 4: lead is told in ug/kg dry, where the limit of law cannot be held against it; "
                    "tell it in mg/kg dry")
    assert judged(replace(heap_of(LOG_A), figures=(*figures, figure("lead", 30.0, "mg/kg dry", day=2)))).may_be_used


def test_what_speaks_against_a_heap_bars_it_entry_by_entry() -> None:
    figures = (figure("lead", 301.0, "mg/kg dry"), figure("lead", 30.0, "mg/kg dry", day=2),
               figure("salmonella", 1.0, "CFU/g"), figure("ph", 11.0, "pH"))
    heap = replace(heap_of(LOG_A), figures=figures, beans=beans(1, 0))
    assert [bars(heap, each.id) for each in (*figures, *heap.beans, *heap.turns)] == [
        True, False, True, False, True, False, *[False] * 5]


@pytest.mark.parametrize(("minutes", "counted"), [((0, 2, 4), 1), ((0, 9.9), 1), ((0, 10), 2), ((0, 6, 12), 2)])
def test_turns_within_a_few_minutes_are_one(minutes: tuple[float, ...], counted: int) -> None:
    turns = tuple(Turn(id=str(each), at=START + 5 * DAY + timedelta(minutes=each), by="rs") for each in minutes)
    found = judged(replace(heap_of(LOG_A), turns=turns))
    assert (found.turns, len(found.turned_at), len(found.reheat_hours)) == (counted,) * 3


@pytest.mark.parametrize(("typed", "celsius", "day", "other"), [
    ("61", 16.1, 1, "degC"), ("61", 16.1, 4, ""), ("61 F", 16.1, 1, ""), ("140", 140.0, 1, "degF"),
    ("100", 37.8, 1, ""), ("61", 16.1, 0, "")])
def test_a_number_may_have_been_of_the_other_degrees(typed: str, celsius: float, day: int, other: str) -> None:
    def read(at: int, told: str, warm: float, probe: int = 1) -> HeatReading:
        return HeatReading(id=told, at=START + at * DAY, probe=probe, temperature_c=warm, by="rs", typed=told)

    heap = replace(heap_of({}), readings=(read(0, "last", 60.0), read(0, "beside", 16.0, 2), read(day, typed, celsius)))
    assert [each.other for each in judged(heap).slips] == [other] * bool(other)


def test_what_was_shown_before_is_shown_again_only_while_all_of_the_heap_is_the_same() -> None:
    heap = heap_of(LOG_A)
    assert judged(heap) is judged(heap_of(LOG_A))
    cold = replace(heap, readings=(replace(heap.readings[12], temperature_c=40.0), *heap.readings))
    assert judged(cold).total_days < judged(heap).total_days
    assert judged(replace(heap, rule="nop_other")).verdict == "not shown"
    assert judged(replace(heap, name="5", holdings=(Holding(held=True, reason="hay", at=START, by="rs"),))
                  ).why_not[0].startswith("heap 5 is held")
    for at in range(100):
        judged(replace(heap, id=str(at), readings=()))
    assert _judged.cache_info().currsize <= 64


def test_a_class_is_that_of_its_own_list() -> None:
    found = judged(replace(heap_of(LOG_A), figures=(figure("ammonium_mg_kg", 530.0, "mg/kg dry"),
                                                    figure("self_heating_c", 15.0, "degC"))))
    assert [(each.list, each.class_) for each in found.classes] == [("ccqc_2001", "immature"), ("brinton_1995", "IV")]


@pytest.mark.parametrize(("warm", "doubted"), [(-40.0, True), (-5.0, False), (85.0, False), (119.0, True)])
def test_what_a_heap_hardly_gives_is_kept_and_doubted(warm: float, doubted: bool) -> None:
    heap = heap_of(LOG_A)
    odd = replace(heap, readings=(*heap.readings[:-1], replace(heap.readings[-1], temperature_c=warm)))
    assert judged(odd).unlikely == ((odd.readings[-1].id,) if doubted else ())


@pytest.mark.parametrize("changed", [{}, {"turns": ()}])
def test_a_heap_whose_probes_nobody_checked_is_told_that_and_not_to_be_heated_on(changed: dict[str, object]) -> None:
    found = judged(replace(heap_of(LOG_A), checks=(), **changed))  # type: ignore[arg-type]
    assert (found.deciding_why, found.deciding_from) == ("unchecked", START)
    assert "check each, then read it on" in found.why_not[0]
    one = replace(heap_of(LOG_A), turns=())
    one = replace(one, checks=(replace(one.checks[0], probes=(1,)),))
    assert judged(one).deciding_why == "turns"


def test_beans_that_twisted_count_until_the_heap_is_freed_after_them() -> None:
    heap = replace(heap_of(LOG_A), beans=beans(1, 0))
    found = judged(heap)
    assert (found.beans, found.may_be_used) == ("weedkiller_likely", False)
    assert [each.verdict for each in found.bean_tests] == ["weedkiller_likely", "sound"]
    freed = Holding(held=False, reason="hay of a known field", at=START, by="rs")
    for lifts, may in (((), False), (("told 2", "1"), False), (("told 1",), True)):
        later = judged(replace(heap, holdings=(replace(freed, lifts=lifts),)))
        assert (later.may_be_used, later.bean_tests[0].freed) == (may, may)
    assert judged(replace(heap, beans=heap.beans[1:])).may_be_used


def test_what_keeps_a_heap_back_is_told_by_what_decides() -> None:
    heap = heap_of(LOG_A, rule="nop")
    assert "C:N of 25 to 40 at the start" in judged(heap).why_not[0]
    alone = heap_of(LOG_A)
    alone = replace(alone, readings=tuple(each for each in alone.readings if each.probe == 1))
    assert judged(alone).deciding_why == "one_probe"
    assert "only one probe" in judged(alone).why_not[0]
    still = judged(replace(heap_of(dict.fromkeys(LOG_A, 30)), shape="static"))
    assert "turns" not in still.why_not[0]
    assert "of 5 turns" in judged(heap_of(LOG_C)).why_not[0]


def test_a_newer_figure_does_not_lift_one_that_broke_a_limit_of_law() -> None:
    lead = (figure("lead", 900.0, "mg/kg dry"), figure("lead", 20.0, "mg/kg dry", day=2))
    heap = replace(heap_of(LOG_A), figures=lead)
    assert not judged(heap).may_be_used
    freed = Holding(held=False, reason="another heap's sample", at=START, by="rs", lifts=("lead told 1",))
    assert judged(replace(heap, holdings=(freed,))).may_be_used
    again = replace(lead[0], told_id="corrected")
    assert not judged(replace(heap, figures=(again, lead[1]), holdings=(freed,))).may_be_used


def test_beans_in_too_few_pots_show_nothing_and_hold_nothing() -> None:
    few = replace(beans(1)[0], height_mm=(90.0,))
    assert judged(replace(heap_of(LOG_A), beans=(few,))).beans == "not_shown"
    uneven = replace(few, seeds_a_pot=2)
    assert judged(replace(heap_of(LOG_A), beans=(uneven,))).beans == "not_shown"


def test_each_turn_tells_how_long_until_it_was_hot_again() -> None:
    found = judged(heap_of(LOG_C))
    assert found.reheat_hours[0] == timedelta(days=1) / timedelta(hours=1)
