"""A laboratory's way of reading and the model's: what is turned, what is left alone, what a limit says."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.casework.explain.errors import under
from rootcase.casework.explain.site import tree_inputs
from rootcase.report.text.cases import TreeCase
from rootcase.report.text.one_tree import turned
from tests.casework.property import FIELD, LAWN, TREES, WOOD, changed, read, record, soil_readings, without

N = 2000
SAMPLE = "s-t-field"


def inputs(readings, draws=N):
    return tree_inputs(record([*readings, *LAWN, *WOOD]), TREES[0], draws=draws, seed=5)


def salt_read(value, extract, sign="="):
    return changed(FIELD, "ece", value=value, sign=sign, attributes={"extract": extract})


def log_sd(values):
    return float(np.std(np.log(values)))


def test_salt_of_a_thin_extract_is_a_paste_s_with_a_wider_error():
    paste, thin = inputs(FIELD), inputs(salt_read(0.06, "1_5"))
    assert "ece" not in thin.assumed
    assert np.median(thin.tree.ece_ds_m) == pytest.approx(0.06 * (8.6 * 5.8 * 6.4 * 4.74) ** 0.25, rel=0.03)
    assert log_sd(thin.tree.ece_ds_m) > 1.3 * log_sd(paste.tree.ece_ds_m)
    (told,) = thin.turned
    assert (told.kind, told.way, told.at_yardstick) == ("ece", "extract_1_5", False)
    assert (told.least, told.most) == pytest.approx((4.74, 9.5), abs=0.01)  # a loam may have felt like clay


@pytest.mark.parametrize("extract", ["paste", "1_5"])
def test_a_reading_of_nothing_is_a_reading(extract):
    found = inputs(salt_read(0.0, extract))
    assert "ece" not in found.assumed
    assert 0.0 < np.median(found.tree.ece_ds_m) < 0.03
    assert np.isfinite(inputs(salt_read(0.0, extract, sign="<")).tree.ece_ds_m).all()


def test_extracts_are_never_mixed():
    both = [*FIELD, read("ece", SAMPLE, 0.9, series="2", attributes={"extract": "1_1"})]
    assert np.array_equal(inputs(both).tree.ece_ds_m, inputs(FIELD).tree.ece_ds_m)
    thin = [*without(FIELD, "ece"), read("ece", SAMPLE, 0.5, attributes={"extract": "1_1"}),
            read("ece", SAMPLE, 5.0, series="2", attributes={"extract": "1_5"})]
    assert [(t.way, len(t.reading_ids)) for t in inputs(thin).turned] == [("extract_1_1", 1)]


def test_salt_without_its_extract_tells_nothing():
    assert "ece" in inputs(changed(FIELD, "ece", attributes={})).assumed


def test_ph_in_calcium_chloride_becomes_ph_in_water_with_a_wider_error():
    salt_ph = inputs(changed(FIELD, "soil_ph", value=5.4, attributes={"method": "cacl2"}))
    assert np.median(salt_ph.tree.ph) == pytest.approx(6.0, abs=0.02)
    assert np.std(salt_ph.tree.ph) == pytest.approx(np.hypot(0.15, 0.25), rel=0.05)
    water = [*FIELD, read("soil_ph", SAMPLE, 5.0, series="2", attributes={"method": "cacl2"})]
    assert np.array_equal(inputs(water).tree.ph, inputs(FIELD).tree.ph)


def test_a_laboratory_stands_before_a_kit_and_a_paste_s_ph_is_not_taken():
    chloride = changed(FIELD, "soil_ph", value=5.4, attributes={"method": "cacl2"})
    assert np.median(inputs([*chloride, read("soil_ph_field", "p-t-field", 8.1)]).tree.ph) < 6.5
    paste = changed(FIELD, "soil_ph", attributes={"method": "paste"})
    assert np.median(inputs([*paste, read("soil_ph_field", "p-t-field", 8.1)]).tree.ph) == pytest.approx(8.1, abs=0.05)


def test_exchangeable_sodium_stands_in_only_where_no_ratio_was_read():
    held = [*without(FIELD, "sar"), read("esp", SAMPLE, 0.15193)]
    found = inputs(held)
    assert np.median(found.tree.sar) == pytest.approx(13.0, rel=0.03)
    assert [t.way for t in found.turned] == ["esp"]
    assert np.array_equal(inputs([*FIELD, read("esp", SAMPLE, 0.3)]).tree.sar, inputs(FIELD).tree.sar)


def test_carbon_and_ignition_meet_on_one_basis():
    ignition = inputs(FIELD).tree.organic_matter_pct
    doubled = inputs(changed(FIELD, "organic_matter", attributes={"method": "carbon_x_2"}))
    older = inputs(changed(FIELD, "organic_matter", attributes={"method": "carbon_x_1.724"}))
    assert np.median(doubled.tree.organic_matter_pct) == pytest.approx(np.median(ignition), rel=0.02)
    assert np.median(older.tree.organic_matter_pct) == pytest.approx(2.0 / 1.724 * np.median(ignition), rel=0.02)
    assert log_sd(older.tree.organic_matter_pct) > 1.3 * log_sd(ignition)
    assert ([t.way for t in older.turned], doubled.turned) == (["carbon"], ())


@pytest.mark.parametrize("extract", ["paste", "1_1", "1_2", "1_5"])
def test_less_than_a_limit_is_never_above_what_any_source_makes_of_it(extract):
    found = inputs(salt_read(0.2, extract, sign="<"))
    most = 0.2 if extract == "paste" else 0.2 * found.turned[0].most
    assert found.tree.ece_ds_m.max() <= most * (1 + 1e-12)
    assert found.tree.ece_ds_m.min() > 0.0
    assert "ece" not in found.assumed


def test_a_limit_far_above_the_usual_tells_nothing():
    nothing_read = inputs(without(FIELD, "ece")).tree.ece_ds_m
    assert inputs(salt_read(50.0, "paste", sign="<")).tree.ece_ds_m == pytest.approx(nothing_read)


@pytest.mark.property
@given(st.floats(1e-4, 100.0), st.floats(0.05, 50.0), st.floats(-4.0, 4.0))
def test_under_stays_under_and_follows_its_limit(limit, usual, z):
    drawn, wider = under(np.array([limit, 2.0 * limit]), usual, "ece", np.array([z, z]))
    assert 0.0 < drawn <= limit
    assert drawn <= wider * (1 + 1e-9)


def test_what_was_turned_at_the_yardstick_says_so():
    own = soil_readings("y-1", organic=0.06, density=1.1, texture="clay")
    thin = [replace(r, value=0.05, attributes={"extract": "1_5"}) if r.kind == "ece" else r for r in own]
    found = tree_inputs(record([*FIELD, *LAWN, *WOOD, *thin]), TREES[0], draws=50, seed=5)
    assert [(t.kind, t.at_yardstick) for t in found.turned] == [("ece", True)]


def test_the_words_tell_what_was_done():
    found = inputs([*without(salt_read(0.6, "1_5"), "sar"), read("esp", SAMPLE, 0.15193)], draws=50)

    class Told:
        turned = tuple(replace(each, at_yardstick=each.way == "esp") for each in found.turned)

    words = turned(TreeCase(TREES[0], None, Told(), None))
    assert words == ("Salt: read in an extract of 1 to 5 and taken 5.8 to 8.6 times as high for a paste's, "
                     "by texture and source. At the yardstick: SAR was not read; 13 was reckoned from the exchangeable "
                     "sodium.")
