"""Published figures on turning a laboratory's extract into the one the formulas take."""

from __future__ import annotations

import pytest

from rootcase.science.chemistry.extracts import PasteSalt, paste_salt, water_ph
from rootcase.science.chemistry.sodium import sodium_adsorption_ratio_held
from tests.published.vectors import Answers, Row, asserted, check


def turned(row: Row) -> PasteSalt:
    return paste_salt(row.inputs["EC"], row.inputs["extract"], row.inputs["texture"])


def spanned(row: Row) -> tuple[float, float]:
    """What the listed equation that gives least, and the one that gives most, make of the reading."""
    found = turned(row)
    return float(found.least_factor * row.inputs["EC"]), float(found.most_factor * row.inputs["EC"])


def one_to_five(row: Row) -> PasteSalt:
    return paste_salt(1.0, "1_5", row.inputs["texture"])


ANSWERS: Answers = {
    ("extract_ec", "ece_least;ece_most"): spanned,
    ("extract_ec", "ece"): lambda row: float(turned(row).ece_ds_m),
    ("extract_ec", "factor_most"): lambda row: float(one_to_five(row).most_factor),
    ("extract_ec", "factor_least"): lambda row: float(one_to_five(row).least_factor),
    ("salt_ph", "water_pH"): lambda row: float(water_ph(row.inputs["pH"], "cacl2").ph),
    ("esp_to_sar", "SAR"): lambda row: float(sodium_adsorption_ratio_held(row.inputs["ESP"])),
}


@pytest.mark.parametrize("row", asserted("laboratory.csv"))
def test_published_figure(row: Row) -> None:
    check(row, ANSWERS)
