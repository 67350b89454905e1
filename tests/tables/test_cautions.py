"""A remedy that can hurt somebody is never offered without the warning that belongs to it."""

from __future__ import annotations

import pytest

from rootcase.ground.words import say
from rootcase.tables.load import table

ROWS = {row["remedy"]: row for row in table("prescribe/remedies").rows}
CAUTIONS = {remedy: row["cautions"].split("|") if row["cautions"] else [] for remedy, row in ROWS.items()}
SPADE = {"turf_off"}  # turf is lifted by spade: the holes a client forbids are others, a cable is found all the same
SOAKED_AFTERWARDS = {"gypsum"}  # its sodium has to be washed out
RUNS_OFF = {"compost", "leach", "slow_nitrogen", "extract"}
BOUGHT_WITH_A_LABEL = {"chelate", "sulfur", "growth_regulator"}


@pytest.mark.parametrize("remedy", sorted({r for r, row in ROWS.items() if row["breaks_surface"]} | SPADE))
def test_no_ground_is_opened_before_lines_are_marked(remedy: str) -> None:
    assert "locate_lines" in CAUTIONS[remedy]


@pytest.mark.parametrize("remedy", sorted({r for r, row in ROWS.items() if row["water_mm"]} | SOAKED_AFTERWARDS))
def test_no_hose_is_used_without_a_back_flow_guard(remedy: str) -> None:
    assert "backflow" in CAUTIONS[remedy]


@pytest.mark.parametrize(("remedy", "caution"), [
    *((each, "water_body") for each in sorted(RUNS_OFF)), *((each, "label") for each in sorted(BOUGHT_WITH_A_LABEL)),
    ("leach", "needs_drainage"), ("gypsum", "needs_drainage"), ("gypsum", "lab_rate"),
    ("slow_nitrogen", "fertiliser_law"), ("air_tillage", "air_lance"), ("air_tillage", "not_when_wet"),
    ("growth_regulator", "licence"), ("extract", "extract_hygiene"), ("mulch", "off_trunk"),
])
def test_what_a_remedy_can_do_harm_with_is_said(remedy: str, caution: str) -> None:
    assert caution in CAUTIONS[remedy]


def test_every_caution_has_words() -> None:
    assert [c for each in CAUTIONS.values() for c in each if not say(f"prescribe.caution.{c}")] == []
