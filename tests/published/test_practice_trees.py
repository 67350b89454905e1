"""Published figures on rating, measuring, planting and comparing trees."""

from __future__ import annotations

import pytest

from rootcase.ground.units import convert
from rootcase.science.crown.inventory import crown_repeats, least_rated_trunk_m, most_light_code
from rootcase.science.crown.spread import crown_area_m2, crown_spread_m
from rootcase.science.tree.establishing import (
    root_advance_m_year,
    rooted_in_radius_m,
    thickest_to_plant_m,
    years_to_root_in,
)
from rootcase.science.trials.power import trees_of_each_arm
from rootcase.science.zones.paved import paved_share_pct, red_maple_by_paving
from rootcase.tables.load import table
from tests.published.vectors import Answers, Row, asserted, check

BANDS = {("not enough to act on", "not enough to act on"): "normal, no action", ("watch", "watch"): "light, watch",
         ("watch", "act on local advice"): "moderate, support and recheck",
         ("act on local advice", "act on local advice"):
             "heavy, refoliation likely, support now and protect next year if repeated"}
"""Our verdicts, alone and with something else weighing on the tree, in the words of the collection."""


def months(row: Row) -> float:
    """At both ends of the zones that a row names."""
    trunk_m = convert(row.inputs["caliper_in"], "in", "m")
    found = {round(12.0 * years_to_root_in(trunk_m, float(zone)), 9)
             for zone in row.inputs["hardiness_zone"].split("-")}
    assert len(found) == 1
    return found.pop()


def thickest_in(row: Row) -> float:
    return convert(thickest_to_plant_m(row.inputs["irrigate_months"] / 12.0, row.inputs["zone"]), "m", "in")


def trees(row: Row) -> float:
    given = row.inputs
    return float(trees_of_each_arm(given["cv_between_trees"], given["rel_difference"], given["power"], given["alpha"]))


def eaten(row: Row) -> str:
    """The band of a leafy tree's loss, as the looks for pests hold it."""
    bands = [each for each in table("explain/pest_thresholds").rows if (each["kind"], each["foliage"]) ==
             ("defoliation", "leafy") and each["from_value"] <= row.inputs["defoliation_pct"] / 100.0]
    last = max(bands, key=lambda each: float(each["from_value"]))
    return BANDS[last["verdict"], last["verdict_if_worse"]]


def minded_pct(row: Row) -> float:
    return 100.0 * float(table("explain/pest_thresholds").row(whose="eye", kind="defoliation")["from_value"])


def condition(row: Row) -> str:
    return str(red_maple_by_paving(row.inputs["impervious_pct_within_25m"])).replace(" to ", "-")


ANSWERS: Answers = {
    ("crown_fia", "min_dbh_rated"): lambda _: convert(least_rated_trunk_m(), "m", "in"),
    ("crown_fia", "max_crown_light_exposure_code"):
        lambda row: float(most_light_code(row.inputs["uncompacted_live_crown_ratio_pct"])),
    ("crown_fia_quality", "field_tolerance"): lambda _: crown_repeats().within_pct,
    ("crown_fia_quality", "target_agreement"): lambda _: crown_repeats().agreeing_pct,
    ("crown_spread", "mean_crown_diameter"):
        lambda row: float(crown_spread_m(row.inputs["widest_m"], row.inputs["perpendicular_m"])),
    ("crown_projection_area", "area"): lambda row: crown_area_m2(row.inputs["radii_m"]),
    ("establishment", "months_to_establish"): months,
    ("establishment", "root_radius"):
        lambda row: convert(rooted_in_radius_m(convert(row.inputs["branch_tip_radius_ft"], "ft", "m")), "m", "ft"),
    ("establishment", "root_radius_growth"): lambda _: convert(root_advance_m_year(), "m", "in"),
    ("establishment", "max_caliper"): thickest_in,
    ("sample_size_groups", "trees_per_group"): trees,
    ("defoliation_action", "action"): eaten,
    ("aesthetic_injury", "visible_damage_noticed_from"): minded_pct,
    ("impervious_cover", "likely_condition"): condition,
    ("impervious_cover", "impervious_pct"):
        lambda row: float(paved_share_pct(row.inputs["steps_on_hard"], row.inputs["steps_total"])),
}


@pytest.mark.parametrize("row", asserted("practice-trees.csv"))
def test_the_published_figure_is_met(row: Row) -> None:
    check(row, ANSWERS)
