"""Heat logs: what counts, what does not, and the same answers as a slow checker tick by tick."""

from __future__ import annotations

from collections import Counter
from math import isnan

import numpy as np
import pytest

from rootcase.ground.errors import ImpossibleValue, Missing, OutOfRange
from rootcase.science.compost.heat import Judged, judge, lethality
from rootcase.science.compost.heat_log import DAY_S, GAP_BY_HAND_S, GAP_OF_A_LOGGER_S, HOUR_S, HeatLog
from rootcase.science.compost.heat_rules import heat_rule, holding_days
from rootcase.tables.load import table
from tests.science.compost.slow_heat import DAY, HOUR, Told, slow_judge

pytestmark = pytest.mark.property
RULES = [(row["rule"], row["heap"]) for row in table("compost/heat_rules").rows]
NOP = heat_rule("nop", "windrow")
WARM = 60.0
TURNS = tuple(day * DAY for day in (3, 6, 9, 12, 15))


def as_log(told: Told) -> HeatLog:
    rows = [(time, number, warm) for number, own in told.readings.items() for time, warm in own]
    checks = [(time, number) for number, own in told.checks.items() for time in own]
    return HeatLog(time_s=np.array([row[0] for row in rows], float), probe=np.array([row[1] for row in rows], int),
                   temperature_c=np.array([row[2] for row in rows], float), turn_s=np.array(told.turns, float),
                   checked_s=np.array([check[0] for check in checks], float),
                   checked_probe=np.array([check[1] for check in checks], int), max_gap_s=told.gap,
                   own_gap_s=told.own_gaps,
                   every_part_heated=told.every_part, air_c=None if told.air is None else np.full(len(rows), told.air))


def by_hand(*probes: list[float], turns: tuple[int, ...] = TURNS, checks: tuple[int, ...] = (0,)) -> Told:
    """A reading a day of each probe; what would be one figure all along moves a little, as in a heap."""
    return Told({number: [(day * DAY, warm + 0.1 * (day % 2) * (warm == WARM)) for day, warm in enumerate(own)]
                 for number, own in enumerate(probes, 1)},
                list(turns), {number: list(checks) for number, _ in enumerate(probes, 1)}, int(GAP_BY_HAND_S))


def judged(told: Told) -> Judged:
    return judge(as_log(told), NOP)


def drawn(generator: np.random.Generator, tick: int) -> Told:
    """A log with everything that goes wrong with logs: dips, gaps, stuck and pulled probes, none checked, one probe."""
    logger = generator.random() < 0.4
    step = int(generator.choice([10, 30, 60]) * 60) if logger else DAY
    days = int(generator.integers(2, 7 if logger else 24))
    warm = generator.normal(60, 2, days * DAY // step + 1)
    for _ in range(int(generator.integers(0, 3))):
        start = int(generator.integers(0, warm.size))
        warm[start:start + int(generator.integers(1, 4))] += generator.choice([-12.0, 20.0, -8.0])
    told = Told({}, [], {}, int(GAP_OF_A_LOGGER_S if logger else GAP_BY_HAND_S), generator.random() < 0.5,
                None if generator.random() < 0.5 else 12.0)
    for number in range(1, int(generator.integers(1, 5)) + 1):
        late = int(generator.integers(0, 6)) * tick if generator.random() < 0.5 else 0
        own = [(at * step + late, float(np.round(degc + generator.normal(0, 0.8), 1))) for at, degc in enumerate(warm)]
        start, long = int(generator.integers(0, len(own))), int(generator.integers(1, 40 if logger else 9))
        match generator.choice(["sound", "sound", "stuck", "pulled", "gap"]):
            case "stuck":
                own[start:start + long] = [(time, own[start][1]) for time, _ in own[start:start + long]]
            case "pulled":
                own[start:start + long] = [(time, float(generator.integers(9, 16)))
                                           for time, _ in own[start:start + long]]
            case "gap":
                del own[start:start + min(long, 3)]
        told.readings[number] = own
        told.checks[number] = [int(day) * DAY for day in generator.integers(-40, 3, int(generator.integers(0, 4)))]
        if generator.random() < 0.6:
            told.checks[number] = [-HOUR]
        if generator.random() < 0.2:
            told.own_gaps[number] = int(GAP_BY_HAND_S if logger else GAP_OF_A_LOGGER_S)
    told.turns = [int(turn) * tick for turn in generator.integers(0, days * DAY // tick, int(generator.integers(3, 9)))]
    return told


def compared(seed: int, tick: int) -> str:
    """The verdict, once both agree in all they count."""
    generator = np.random.default_rng([9, seed])
    told, (name, heap) = drawn(generator, tick), RULES[seed % len(RULES)]
    rule = heat_rule(name, heap)
    ours = judge(as_log(told), rule)
    slow = slow_judge(told, rule.lowest_c, rule.highest_c, rule.days, rule.unbroken, rule.turns, rule.every_part, tick)
    assert (ours.verdict, ours.turns) == (slow[0], slow[3]), seed
    assert (ours.total_days, ours.unbroken_days) == pytest.approx(slow[1:3], abs=1e-9), seed
    assert (ours.most_total_days, ours.most_unbroken_days) == pytest.approx(slow[4:], abs=1e-9), seed
    hot = sum(each.to_s - each.from_s for each in ours.stretches if each.state == "hot")
    assert hot / DAY == pytest.approx(ours.total_days, abs=1e-9), seed
    return ours.verdict


def test_forty_random_logs_are_judged_as_tick_by_tick() -> None:
    assert {compared(seed, 600) for seed in range(40)} == {"met", "not_met", "not_shown"}


@pytest.mark.full
def test_a_thousand_random_logs_are_judged_as_minute_by_minute() -> None:
    verdicts = Counter(compared(seed, 60) for seed in range(1000))
    assert min(verdicts[verdict] for verdict in ("met", "not_met", "not_shown")) >= 50


def test_the_coldest_probe_governs() -> None:
    found = judged(by_hand([60.0] * 17, [60.0] * 17, [54.0] * 17))
    assert (found.verdict, found.total_days, found.deciding.why) == ("not_met", 0.0, "cold")


def test_one_probe_shows_nothing_and_a_cold_one_refutes() -> None:
    assert judged(by_hand([60.0] * 17)).verdict == "not_shown"
    assert judged(by_hand([60.0] * 17)).deciding.why == "one_probe"
    assert judged(by_hand([40.0] * 17)).verdict == "not_met"


def test_a_gap_is_not_filled_and_is_the_time_that_decides() -> None:
    told = by_hand([60.0] * 17, [60.0] * 17)
    for own in told.readings.values():
        del own[8]
    found = judged(told)
    assert (found.verdict, found.total_days) == ("not_shown", 14.0)
    assert found.deciding == (7 * DAY, 9 * DAY, "gap")


def test_a_logger_beside_probes_read_by_hand_keeps_its_own_gap() -> None:
    told = by_hand([60.0] * 17, [60.0] * 17)
    told.readings[2] = [(hour * HOUR, WARM + hour % 2) for hour in range(16 * 24 + 1)]
    told.own_gaps[2] = int(GAP_OF_A_LOGGER_S)
    assert judged(told).verdict == "met"
    del told.readings[2][100:104]
    assert judged(told).total_days == pytest.approx(16 - 5 / 24)
    told.own_gaps.clear()
    assert judged(told).total_days == 16.0


def test_both_ends_must_be_hot_and_too_hot_is_outside() -> None:
    dip = judged(by_hand([60.0] * 8 + [50.0] + [60.0] * 8, [60.0] * 17))
    assert (dip.verdict, dip.total_days, dip.deciding) == ("not_met", 14.0, (7 * DAY, 9 * DAY, "cold"))
    burnt = by_hand([60.0] * 8 + [78.0] + [60.0] * 8, [60.0] * 17)
    assert judged(burnt).deciding.why == "too_hot"
    assert judge(as_log(burnt), heat_rule("cfr_503", "windrow")).verdict == "met"


def test_131_and_170_fahrenheit_themselves_are_hot() -> None:
    assert judged(by_hand([55.0] * 17, [(170 - 32) / 1.8] * 17)).verdict == "met"
    assert judged(by_hand([54.99] * 17, [60.0] * 17)).verdict == "not_met"


def test_turns_count_only_inside_the_hot_time_and_tell_their_reheat() -> None:
    late = judged(by_hand([60.0] * 17 + [40.0] * 5, [60.0] * 22, turns=(3 * DAY, 6 * DAY, 9 * DAY, 12 * DAY, 18 * DAY)))
    assert (late.verdict, late.turns, late.deciding.why) == ("not_met", 4, "turns")
    assert late.reheat_s[:4] == (0.0,) * 4
    assert isnan(late.reheat_s[4])
    cold = judged(by_hand([60.0] * 3 + [50.0] + [60.0] * 13, [60.0] * 17))
    assert cold.reheat_s[0] == DAY


@pytest.mark.parametrize("checks", [(), (-31 * DAY,)])
def test_a_probe_that_was_not_checked_shows_no_heat(checks: tuple[int, ...]) -> None:
    found = judged(by_hand([60.0] * 17, [60.0] * 17, checks=checks))
    assert (found.verdict, found.deciding.why, found.total_days) == ("not_shown", "unchecked", 0.0)
    assert [doubt.why for doubt in found.doubts] == ["unchecked", "unchecked"]


def test_a_cold_probe_nobody_checked_keeps_two_good_ones_from_showing_heat() -> None:
    told = by_hand([60.0] * 17, [60.0] * 17, [40.0] * 17)
    told.checks[3] = []
    assert judged(told).verdict == "not_shown"


def hourly(*probes: list[float]) -> Told:
    logged = {number: [(hour * HOUR, warm) for hour, warm in enumerate(own)] for number, own in enumerate(probes, 1)}
    return Told(logged, [], {number: [0] for number in logged}, int(GAP_OF_A_LOGGER_S))


def test_a_stuck_probe_does_not_count() -> None:
    moving = [62 + 4 * np.sin(hour / 5) for hour in range(80)]
    rule = heat_rule("nop", "static")
    found = judge(as_log(hourly([60.0] * 80, moving)), rule)
    assert (found.verdict, found.deciding.why) == ("not_shown", "stuck")
    assert found.doubts == ((1, 0.0, 79 * HOUR_S, "stuck"),)
    assert judge(as_log(hourly([60.0] * 80, moving, moving)), rule).verdict == "met"
    assert judge(as_log(hourly([50.0] * 80, moving, moving)), rule).verdict == "not_shown"  # it may well be cold there
    assert judge(as_log(hourly([60.0] * 80, [60.0] * 80)), rule).verdict == "met"  # a heap may stand still


def test_a_pulled_probe_does_not_count_and_a_heap_that_cools_does() -> None:
    sound = [60 + (hour % 3) for hour in range(80)]
    pulled = [*sound[:30], 14.0, 13.0, *sound[32:]]
    rule = heat_rule("nop", "static")
    alone = judge(as_log(hourly(pulled, sound)), rule)
    assert (alone.verdict, alone.deciding) == ("not_shown", (29 * HOUR, 32 * HOUR, "pulled"))
    assert judge(as_log(hourly(pulled, sound, sound)), rule).verdict == "met"
    cooling = [60 - 1.0 * max(0, hour - 40) for hour in range(80)]
    assert judge(as_log(hourly(cooling, sound)), rule).verdict == "not_met"


def test_what_no_probe_shows_must_be_written_down() -> None:
    told, rule = hourly([60.0, 61.0] * 40, [60.0, 62.0] * 40), heat_rule("nop_other", "static")
    assert judge(as_log(told), rule).deciding.why == "every_part"
    assert judge(as_log(told), rule).verdict == "not_shown"
    told.every_part = True
    assert judge(as_log(told), rule).verdict == "met"


def test_the_order_of_readings_and_a_shift_of_the_clock_change_nothing() -> None:
    log = as_log(drawn(np.random.default_rng(3), 600))
    mixed = np.random.default_rng(4).permutation(log.time_s.size)
    other = HeatLog(time_s=log.time_s[mixed] + 1e9, probe=log.probe[mixed], temperature_c=log.temperature_c[mixed],
                    turn_s=log.turn_s + 1e9, checked_s=log.checked_s + 1e9, checked_probe=log.checked_probe,
                    max_gap_s=log.max_gap_s, air_c=None if log.air_c is None else log.air_c[mixed])
    one, two = judge(log, NOP), judge(other, NOP)
    assert (one.verdict, one.total_days, one.turns) == (two.verdict, pytest.approx(two.total_days), two.turns)


def test_an_empty_log_and_an_impossible_one() -> None:
    empty = by_hand([])
    assert (judged(empty).verdict, judged(empty).deciding.why) == ("not_met", "no_readings")
    with pytest.raises(ImpossibleValue, match="readings of a heap are not told in full"):
        HeatLog(time_s=np.zeros(2), probe=np.zeros(1, int), temperature_c=np.zeros(2), turn_s=np.zeros(0),
                checked_s=np.zeros(0), checked_probe=np.zeros(0, int), max_gap_s=DAY_S)
    with pytest.raises(OutOfRange, match="temperature_c"):
        judged(by_hand([60.0, float("nan")]))
    with pytest.raises(Missing, match="no rows"):
        heat_rule("nop", "bucket")  # type: ignore[arg-type]


def test_the_yardstick_for_sludge_adds_up_over_counted_time_only() -> None:
    told = by_hand([55.0] * 5, [60.0] * 5)
    assert lethality(as_log(told)) == pytest.approx(4 / float(holding_days(55.0)))
    del told.readings[1][2]
    assert lethality(as_log(told)) == pytest.approx(2 / float(holding_days(55.0)))
