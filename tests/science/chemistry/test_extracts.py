"""Properties of turning extracts: what must hold whatever the sources say."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import Missing, OutOfRange
from rootcase.science.chemistry.extracts import LEAST_LOG_SD, extract_texture, paste_salt, water_ph
from rootcase.science.chemistry.sodium import exchangeable_sodium_pct, sodium_adsorption_ratio_held

EXTRACTS, TEXTURES = st.sampled_from(["1_1", "1_2", "1_5"]), st.sampled_from(["sand", "coarse", "medium", "fine"])
READ = st.floats(0.001, 60.0)


@pytest.mark.property
@given(READ, READ, EXTRACTS, TEXTURES)
def test_more_salt_read_is_more_salt_and_a_paste_never_holds_less(one, other, extract, texture):
    low, high = sorted((one, other))
    turned = paste_salt([low, high], extract, texture)
    assert turned.ece_ds_m[0] <= turned.ece_ds_m[1] * (1 + 1e-12)
    assert (turned.ece_ds_m >= np.array([low, high]) * (1 - 1e-12)).all()
    assert (turned.least_factor <= turned.ece_ds_m / [low, high] * (1 + 1e-9)).all()
    assert (turned.ece_ds_m / [low, high] <= turned.most_factor * (1 + 1e-9)).all()
    assert (turned.log_sd >= LEAST_LOG_SD).all()


@pytest.mark.property
@given(st.floats(0.3, 8.0), TEXTURES)
def test_a_thinner_extract_is_multiplied_by_more(read, texture):
    """From a quarter of a unit on; below, the offset of a thick extract can decide."""
    thick, thin = (float(paste_salt(read, extract, texture).most_factor) for extract in ("1_1", "1_5"))
    assert thick < thin


@pytest.mark.property
@given(st.floats(4.0, 9.0))
def test_water_reads_higher_than_the_salt_by_less_than_a_unit(read):
    assert 0.2 < float(water_ph(read, "cacl2").ph) - read < 0.8


@pytest.mark.property
@given(st.floats(0.0, 46.0))
def test_sodium_goes_there_and_back(esp_pct):
    sar = float(sodium_adsorption_ratio_held(esp_pct))
    assert float(exchangeable_sodium_pct(min(sar, 60.0))) == pytest.approx(esp_pct, abs=0.05)


def test_shares_of_sand_and_clay_name_the_group():
    assert extract_texture([0.9, 0.76, 0.74, 0.51, 0.5, 0.6, 0.2], [0.05] * 3 + [0.19, 0.1, 0.3, 0.27]).tolist() == [
        "sand", "sand", "coarse", "coarse", "medium", "fine", "fine"]


@pytest.mark.parametrize(("texture", "water"), [("sand", 0.15), ("coarse", 0.26), ("medium", 0.43), ("fine", 0.91)])
def test_one_to_five_follows_the_source_s_own_formula(texture, water):
    """Slavich and Petterson 1993: 2.46 and 3.03 over the saturated water content by weight."""
    turned = paste_salt(0.4, "1_5", texture)
    assert float(turned.least_factor if texture == "fine" else turned.most_factor) == pytest.approx(
        2.46 + 3.03 / water, rel=0.015)


def test_where_nothing_is_listed_for_sands_apart_they_are_coarse():
    assert paste_salt(0.4, "1_1", "sand") == paste_salt(0.4, "1_1", "coarse")


def test_what_is_not_listed_is_refused():
    with pytest.raises(Missing, match="extract_equations"):
        paste_salt(1.0, "1_10", "fine")
    with pytest.raises(OutOfRange, match="ec_ds_m"):
        paste_salt([1.0, np.nan], "1_5", "fine")
