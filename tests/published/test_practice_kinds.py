"""Published figures on kinds of trees: what lists tell, how shoots and rings of untreated trees ran on."""

from __future__ import annotations

import re

import pytest

from rootcase.ground.units import convert
from rootcase.science.crown.kinds import kind_told
from rootcase.science.crown.shoots import shoot_growth_class, untreated_shoots_m, year_to_year
from tests.published.vectors import Answers, Row, asserted, check

TRAITS = {"spray_salt_1to5": "spray_salt", "wet": "wet_soil", "pH": "ph", "shade_tolerance": "shade_score",
          "drought_tolerance": "drought_score", "waterlogging_tolerance": "waterlogging_score"}


def told(row: Row) -> str:
    """As our list has it, of one between two classes both."""
    ours = kind_told(row.inputs["species"], TRAITS.get(row.quantity, row.quantity))  # type: ignore[arg-type]
    assert ours.source.startswith(row.how_known.split()[0].rstrip(":")), "known in the same way"
    between = re.search(r"between two classes \(([a-z-]+)\)", ours.source)
    classes = between[1] if between else ours.told
    return re.sub(r"medium(?=-)|(?<=-)medium", "med", classes)


def score(row: Row) -> float:
    return float(told(row))


def shoot_cm(row: Row) -> float:
    kind = row.inputs["species"].removesuffix(" (cherrybark)")
    return convert(untreated_shoots_m(kind, row.inputs["position"])[row.inputs["year_index"] - 1], "m", "cm")


def mean(row: Row) -> float:
    return year_to_year(row.inputs.get("values_cm") or row.inputs["values_mm"]).mean


def between_years(row: Row) -> float:
    return year_to_year(row.inputs.get("values_cm") or row.inputs["values_mm"]).cv_pct


def growth_class(row: Row) -> str:
    """Of one length, or of both ends of a range."""
    found = {str(shoot_growth_class(convert(inches, "in", "m"))) for inches in row.inputs.values()}
    assert len(found) == 1
    return found.pop()


KINDS: Answers = {
    **{("species", quantity): told for quantity in ("growth", "drought", "compaction", "soil_salt", "spray_salt_1to5",
                                                    "wet", "pH", "lime_chlorosis_risk")},
    **{("species_nv2006", quantity): score for quantity in ("shade_tolerance", "drought_tolerance",
                                                           "waterlogging_tolerance")},
}
SHOOTS: Answers = {
    ("shoot_growth_published", "shoot_length"): shoot_cm,
    ("shoot_growth_published", "mean_shoot_length"): mean,
    ("shoot_growth_published", "between_year_cv"): between_years,
    ("ring_width_published", "mean_ring"): mean,
    ("ring_width_published", "between_year_cv"): between_years,
    ("growth_rate_class", "class"): growth_class,
}


@pytest.mark.parametrize("row", asserted("practice-kinds.csv"))
def test_what_a_list_tells_is_met(row: Row) -> None:
    check(row, KINDS)


@pytest.mark.parametrize("row", asserted("practice-shoots.csv"))
def test_the_published_figure_is_met(row: Row) -> None:
    check(row, SHOOTS)
