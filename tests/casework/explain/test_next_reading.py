"""Which reading to take next: what it is worth at a tree, what is left, and that nothing else moves it."""

from dataclasses import replace
from functools import partial

import numpy as np
import pytest

from rootcase.casework.draws import stream
from rootcase.casework.explain.ahead import Goes, costs, readings_ahead
from rootcase.casework.explain.explain import explain
from rootcase.casework.explain.next_reading import next_readings
from rootcase.casework.explain.site import tree_inputs
from rootcase.science.inference.next_reading import variance_removed
from rootcase.tables.readings import kinds
from tests.casework.property import FIELD, LAWN, TREES, WOOD, changed, compared, read, record, weather, without

N = 600
COVER_ONLY = [r for r in FIELD if r.kind in ("cover_share_by_ring", "stock_kind", "species")]


def explained(readings, tree_id="t-field", share=None, seed=1, draws=N):
    return explain(record([*readings, *WOOD]), tree_id, compared(tree_id, share, draws), weather(), draws=draws,
                   seed=seed, threads=1)


def inputs_of(readings, tree_id="t-field", seed=1, draws=N):
    whole = record([*readings, *WOOD])
    return tree_inputs(whole, next(t for t in TREES if t.id == tree_id), draws=draws, seed=seed)


def worth(found):
    return {each.kind: each.share_removed for each in found.next_readings}


@pytest.mark.property
def test_shares_lie_between_nothing_and_all_and_the_best_for_its_minutes_stands_first():
    for found in (explained(COVER_ONLY), explained(FIELD, share=0.14), explained(LAWN, "t-lawn", 0.95)):
        assert all(0.0 <= each.share_removed <= 1.0 for each in found.next_readings)
        assert 0.0 <= found.doubt_no_reading_removes <= 1.0
        per_minute = [each.share_removed_per_minute for each in found.next_readings]
        assert per_minute == sorted(per_minute, reverse=True)
        assert all(each.share_removed_per_minute == each.share_removed / each.minutes for each in found.next_readings)


@pytest.mark.property
def test_no_reading_takes_what_none_can_take():
    for found in (explained(COVER_ONLY), explained(FIELD, share=0.14)):
        assert max(worth(found).values()) <= 1.0 - found.doubt_no_reading_removes + 0.03


@pytest.mark.property
def test_equal_seeds_give_equal_answers_and_threads_none():
    again = explain(record([*COVER_ONLY, *WOOD]), "t-field", compared("t-field", None, N), weather(), draws=N, seed=1,
                    threads=2)
    assert again.next_readings == explained(COVER_ONLY).next_readings
    assert again.doubt_no_reading_removes == explained(COVER_ONLY).doubt_no_reading_removes
    assert explained(COVER_ONLY, seed=2).next_readings != again.next_readings


@pytest.mark.property
def test_a_reading_made_is_worth_less_than_before_and_says_so():
    pushed = COVER_ONLY + [r for r in FIELD if r.kind in ("probe_depth", "probe_stop")]
    before, after = explained(COVER_ONLY), explained(pushed)
    assert worth(before)["probe_depth"] > 0.02
    assert worth(after)["probe_depth"] < 0.5 * worth(before)["probe_depth"]
    assert not next(each for each in before.next_readings if each.kind == "probe_depth").taken_before
    assert next(each for each in after.next_readings if each.kind == "probe_depth").taken_before


@pytest.mark.property
def test_a_reading_without_error_left_removes_nothing():
    """The year from a record, and rain only, leave nothing to ask."""
    planted = [*without(COVER_ONLY, "stock_kind"), read("planting_year", "t-field", 2005.0)]
    told = [*planted, read("planting_year_basis", "t-field", choice="told")]
    recorded = [*planted, read("planting_year_basis", "t-field", choice="record")]
    assert "planting_year" in worth(explained(told))
    assert "planting_year" not in worth(explained(recorded))
    assert "irrigation_kind" in worth(explained(COVER_ONLY))
    assert "irrigation_kind" not in worth(explained((*COVER_ONLY, read("irrigation_kind", "field", choice="none"))))


@pytest.mark.property
def test_the_more_is_read_the_more_of_the_doubt_is_the_model_s_own():
    assert explained(FIELD).doubt_no_reading_removes > explained(COVER_ONLY).doubt_no_reading_removes + 0.1


@pytest.mark.property
def test_the_larger_a_reading_s_error_the_less_it_removes():
    shown = readings_ahead(inputs_of(COVER_ONLY), partial(stream, 1, "next reading", "t-field"), {})
    loss = explained(COVER_ONLY).limit_draws
    for reading in ("probe_depth", "penetration_profile", "sample_cores"):
        off = shown[reading].read - shown[reading].truth
        removed = [variance_removed(loss, shown[reading].truth + size * off).removed for size in (0.0, 1.0, 4.0, 20.0)]
        assert removed == sorted(removed, reverse=True), reading


@pytest.mark.property
@pytest.mark.parametrize("reading", [r for r in costs() if r not in ("texture_feel", "cover_share_by_ring")])
def test_what_a_reading_shows_hangs_on_what_is_true(reading):
    shown = readings_ahead(inputs_of((read("crown_density", "t-field", 0.4),)), partial(stream, 1, "next reading"), {})
    truth, seen = shown[reading].truth, shown[reading].read
    for true, told in zip(truth, seen, strict=True):
        if np.ptp(true) > 0 and np.ptp(told) > 0:
            assert np.corrcoef(true, told)[0, 1] > 0.25


@pytest.mark.property
def test_foot_points_and_a_hand_are_right_in_the_mean():
    shown = readings_ahead(inputs_of(()), partial(stream, 1, "next reading"), {})
    feet, hand = shown["cover_share_by_ring"], shown["texture_feel"]
    assert feet.read.sum(axis=0) == pytest.approx(np.ones(N))
    assert np.std(feet.read - feet.truth) < np.sqrt(0.25 / 80)
    as_felt = np.mean(np.abs(hand.read - hand.truth).max(axis=0) > 0.001)
    assert as_felt == pytest.approx(kinds()["texture_feel"].error_size, abs=0.06)


@pytest.mark.property
def test_another_reading_leaves_the_others_draws_as_they_were():
    without_it, with_it = (readings_ahead(inputs_of(readings), partial(stream, 1, "next reading", "t-field"), {})
                           for readings in (COVER_ONLY, (*COVER_ONLY, read("crown_density", "t-field", 0.4))))
    assert set(with_it) - set(without_it) == {"crown_density"}
    assert np.array_equal(without_it["probe_depth"].read, with_it["probe_depth"].read)


def test_a_cone_that_stands_at_nothing_is_a_reading_like_any_other():
    pushed = [replace(read(kind, "p-t-field", value, choice), id=f"{kind} {depth_m}", depth_from_m=depth_m)
              for depth_m, mpa in ((0.0, 0.0), (0.15, 1.5), (0.3, 2.0))
              for kind, value, choice in (("penetration_profile", mpa, None), ("soil_moisture_feel", None, "moist"))]
    cone = read("penetrometer_cone", "visit", choice="small")
    found = explained((*without(FIELD, "probe_depth"), *pushed, cone), share=0.2)
    assert "penetration_profile" in worth(found)


def test_too_few_draws_tell_nothing():
    few = explained(COVER_ONLY, draws=80)
    assert few.next_readings == ()
    assert few.doubt_no_reading_removes is None


def test_nothing_in_doubt_needs_no_reading():
    found = next_readings(inputs_of(COVER_ONLY), np.zeros((6, N)), np.full(N, 1 / N), {}, seed=1, tree_id="t-field")
    assert found == ((), None)


@pytest.mark.property
@pytest.mark.parametrize("own", [0.0, 1.0, 3.0])
def test_what_stays_is_what_no_input_tells(own):
    """A loss that is the salt's logarithm and noise of the model's own in a known measure."""
    inputs = inputs_of(COVER_ONLY)
    salt = np.log(inputs.tree.ece_ds_m)
    noise = np.random.default_rng(9).standard_normal(N)
    loss = np.vstack([salt / salt.std() + np.sqrt(own) * noise / noise.std(), np.zeros((5, N))])
    found, stays = next_readings(inputs, loss, np.full(N, 1 / N), {}, seed=1, tree_id="t-field")
    assert stays == pytest.approx(own / (1.0 + own), abs=0.06 if own else 1e-6)
    assert found[0].kind == "sample_cores"
    # Salt is read to .15 of a spread of .6, so a sixteenth of it stays unread.
    assert found[0].share_removed == pytest.approx(16 / 17 / (1.0 + own), abs=0.06 if own else 0.01)


def test_minutes_tools_and_season_come_from_the_tables():
    found = {each.kind: each for each in explained(COVER_ONLY).next_readings}
    probe, sample = found["probe_depth"], found["sample_cores"]
    assert probe.minutes == pytest.approx(8 * 0.15 + 0.7)
    assert (probe.times, probe.season, probe.tools) == (8, "soil_moist", kinds()["probe_depth"].tools)
    assert probe.ground_opened
    assert probe.days_to_answer is None
    assert (sample.minutes, sample.days_to_answer) == (15.5, 10)
    assert not found["dbh"].ground_opened


def test_a_look_at_the_ground_is_offered_only_where_nothing_of_it_was_read():
    assert "ground_under_crown" in worth(explained(without(COVER_ONLY, "cover_share_by_ring")))
    assert "ground_under_crown" not in worth(explained(COVER_ONLY))


@pytest.mark.property
def test_the_growth_seen_is_taken_in_first():
    """Growth far under what the soil explains weighs the draws, and with them what a reading is worth."""
    found = explained(changed(FIELD, "bulk_density", value=1.2), share=0.05)
    inputs = inputs_of(changed(FIELD, "bulk_density", value=1.2))
    alike = next_readings(inputs, found.limit_draws, np.full(N, 1 / N), {}, seed=1, tree_id="t-field")
    weighed = next_readings(inputs, found.limit_draws, found.weights, {}, seed=1, tree_id="t-field")
    assert alike[0] != weighed[0]
    made = dict.fromkeys(worth(found), 9)
    assert next_readings(inputs, found.limit_draws, found.weights, made, seed=1, tree_id="t-field")[0] != weighed[0]


@pytest.mark.property
@pytest.mark.parametrize("reading", ["crown_density", "dbh", "planting_year", "irrigation_kind", "cover_share_by_ring"])
def test_a_reading_made_as_well_as_it_can_be_tells_no_more(reading):
    """Its error is at the floor that all readings share, or only the newest counts."""
    inputs = inputs_of([*without(COVER_ONLY, "stock_kind"), read("crown_density", "t-field", 0.4)])
    shown = readings_ahead(inputs, partial(stream, 1, "next reading"), {reading: 9})[reading]
    assert not np.ptp(shown.read, axis=1).any()
    assert np.ptp(shown.truth, axis=1).any()
    assert np.ptp(readings_ahead(inputs, partial(stream, 1, "next reading"), {})[reading].read, axis=1).any()


@pytest.mark.property
def test_one_more_hand_s_error_is_what_narrows_the_old_ones_as_all_together_would():
    """Errors fall with the root of the number: nine after one are as good as ten, one of which is known."""
    size, goes = kinds()["probe_depth"].error_size, Goes(1, {"probe_depth": 1})
    assert goes.sd("probe_depth", "refusal_depth") == pytest.approx(size)
    assert Goes(1, {}).sd("probe_depth", "refusal_depth") == size
    assert Goes(8, {"probe_depth": 100}).sd("probe_depth", "refusal_depth") == np.inf
