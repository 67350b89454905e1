"""Published figures on pests: the degree days at which a stage is looked for, and the days' own sums."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from rootcase.casework.explain.pests_looks import Warmth
from rootcase.ground.units import convert
from rootcase.records.observe import Weather
from rootcase.tables.load import table
from tests.published.vectors import Answers, Row, asserted, check

OURS = {
    "white pine weevil|adults active": ("white pine weevil", "adults at the leader"),
    "Cooley spruce gall adelgid|active on spruce (target)":
        ("Cooley spruce gall adelgid", "on spruce and Douglas fir"),
    "eastern tent caterpillar|egg hatch": ("eastern tent caterpillar", "eggs hatch"),
    "balsam twig aphid|egg hatch": ("balsam twig aphid", "eggs hatch"),
    "cankerworm|young caterpillars": ("cankerworm", "young caterpillars"),
    "spongy moth|egg hatch": ("spongy moth", "eggs hatch"),
    "spongy moth|larvae": ("spongy moth", "larvae feed"),
    "honeylocust plant bug|active": ("honeylocust plant bug", "active"),
    "spruce spider mite|active": ("spruce spider mite", "active"),
    "birch leafminer|adults laying eggs": ("birch leafminer", "eggs laid in new leaves"),
    "pine needle scale|crawlers gen 1": ("pine needle scale", "first crawlers"),
    "pine needle scale|crawlers gen 2": ("pine needle scale", "second crawlers"),
    "oystershell scale (brown)|crawlers": ("oystershell scale, brown", "crawlers"),
    "ash borer (clearwing)|young larvae": ("ash clearwing borer", "young larvae"),
    "elm leaf beetle|larvae": ("elm leaf beetle", "larvae feed"),
    "bronze birch borer|adults, eggs, new larvae": ("bronze birch borer", "adults to new larvae"),
    "emerald ash borer|adult emergence begins": ("emerald ash borer", "first adults"),
    "emerald ash borer|peak adults": ("emerald ash borer", "most adults"),
    "euonymus scale|crawlers": ("euonymus scale", "crawlers, 517 to 678 over five years"),
    "black vine weevil|adults": ("black vine weevil", "adults"),
    "cottony maple scale|egg hatch": ("cottony maple scale", "eggs hatch"),
    "cottony maple scale|crawlers": ("cottony maple scale", "crawlers"),
    "fall webworm|larvae": ("fall webworm", "larvae in webs"),
    "Japanese beetle|adults": ("Japanese beetle", "adults feed"),
    "beech scale|first crawlers": ("beech scale", "first crawlers"),
    "banded ash clearwing|adult emergence": ("banded ash clearwing", "adults"),
}


def stage(row: Row) -> tuple[float, float]:
    pest, named = OURS[row.case]
    ours = table("explain/pest_stages").row(pest=pest, stage=named)
    return ours["from_degf_day"], ours["to_degf_day"]


def summed(row: Row) -> float:
    """Days of a record, as the looks add them up."""
    swings = [[convert(end, "degF", "degC") for end in day] for day in row.inputs["days_min_max_f"]]
    first, unknown = date(2015, 1, 1), (float("nan"),) * len(swings)
    days = tuple(first + timedelta(n) for n in range(len(swings)))
    record = Weather("station", days, tuple(low for low, _ in swings), tuple(high for _, high in swings), unknown,
                     unknown, unknown, "made up")
    so_far = Warmth(record, None, first + timedelta(len(swings)), False).so_far()
    assert so_far is not None
    return convert(so_far.most_c_day, "degC_day", "degF_day")


ANSWERS: Answers = {("gdd_pest", "from;to"): stage, ("gdd_of_days", "degree days"): summed}


@pytest.mark.parametrize("row", asserted("pests.csv"))
def test_the_published_figure_is_met(row: Row) -> None:
    check(row, ANSWERS)
