"""Published figures on counting: geometry, biomass, crossings, the intervals of counts, tubes, nematodes."""

from __future__ import annotations

from collections.abc import Callable
from math import floor, inf, log10

import numpy as np
import pytest

from rootcase.science.microscope.biomass import hypha_volume_mm3, mass_ug, rod_volume_um3
from rootcase.science.microscope.clumping import dispersion, mean_limits
from rootcase.science.microscope.combining import ring_weighted_mean
from rootcase.science.microscope.crossings import (
    length_per_gram_m,
    length_per_ml_m,
    line_length_mm,
    newman_length_mm,
    tennant_length_mm,
)
from rootcase.science.microscope.effort import fields_needed, fields_needed_by_scatter, objects_needed
from rootcase.science.microscope.geometry import (
    circle_area_mm2,
    counted_volume_ml,
    field_diameter_mm,
    film_thickness_um,
    number_per_gram,
    number_per_ml,
    smear_per_gram,
)
from rootcase.science.microscope.mpn import Mpn, mpn, mpn_limits_delta, thomas_estimate
from rootcase.science.microscope.nematodes import (
    GROUPS,
    Community,
    community_indices,
    families_named,
    nematodes_found_elsewhere,
    nematodes_per_100_g,
)
from rootcase.science.microscope.observer import repeat_error
from rootcase.science.microscope.poisson import compare_rates, most_when_none_seen, poisson_limits
from tests.published.vectors import Answer, Answers, Row, asserted, check, read
from tests.science.microscope.scenes import mean_length_ratio

LANDS = {"global_median_temperate_broadleaf_forest": "temperate_broadleaf_forest",
         "global_median_boreal_forest": "boreal_forest", "global_median_temperate_conifer_forest":
         "temperate_conifer_forest", "global_median_temperate_grassland": "temperate_grassland",
         "global_median_mediterranean_forest": "mediterranean_forest",
         "global_median_tropical_moist_forest": "tropical_moist_forest", "global_median_desert": "desert"}
CONSTANTS = {"bacterial_C_fry1990": "fry_1990", "bacterial_C_bratbak_dundas1984": "bratbak_dundas_1984",
             "bacterial_C_bratbak1985": "bratbak_1985", "hypha_C_standard": "wet_1.1_dry_20_pct",
             "hypha_C_25pct_dry": "wet_1.1_dry_25_pct", "hypha_C_vanveen": "van_veen_paul_1979",
             "hypha_C_bakken": "bakken_olsen_1983"}


def per_ml(row: Row) -> float:
    given = row.inputs
    mean, area = {"haemocytometer_center_squares": lambda: (given["mean_per_square"], given["square_mm"] ** 2),
                  "haemocytometer_1mm2": lambda: (given["mean_per_mm2"], 1.0),
                  "bacterial_chamber_1mm2": lambda: (given["count"], given["area_mm2"]),
                  "petroff_hausser_small_square":
                      lambda: (given["mean_per_small_square"], given["small_square_mm2"])}[row.case]()
    return float(number_per_ml(mean, counted_volume_ml(area, given["depth_mm"]), given["dilution"]))


def per_g(row: Row) -> float:
    given = row.inputs
    if row.case == "soil_smear_formula":
        return float(smear_per_gram(given["mean_per_field"], given["fields_per_cm2"], given["soil_dry_g_on_smear"]))
    return float(number_per_gram(given["cells_per_mL"], given["volume_mL"], given["mass_g"]))


def per_dry_g(row: Row) -> float:
    given = row.inputs
    number = number_per_ml(given["mean_per_field"], given["volume_per_field_mL"], given["dilution"])
    return float(number_per_gram(number, given["water_mL_per_g"] + given["solids_g"], given["dry_fraction"]))


def thickness(row: Row) -> float:
    return float(film_thickness_um(row.inputs["drop_uL"], np.prod(row.inputs["coverslip_mm"])))


def bacteria_mm3(row: Row) -> float:
    return float(row.inputs["cells_per_g"] * row.inputs["biovolume_um3"] * 1e-9)


def hyphae_mm3(row: Row) -> float:
    return float(hypha_volume_mm3(row.inputs["length_m_per_g"], row.inputs["diameter_um"]))


def berg_dry_ug(row: Row) -> float:
    diameter_um = (4.0 * row.inputs["cross_section_um2"] / np.pi) ** 0.5
    volume_mm3 = hypha_volume_mm3(row.inputs["length_m"], diameter_um)
    return float(mass_ug(volume_mm3, "hyphae", "berg_soderstrom_1979", "dry"))


def filtered(row: Row) -> float:
    given = row.inputs
    return float(length_per_gram_m(given["mean_hypha_mm_per_field"], circle_area_mm2(given["field_diameter_mm"]),
                                   circle_area_mm2(given["filter_effective_diameter_mm"]),
                                   given["soil_dry_g_on_filter"]))


def length(row: Row) -> float:
    given = row.inputs
    if row.case == "coverslip_to_m_per_mL":
        return float(length_per_ml_m(given["mean_hypha_mm_per_field"], given["volume_per_field_mL"], given["dilution"]))
    return filtered(row)


def newman_or_tennant(row: Row) -> float:
    given = row.inputs
    if row.case == "newman":
        return float(newman_length_mm(given["N"], given["area_mm2"], given["line_length_mm"]))
    return float(tennant_length_mm(given["N"], given["grid_mm"]))


def on_a_grid(row: Row) -> float:
    area_mm2, spacing_mm = row.inputs["area_mm2"], row.inputs["grid_mm"]
    return float(newman_length_mm(row.inputs["N"], area_mm2, line_length_mm(area_mm2, spacing_mm)))


def one_way(row: Row) -> float:
    area_mm2 = 1e4
    return float(newman_length_mm(row.inputs["N"], area_mm2, line_length_mm(area_mm2, row.inputs["grid_mm"]) / 2.0))


def tubes(row: Row) -> tuple[list[float], list[int], list[int]]:
    given = row.inputs
    return given.get("inoculum_g", given.get("inoculum")), given["tubes"], given["positive"]


def found(row: Row) -> Mpn:
    return mpn(*tubes(row), 0.95)


def two_digits(number: float) -> str:
    """As the table prints."""
    digits = 1 - floor(log10(number))
    return f"{floor(number * 10.0**digits + 0.5) / 10.0**digits:.{max(digits, 0)}f}"


def report(row: Row) -> str:
    ours = found(row)
    return f"<{two_digits(ours.least)}" if ours.number == 0.0 else f">{two_digits(ours.most)}"


def jarvis(row: Row) -> tuple[float, ...]:
    return found(row).number, *mpn_limits_delta(*tubes(row), 0.95)[1:], found(row).rarity


def scatter(row: Row) -> tuple[float, ...]:
    ours = dispersion(row.inputs["counts"])
    return ours.mean, ours.sd, ours.chi_square, ours.p_clumped


def clumps(row: Row) -> tuple[float, ...]:
    ours = dispersion(row.inputs["counts"])
    return ours.variance_to_mean, ours.k, ours.p_clumped


def t_half_width(row: Row) -> float:
    counts = row.inputs["counts"]
    return mean_limits(counts, 0.95)[1] - sum(counts) / len(counts)


def fields(row: Row) -> float:
    given = row.inputs
    if "pilot_cv" in given:
        return float(fields_needed_by_scatter(given["pilot_cv"], given["relative_half_width"], 0.95))
    return float(fields_needed(given["mean_per_field"], given.get("k", inf), given["relative_half_width"], 0.95))


def two_rates(row: Row) -> tuple[float, float]:
    ours = compare_rates(*(row.inputs[name] for name in ("count1", "fields1", "count2", "fields2")), 0.95)
    return ours.ratio, ours.p_two_sided


def rings(row: Row) -> tuple[float, float]:
    return ring_weighted_mean(*([ring[name] for ring in row.inputs["rings_mm"]]
                                for name in ("inner", "outer", "m", "s", "n")))


def observer(row: Row) -> tuple[float, ...]:
    ours = repeat_error(*zip(*row.inputs["pairs"], strict=True), 0.95)
    return ours.sd, ours.cv_pct, ours.bias


def per_100_g(row: Row) -> float:
    given = row.inputs
    return float(nematodes_per_100_g(given["counted"], given["aliquot_mL"], given["extract_mL"], given["fresh_soil_g"]
                                     * (1.0 - given["moisture_wet_basis"]), given["extraction_efficiency"]))


def median(row: Row) -> float:
    return float(nematodes_found_elsewhere(LANDS[row.case], "all")["median_per_100_g"])


def broadleaf(group: str, *quantities: str) -> tuple[float, ...]:
    row = nematodes_found_elsewhere("temperate_broadleaf_forest", group)
    return tuple(row[f"{quantity}_per_100_g"] for quantity in quantities)


def indices(row: Row) -> Community:
    community = row.inputs["community"]
    groups, classes = families_named([taxon["family"] for taxon in community])
    assert classes == [taxon["cp"] for taxon in community]
    return community_indices(groups, classes, [taxon["n"] for taxon in community])


def maturity(row: Row) -> tuple[float, ...]:
    ours = indices(row)
    assert ours.maturity
    assert ours.plant_parasite
    assert ours.maturity_2_5
    return ours.maturity, ours.plant_parasite, ours.maturity_2_5, ours.plant_parasite / ours.maturity


def food_web(row: Row) -> tuple[float, ...]:
    ours = indices(row)
    return tuple(index or 0.0 for index in (ours.enrichment_pct, ours.structure_pct, ours.channel_pct))


def told(name: str, formula: Callable[[float], object]) -> Callable[[Row], Answer]:
    return lambda row: float(formula(row.inputs[name]))  # type: ignore[arg-type]


ANSWERS: Answers = {
    ("cell_count", "cells_per_mL"): per_ml,
    ("cell_count", "cells_per_g"): per_g,
    ("cell_count", "cells_per_g_dry"): per_dry_g,
    ("cell_count", "field_diameter"):
        lambda row: float(field_diameter_mm(row.inputs["field_number_mm"], row.inputs["objective"])),
    ("cell_count", "field_area"): told("field_diameter_mm", circle_area_mm2),
    ("cell_count", "film_thickness"): thickness,
    ("cell_count", "volume_under_field"): lambda row: float(counted_volume_ml(
        circle_area_mm2(row.inputs["field_diameter_mm"]), thickness(row) / 1000.0)),
    ("cell_count", "implied_field_diameter"):
        lambda row: 1000.0 * float(100.0 / row.inputs["fields_per_cm2"] / circle_area_mm2(1.0)) ** 0.5,
    ("biomass", "biovolume"): lambda row: float(rod_volume_um3(
        *([row.inputs["diameter_um"]] * 2 if "diameter_um" in row.inputs
          else [row.inputs["width_um"], row.inputs["length_um"]]))),
    ("biomass", "bacterial_C"):
        lambda row: float(mass_ug(bacteria_mm3(row), "bacteria", CONSTANTS[row.case], "carbon")),
    ("biomass", "bacterial_dry_mass"):
        lambda row: float(mass_ug(bacteria_mm3(row), "bacteria", "van_veen_paul_1979", "dry")),
    ("biomass", "hyphal_volume"): hyphae_mm3,
    ("biomass", "hyphal_C"): lambda row: float(mass_ug(hyphae_mm3(row), "hyphae", CONSTANTS[row.case], "carbon")),
    ("biomass", "dry_mass"): berg_dry_ug,
    ("biomass", "length_per_g_dry"): lambda row: 1e6 / float(
        mass_ug(hypha_volume_mm3(1.0, row.inputs["diameter_um"]), "hyphae", "harley_1971", "dry")),
    ("biomass", "biomass_ratio"):
        lambda row: float(np.divide(*(hypha_volume_mm3(1.0, row.inputs[name]) for name in ("d2_um", "d1_um")))),
    ("hyphal_length", "length"): newman_or_tennant,
    ("hyphal_length", "factor_per_intersection"):
        lambda row: tuple(tennant_length_mm(1, 10.0 * np.array(row.inputs["grid_cm"])) / 10.0),
    ("hyphal_length", "newman_length_with_H_2A_over_G"): on_a_grid,
    ("hyphal_length", "length_if_lines_run_one_way"): one_way,
    ("hyphal_length", "mean(pi/4 N G)/true_length"): lambda row: mean_length_ratio(
        row.inputs["grid"], row.inputs["segments"], row.inputs["trials"], row.inputs["lengths"]),
    ("hyphal_length", "hyphal_length"): length,
    ("mpn", "MPN_2sigfig"): lambda row: float(two_digits(found(row).number)),
    ("mpn", "MPN_exact"): lambda row: found(row).number,
    ("mpn", "MPN"): lambda row: found(row).number,
    ("mpn", "SE_log10_haldane"): lambda row: mpn_limits_delta(*tubes(row), 0.95)[0],
    ("mpn", "CI95_low;high"): lambda row: mpn_limits_delta(*tubes(row), 0.95)[1:],
    ("mpn", "rarity_index"): lambda row: found(row).rarity,
    ("mpn", "thomas"): lambda row: thomas_estimate(*tubes(row)),
    ("mpn", "MPN;low;high;rarity"): jarvis,
    ("mpn", "report"): report,
    ("count_stats", "lower;upper"): lambda row: tuple(
        float(end) for end in poisson_limits(row.inputs["count"], row.inputs["conf"])),
    ("count_stats", "upper"): told("conf", most_when_none_seen),
    ("count_stats", "total_objects"): told("relative_half_width", lambda wanted: objects_needed(wanted, 0.95)),
    ("count_stats", "fields"): fields,
    ("count_stats", "mean;sd;chi2;p_upper"): scatter,
    ("count_stats", "half_width_95"): t_half_width,
    ("count_stats", "variance_to_mean;k_moment;p_upper"): clumps,
    ("count_stats", "rate_ratio;p_two_sided"): two_rates,
    ("count_stats", "weighted_mean;se"): rings,
    ("count_stats", "dahlberg_sd;cv_pct;bias"): observer,
    ("nematode", "median_per_100g_dry"): median,
    ("nematode", "p10;p25;p75;p90"): lambda _: broadleaf("all", "p10", "p25", "p75", "p90"),
    ("nematode", "median bacterivore;fungivore;herbivore;omnivore;predator"):
        lambda _: tuple(broadleaf(group, "median")[0] for group in GROUPS),
    ("nematode", "nematodes_per_100g_dry"): per_100_g,
    ("nematode", "MI;PPI;MI2_5;PPI_over_MI"): maturity,
    ("nematode", "EI;SI;CI"): food_web,
}


@pytest.mark.parametrize("row", asserted("microscope.csv"))
def test_the_published_figure_is_met(row: Row) -> None:
    check(row, ANSWERS)


def test_every_number_of_the_printed_table_of_tubes_is_met_to_its_digits() -> None:
    printed = [row for row in read("microscope.csv") if row.quantity == "MPN_2sigfig"]
    assert len(printed) == 36
    assert {row.case: float(two_digits(found(row).number)) for row in printed} == {
        row.case: float(row.expected) for row in printed}
