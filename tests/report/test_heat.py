"""The picture of a heap's heat, in every layout: no line across what is not known, nothing counted that does not."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import timedelta

import pytest

from rootcase.casework.make.heap import judged
from rootcase.records.make.heap import Heap, Holding, LoggedHeat, ProbeCheck, Turn
from rootcase.report.lettering import width_px
from rootcase.report.pictures.heat import draw_heat, rounds_of
from rootcase.report.pictures.signs import Layout
from rootcase.report.svg import Picture
from rootcase.report.text.heap import finding, heap_line, reckoning
from tests.casework.make.heaps import DAY, LOG_A, LOG_B, LOG_C, START, heap_of

pytestmark = pytest.mark.property
HOURLY = LoggedHeat(id="f", probe=1, file="heap.csv", mark="0" * 64, by="rs", start=START,
                    after_s=tuple(3600 * hour for hour in range(24 * 30)), temperature_c=(60.0, 61.5) * 360)


def logged() -> Heap:
    heap = replace(heap_of({}), logged=(HOURLY, replace(HOURLY, id="g", probe=2)))
    return replace(heap, turns=tuple(Turn(id=str(at), at=START + at * DAY / 8, by="rs") for at in range(60)))


def drawn(heap: Heap, layout: Layout = "wide") -> Picture:
    return draw_heat(heap, judged(heap), "us", layout)


def marks(picture: Picture, name: str) -> int:
    return len(re.findall(f'class="{name}"', picture.bare.decode()))


@pytest.mark.parametrize("layout", ["wide", "column", "phone"])
@pytest.mark.parametrize("heap", [heap_of(LOG_A), heap_of(LOG_B, probes=(1, 2, 3)), heap_of(LOG_C), heap_of({}),
                                  heap_of({0: 60}), heap_of({0: -40, 1: 119}), logged(),
                                  replace(heap_of(LOG_A, rule="nop"), checks=()),
                                  replace(heap_of(LOG_A), shape="static", rule="bioabfv_60", name="x" * 80)])
def test_no_label_lies_on_another_or_leaves_the_page(heap: Heap, layout: Layout) -> None:
    assert drawn(heap, layout).faults == ()


def test_a_gap_stays_open_and_the_line_stops_at_it() -> None:
    whole, gap = drawn(heap_of(LOG_A)), drawn(heap_of(LOG_B))
    assert (marks(whole, "not-known"), marks(gap, "not-known")) == (0, 1)
    assert marks(whole, "coldest") == len(LOG_A) - 1
    assert marks(gap, "coldest") == len(LOG_B) - 2


def test_what_does_not_count_is_told_by_its_form() -> None:
    picture = drawn(heap_of(LOG_C))
    assert marks(picture, "counts") == 16
    assert marks(picture, "counts-not") == 5
    unchecked = drawn(replace(heap_of(LOG_A), checks=()))
    assert marks(unchecked, "counts") == 0
    assert marks(unchecked, "doubted") == 2 * len(LOG_A)


def test_a_band_stands_from_the_rules_lowest_to_its_highest() -> None:
    assert marks(drawn(heap_of(LOG_A, rule="nop")), "highest") == 1
    assert marks(drawn(heap_of(LOG_A)), "highest") == 0


@pytest.mark.parametrize("layout", ["wide", "phone"])
def test_a_wild_reading_and_a_turn_far_off_squeeze_nothing(layout: Layout) -> None:
    plain = heap_of(LOG_A)
    wild = replace(plain, readings=(*plain.readings[:-1], replace(plain.readings[-1], temperature_c=-40.0)),
                   turns=(*plain.turns, Turn(id="far", at=START + 300 * DAY, by="rs")))
    found = drawn(wild, layout)
    assert found.faults == ()
    assert (marks(found, "beyond"), marks(found, "turn"), marks(drawn(plain, layout), "beyond")) == (2, 5, 0)


@pytest.mark.parametrize(("layout", "time", "warmth"), [("wide", "cx", "cy"), ("phone", "cy", "cx")])
def test_on_a_phone_time_runs_down_and_warmth_to_the_right(layout: Layout, time: str, warmth: str) -> None:
    heap = heap_of(LOG_A)
    svg = drawn(heap, layout).bare.decode()
    dots = [dict(re.findall(r'(c[xy])="([\d.]+)"', each)) for each in re.findall(r'<circle class="counts[^>]*', svg)]
    along, across = ([float(each[name]) for each in dots] for name in (time, warmth))
    assert along == sorted(along)
    rounds = [each.coldest_c for each in rounds_of(heap, judged(heap))]
    assert across[rounds.index(max(rounds))] == (max(across) if layout == "phone" else min(across))
    assert across[rounds.index(min(rounds))] == (min(across) if layout == "phone" else max(across))


def test_on_a_phone_no_name_of_a_month_reaches_the_boxes_beside_it() -> None:
    heap = heap_of(LOG_A)
    for month in range(1, 13):
        moved = timedelta(days=30.4 * month)
        late = replace(heap, complete_at=heap.complete_at + moved, readings=tuple(
            replace(each, at=each.at + moved) for each in heap.readings))
        svg = drawn(late, "phone").bare.decode()
        boxes = min(float(each) for each in re.findall(r'class="(?:hot|outside|unknown)" x="([\d.]+)"', svg))
        names = re.findall(r'<text x="16"[^>]*>([A-Z][a-z]+)</text>', svg)
        assert names
        assert all(16 + width_px(each, 12) < boxes for each in names)


def test_on_a_phone_the_days_needed_strike_through_no_words() -> None:
    assert marks(drawn(heap_of(LOG_A), "phone"), "needed") == 2
    assert marks(drawn(heap_of(LOG_A)), "needed") == 2
    svg = drawn(heap_of(LOG_C), "phone").bare.decode()
    line, = {float(each) for each in re.findall(r'class="needed" d="M([\d.]+)', svg)}
    assert all(float(each) > line for each in re.findall(r'<text x="([\d.]+)"[^>]*>14 d', svg))


def test_ten_thousand_readings_of_a_logger_stay_a_small_picture() -> None:
    assert len(drawn(logged()).bare) < 60_000


GAP = "Not shown: 72 hours without a reading, from 9 May 2015 on. 13 of 15 days are shown. A gap is not filled in."
ALONE = "Not shown: only one probe tells of the time from 3 May 2015 on. Two must read hot. 0 of 15 days are shown."
RATIO = ("Not shown: the rule asks for a C:N of 25 to 40 at the start, and that is not shown. "
         "A laboratory's figure of the fresh mix shows it.")
LONG_AGO = ("Not shown: no thermometer was checked in ice water in the 30 days before 1 May 2015. "
            "No heat rule can be shown until it is.")


@pytest.mark.parametrize(("heap", "words"), [
    (heap_of(LOG_A), "Met: 16 hot days of 15, turned 5 times."), (heap_of(LOG_B), GAP),
    (heap_of(LOG_C), "Not met: under 131 °F (55 °C) from 5 May 2015 on. 14 of 15 days count."),
    (heap_of(LOG_A, probes=(1,)), ALONE),
    (replace(heap_of(LOG_A), turns=(), checks=()), LONG_AGO.replace("Not shown", "Not met")),
    (replace(heap_of(LOG_A), turns=()), "Not met: turned 0 of 5 times within the hot days."),
    (heap_of({day: warm for day, warm in LOG_A.items() if day < 9}), "Not met: 6 of 15 hot days so far."),
    (heap_of(LOG_A, rule="nop"), RATIO),
    (replace(heap_of(LOG_A), checks=(ProbeCheck(id="c", at=START - timedelta(days=40), probes=(1, 2), by="rs"),)),
     LONG_AGO)])
def test_the_verdict_is_a_sentence(heap: Heap, words: str) -> None:
    assert finding(heap, judged(heap), "us") == words


def test_a_line_of_a_heap_says_that_it_is_held() -> None:
    heap = replace(heap_of(LOG_A), holdings=(Holding(held=True, reason="hay", at=START, by="rs"),))
    assert heap_line(heap, judged(heap), "us").endswith("5 times. Held by rs: hay.")


def test_days_are_never_rounded_up_to_what_was_not_shown() -> None:
    heap = heap_of({day: warm for day, warm in LOG_A.items() if day < 17})
    early = {each.id: timedelta(minutes=5 * each.id.endswith("-16")) for each in heap.readings}
    late = replace(heap, readings=tuple(replace(each, at=each.at - early[each.id]) for each in heap.readings))
    assert "13.9" in finding(late, judged(late), "us")
    assert any("All hot days together: 13.9" in line for line in reckoning(late, judged(late), "us"))
