"""The mass balance of a batch: by hand on the side, and what is missing for it."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from rootcase.casework.make.balance import mass_balance
from rootcase.casework.make.slide import counted
from rootcase.records.make.batch import Batch, Figure, ToldStep
from rootcase.records.make.slide import Slide, SlideCount, SlideRow
from rootcase.report.text.balance import balance_line
from rootcase.science.microscope.poisson import poisson_limits

START = datetime(2016, 5, 3, 9, tzinfo=UTC)
CHAMBER = (Figure("square_mm2", 0.0025), Figure("depth_mm", 0.02))
EXTRACT, COMPOST = (9, 7, 12, 8, 6, 10), (30, 28, 33, 31, 27, 29)
SQUARE_ML = 0.0025 * 0.02 / 1000


def told(step: str, **figures: float) -> ToldStep:
    return ToldStep(id=step, step=step, at=START, by="rs", words={},  # type: ignore[arg-type]
                    figures=tuple(Figure(*each) for each in figures.items()))


BATCH = Batch(id="b", number=1, heap_id="h", started_at=START, by="rs", judgement=None, loads=(),
              steps=(told("water", volume_l=1200.0), told("compost", mass_kg=100.0), told("end", volume_l=1000.0)))
LIQUID = Slide(id="e", method="chamber", source="batch", source_id="b", counted="bacteria", day=date(2016, 5, 3),
               by="rs", rows=(SlideRow(counts=EXTRACT),), figures=CHAMBER)
SOLID = replace(LIQUID, id="c", source="heap", source_id="h", rows=(SlideRow(counts=COMPOST),), figures=(
    *CHAMBER, Figure("dilution", 10.0), Figure("suspension_ml", 50.0), Figure("mass_g", 5.0)))


def with_count(slide: Slide) -> tuple[Slide, SlideCount]:
    return slide, counted(slide)


def test_recovery_is_what_was_counted_over_what_the_compost_could_give_with_the_worst_of_both_ends() -> None:
    found = mass_balance(BATCH, [with_count(LIQUID)], [with_count(SOLID)], 60.0)
    assert (found.lacking, found.counted) == ((), "bacteria")
    in_extract = sum(EXTRACT) / 6 / SQUARE_ML
    per_dry_g = sum(COMPOST) / 6 / SQUARE_ML * 10.0 * 50.0 / 5.0
    expected = per_dry_g * 0.4 * 100_000.0 / 1_000_000.0
    assert found.expected is not None
    assert found.recovery is not None
    assert found.expected.value == pytest.approx(expected)
    assert found.recovery.value == pytest.approx(in_extract / expected)
    (low, high), (least, most) = (poisson_limits(sum(each), 0.95) for each in (EXTRACT, COMPOST))
    assert found.recovery.low == pytest.approx(found.recovery.value * low / sum(EXTRACT) * sum(COMPOST) / most)
    assert found.recovery.high == pytest.approx(found.recovery.value * high / sum(EXTRACT) * sum(COMPOST) / least)
    assert balance_line(found).startswith("By count ")


@pytest.mark.parametrize("change", [{"by": "jk"}, {"method": "fields"}, {"constant": "other"}, {"counted": "fungi"}])
def test_slides_that_are_not_alike_are_not_set_against_each_other(change: dict[str, str]) -> None:
    _, count = with_count(SOLID)
    found = mass_balance(BATCH, [with_count(LIQUID)], [(replace(SOLID, **change), count)], 60.0)  # type: ignore[arg-type]
    assert found.recovery is None
    assert found.lacking == ("alike",)


def test_what_is_missing_is_said() -> None:
    assert mass_balance(BATCH, [with_count(LIQUID)], [with_count(SOLID)], None).lacking == ("moisture",)
    bare = replace(BATCH, steps=())
    found = mass_balance(bare, (), (), 60.0)
    assert found.lacking == ("mass", "volume", "extract_slide", "heap_slide")
    assert "a slide of this batch" in balance_line(found)
