"""The waterfall of one tree: closure, independence, what a missing reading does, and what the soil does not explain."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

import rootcase.casework.explain.explain as module
from rootcase.casework.explain.explain import explain
from rootcase.casework.explain.site import tree_inputs
from rootcase.casework.explain.weather import growth_weather, shoots_weather
from rootcase.ground.errors import Missing
from rootcase.records.explain import LIMITS
from rootcase.records.observe import Tree
from rootcase.science.tree.attribution import attribute
from tests.casework.property import FIELD, LAWN, TREES, WOOD, compared, read, record, soil_readings, weather, without

N = 200


def explained(tree_id="t-field", share=0.14, readings=None, *, trees=TREES, draws=N, seed=1, threads=1, days=None):
    return explain(record(readings, trees), tree_id, compared(tree_id, share, draws), days or weather(), draws=draws,
                   seed=seed, threads=threads)


def width(estimate):
    return estimate.high - estimate.low


@pytest.mark.property
@pytest.mark.parametrize(("tree", "share"), [("t-field", 0.14), ("t-lawn", 0.95)])
def test_every_draw_closes(tree, share):
    found = explained(tree, share)
    assert np.abs(found.limit_draws.sum(axis=0) + found.share_draws - 1.0).max() <= 1e-12


@pytest.mark.property
def test_the_means_close_with_the_remainder_and_water_with_its_parts():
    found = explained()
    taken = sum(limit.points.mean for limit in found.limits)
    assert 100.0 - taken - found.unexplained_points.mean == pytest.approx(100.0 * found.observed_share.mean, abs=1e-9)
    water = found.limits[LIMITS.index("water")].points.mean
    assert sum(part.points.mean for part in found.water_parts) == pytest.approx(water, abs=1e-9)
    assert found.observed_share.mean == pytest.approx(compared("t-field", 0.14, N).share.mean, rel=1e-12)


@pytest.mark.property
def test_another_tree_changes_no_figure():
    alone, among = explained(), explained(readings=FIELD + LAWN + WOOD, trees=TREES)
    fewer = explained(readings=FIELD + WOOD, trees=tuple(t for t in TREES if t.id != "t-lawn"))
    more = explained(readings=[*FIELD, *LAWN, *WOOD, read("dbh", "t-new", 100.0)],
                     trees=(Tree("t-new", "prop", "lawn", "ash 1", None, None), *TREES))
    for other in (among, fewer, more):
        assert np.array_equal(alone.share_draws, other.share_draws)
        assert np.array_equal(alone.limit_draws, other.limit_draws)
        assert np.array_equal(alone.weights, other.weights)


@pytest.mark.property
def test_threads_change_nothing():
    one, two = explained(threads=1), explained(threads=2)
    assert np.array_equal(one.limit_draws, two.limit_draws)


@pytest.mark.property
def test_a_missing_reading_widens_the_answer_and_is_named():
    here = explained(draws=600)
    gone = explained(readings=without(FIELD, "probe_depth", "probe_stop", "bulk_density", "texture_feel") + WOOD,
                     draws=600)
    assert width(gone.predicted_share) > 1.1 * width(here.predicted_share)
    assert {"probe_depth", "bulk_density", "texture_feel"} <= set(gone.missing)
    strength = gone.limits[LIMITS.index("strength")]
    assert strength.assumed == ("probe_depth", "penetration_profile")
    assert strength.rests_on == ()


@pytest.mark.property
def test_without_any_reading_there_is_still_an_answer():
    found = explained(share=None, readings=[])
    assert found.observed_share is None
    assert found.unexplained_points is None
    assert found.conditioned is None
    assert 0.0 < found.predicted_share.median < 1.0
    assert len(found.missing) >= 10
    assert found.weights == pytest.approx(np.full(N, 1.0 / N))
    assert found.soil.known_to_m == 0.0


def test_hard_trodden_clay_is_named_the_largest_limit():
    found = explained(draws=600)
    means = {limit.limit: limit.points.mean for limit in found.limits}
    assert max(means, key=means.get) == "strength"
    assert found.limits[LIMITS.index("salt")].same_as_yardstick
    assert found.limits[LIMITS.index("salt")].points.high == 0.0


def test_what_the_soil_does_not_explain_is_said():
    """A healthy soil and a sick tree: most is lost to something else (docs/model.md, section 3)."""
    found = explained("t-lawn", 0.20, draws=600)
    assert 40.0 <= found.unexplained_points.mean <= 70.0
    assert found.conditioned.chance_other_cause > 0.9
    assert found.conditioned.other_cause_points.mean > 35.0
    well = explained("t-lawn", 0.75, draws=600)
    assert well.conditioned.chance_other_cause < 0.3


def test_growth_no_such_soil_could_give_is_a_conflict():
    found = explained("t-field", 1.6, draws=400)
    assert found.conditioned.disagree
    assert not explained("t-field", 0.2, draws=400).conditioned.disagree


def test_where_few_draws_would_be_left_more_are_taken(monkeypatch):
    monkeypatch.setattr(module, "FROM_DRAWS", 200)
    found = explained("t-field", 1.6, draws=200)
    assert found.draws == 800
    assert len(found.share_draws) == len(found.weights) == 800
    assert found.observed_share.mean == pytest.approx(compared("t-field", 1.6, 200).share.mean)
    assert explained("t-lawn", 0.75, draws=200).draws == 200


def test_every_year_of_the_shoots_is_run():
    found = explained()
    assert found.growth_years == (2013, 2014, 2015)
    assert found.balances % 2 == 0
    assert found.weather_ends == date(2015, 12, 31)


def test_a_gap_sends_the_run_to_an_older_year():
    whole = weather()
    gap = whole.days.index(date(2015, 3, 3))
    rain = tuple(np.nan if at == gap else mm for at, mm in enumerate(whole.rain_mm))
    assert growth_weather(replace(whole, rain_mm=rain), (2015, 2014), 47.4, 45)[1] == 2014


def test_over_several_years_a_share_is_the_mean_of_the_logs():
    inputs = tree_inputs(record(), TREES[0], draws=40, seed=1)
    years, seasons = shoots_weather(weather(), (2015, 2013, 2014), 47.4, 45)
    assert seasons == (2013, 2014, 2015)
    alone = [attribute(inputs.tree, inputs.yardstick, inputs.parameters, [year], 1, 10) for year in years]
    found = attribute(inputs.tree, inputs.yardstick, inputs.parameters, years, 1, 10)
    assert np.ptp([each.share.mean() for each in alone]) > 0.01, "the years differ, or this shows nothing"
    assert np.allclose(np.log(found.share), np.mean([np.log(each.share) for each in alone], axis=0), atol=1e-12)
    assert np.abs(found.loss.sum(axis=0) + found.share - 1.0).max() < 1e-12
    assert found.balances == sum(each.balances for each in alone)


def test_a_year_with_a_gap_is_left_out_of_the_mean():
    whole = weather()
    gap = whole.days.index(date(2015, 3, 3))
    rain = tuple(np.nan if at == gap else mm for at, mm in enumerate(whole.rain_mm))
    assert shoots_weather(replace(whole, rain_mm=rain), (2015, 2014), 47.4, 45)[1] == (2014,)
    # and none of which no shoot was read comes in for it
    assert shoots_weather(replace(whole, rain_mm=rain), (2015, 2013), 47.4, 45)[1] == (2013,)


def test_weather_too_short_is_one_clear_line():
    whole = weather()
    names = ("days", "t_min_c", "t_max_c", "rain_mm", "et0_mm", "wind_m_s")
    few = {name: getattr(whole, name)[-300:] for name in names}
    with pytest.raises(Missing, match=r"Seattle: the weather does not cover the growth of one season .*daily rain"):
        explained(days=replace(whole, **few))


def test_the_southern_season_is_named_after_its_end():
    whole = weather()
    shifted = replace(whole, t_min_c=whole.t_min_c[182:] + whole.t_min_c[:182],
                      t_max_c=whole.t_max_c[182:] + whole.t_max_c[:182])
    days, season = growth_weather(shifted, (2015,), -37.0, 45)
    assert season == 2015
    assert days.southern
    assert str(days.dates[0]) == "2013-07-01"


def test_a_tree_nobody_knows_is_refused():
    with pytest.raises(Missing, match="there is no such tree"):
        explained("t-none")


def test_the_soil_column_shows_what_was_read():
    found = explained(draws=400)
    assert found.soil.layers[0].texture == "clay"
    assert sum(layer.root_share for layer in found.soil.layers) == pytest.approx(1.0)
    assert found.soil.known_to_m == pytest.approx(0.085)
    assert found.soil.rootable_depth_m.median < 0.1 < found.yardstick_soil.rootable_depth_m.median
    assert found.soil.water_in_reach_mm.median < found.yardstick_soil.water_in_reach_mm.median
    assert dict(found.soil.cover)["turf"] == pytest.approx(0.7, abs=0.02)
    assert dict(found.yardstick_soil.cover)["litter"] == 1.0


def test_salt_on_a_salt_shy_kind_is_found():
    salty = soil_readings("t-lawn", organic=0.045, density=1.33, ece=6.0, texture="loam")
    readings = without(LAWN, *{r.kind for r in salty}) + salty + WOOD
    found = explained("t-lawn", 0.5, readings=readings)
    assert found.limits[LIMITS.index("salt")].points.mean > 10.0
