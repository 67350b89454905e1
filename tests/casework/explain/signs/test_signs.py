"""What signs leave of causes outside the soil, against plain counting; what a look, a host and a guess may do."""

from dataclasses import replace
from datetime import date
from itertools import product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.casework.explain.explain import explain
from rootcase.casework.explain.ground import Ground
from rootcase.casework.explain.signs.looks import Looked, signs_read
from rootcase.casework.explain.signs.signs import network_at, signs_of
from rootcase.casework.explain.signs.web import judged_otherwise, web_of
from rootcase.records.observe import Reading
from rootcase.science.inference.noisy_or import judge
from tests.casework.property import FIELD, LAWN, TREES, WOOD, compared, read, record, weather

NO_SOIL, ALL_SOIL = np.zeros((6, 4)), np.ones((6, 4))
SOME_SOIL = np.vstack([np.full((3, 4), 0.3), np.zeros((3, 4))])
WEB = web_of("", [0.0] * 6)
OUTSIDE = len(WEB.causes)


def saw(kind, answer, *, day=date(2015, 8, 20), of="t", nothing=None, sign="="):
    value, choice = (None, answer) if isinstance(answer, str) else (answer, None)
    return Reading(f"{kind}/{of}/{day}/{answer}", kind, of, "v", day, "a", value, choice, sign, nothing, str(answer))


def ground(*readings):
    by_kind = {}
    for reading in readings:
        by_kind[reading.kind] = (*by_kind.get(reading.kind, ()), reading)
    return Ground("lawn", by_kind)


def told(*readings, losses=NO_SOIL, seen=None):
    return signs_of("t", ground(*readings), losses, seen, seed=1)


def chance(signs, cause, what="chance"):
    return next(getattr(each, what) for each in signs.causes if each.cause == cause)


PATTERNS = ("one_side", "from_top", "single_limbs", "lower_crown", "even_crown")
"""Signs of one reading, of which a crown shows one."""
SICK = (saw("root_flare_state", "none"), saw("trunk_flat_side", "yes"), saw("crown_loss_pattern", "top"),
        saw("margin_scorch", "heavy"), saw("borer_hole_count", 2.0), saw("bark_bleeding", "none"),
        saw("canker_share", 0.0), saw("who_is_hurt", "one_tree"))


@pytest.mark.property
@pytest.mark.parametrize("losses", [NO_SOIL, SOME_SOIL, ALL_SOIL])
@pytest.mark.parametrize("seen", [None, (0.02, 0.5), (1.0, 0.3)])
def test_it_is_what_plain_counting_gives_with_the_growth_taken_in_once(losses, seen):
    """Every state of the causes; the soil's limits are there or not, so that they need no counting."""
    read_signs = signs_read(ground(*SICK))
    web = web_of("", list(losses.mean(axis=1) >= 0.1))
    weights, leaks, priors = web.network.weights.copy(), web.network.leaks, web.network.priors
    for cause in range(len(weights)):
        crown = {sign: weights[cause, web.signs.index(sign)] for sign in PATTERNS}
        held_against = max(PATTERNS, key=crown.get) if crown["from_top"] == 0.0 else None
        for sign in set(PATTERNS) - {"from_top", held_against}:
            weights[cause, web.signs.index(sign)] = 0.0
    soil = np.broadcast_to(priors[OUTSIDE:], (2**OUTSIDE, 6))
    states = np.concatenate([np.array(list(product((0.0, 1.0), repeat=OUTSIDE))), soil], axis=1)
    weight = np.prod(np.where(states[:, :OUTSIDE] == 1.0, priors[:OUTSIDE], 1.0 - priors[:OUTSIDE]), axis=1)
    for sign, looked in read_signs.items():
        at = web.signs.index(sign)
        absent = (1.0 - leaks[at]) * np.prod(1.0 - states * weights[:, at], axis=1)
        weight = weight * (1.0 - absent if looked.present else absent)
    held_back_not = (1.0 - leaks[-1]) * np.prod(1.0 - states * weights[:, -1], axis=1)
    soil_alone, other = seen or (1.0, 1.0)
    with_growth = weight * (held_back_not * soil_alone + (1.0 - held_back_not) * other)

    signs = told(*SICK, losses=losses, seen=seen)
    total = with_growth.sum()
    assert signs.chance_soil_alone == pytest.approx(weight @ held_back_not / weight.sum(), abs=1e-12)
    assert signs.chance_outside == pytest.approx(weight @ (1.0 - held_back_not) * other / total, abs=1e-12)
    assert signs.chance_unlisted == pytest.approx(weight.sum() * leaks[-1] * other / total, abs=1e-12)
    for at, cause in enumerate(web.causes):
        there = states[:, at] == 1.0
        assert chance(signs, cause, "chance_there") == pytest.approx(with_growth[there].sum() / total, abs=1e-12)
        takes = weight[there].sum() * weights[at, -1] * other / total
        assert chance(signs, cause) == pytest.approx(takes, abs=1e-12)


@pytest.mark.property
@given(st.sampled_from(range(OUTSIDE)), st.data())
def test_one_more_sign_seen_never_lowers_its_cause_and_one_not_there_never_raises_it(cause, data):
    """True while no other sign was seen: then nothing explains it away."""
    linked = [WEB.signs[at] for at in np.flatnonzero(WEB.network.weights[cause, :-1])]
    sign = data.draw(st.sampled_from(linked))
    absent = data.draw(st.sets(st.sampled_from([other for other in WEB.signs if other != sign])))
    before = {other: Looked(False, ()) for other in absent}

    def there(read_signs):
        web, found = network_at(ground(), SOME_SOIL, read_signs)
        return judge(web.network, found).causes[cause]

    assert there({**before, sign: Looked(True, ())}) >= there(before) - 1e-12
    assert there({**before, sign: Looked(False, ())}) <= there(before) + 1e-12


@pytest.mark.property
@pytest.mark.parametrize("species", ["", "Quercus rubra", "Acer rubrum", "Betula pendula", "Platanus acerifolia"])
def test_where_nobody_looked_the_soil_stands_alone_in_seven_of_ten(species):
    signs = told(saw("species", species)) if species else told()
    assert signs.chance_soil_alone == pytest.approx(0.70, abs=0.01)
    assert signs.looked_at == ()
    assert len(signs.not_looked_at) > 40


@pytest.mark.property
def test_not_looked_is_not_none_seen():
    nothing = told()
    not_looked = told(saw("root_flare_state", "not_looked"), saw("wood_stain", "not_cut"),
                      saw("site_event", "not_asked"), saw("borer_hole_count", None, nothing="not looked"),
                      saw("canker_share", None, nothing="not read"))
    assert not_looked == nothing
    none_seen = told(saw("borer_hole_count", None, nothing="none seen"), saw("wood_stain", "none"))
    assert none_seen.chance_soil_alone > nothing.chance_soil_alone
    assert chance(none_seen, "borers") < chance(nothing, "borers")
    assert none_seen.looked_at == ("wood_stain", "borer_hole_count")


@pytest.mark.property
@given(st.sampled_from([*PATTERNS, "none"]), st.sampled_from(range(OUTSIDE)))
def test_a_pattern_speaks_for_or_against_a_cause_once(seen, cause):
    """By hand: a cause that shows it gains as if nothing else had been asked; another loses by its strongest alone."""
    links = {sign: WEB.network.weights[:OUTSIDE, WEB.signs.index(sign)] for sign in PATTERNS}
    priors = WEB.network.priors[:OUTSIDE]
    if seen in links and links[seen][cause]:
        others = np.delete(1.0 - priors * links[seen], cause)
        silent = (1.0 - WEB.network.leaks[WEB.signs.index(seen)]) * others.prod()
        odds = (1.0 - silent * (1.0 - links[seen][cause])) / (1.0 - silent)
    else:
        odds = 1.0 - max(of[cause] for of in links.values())
    web, found = network_at(ground(), NO_SOIL, {sign: Looked(sign == seen, ("crown",)) for sign in PATTERNS})
    there = judge(web.network, found).causes[cause]
    assert there / (1.0 - there) == pytest.approx(odds * priors[cause] / (1.0 - priors[cause]), rel=1e-9)


def test_a_limit_of_the_soil_explains_a_sign_away():
    dry = np.vstack([np.zeros((2, 4)), np.ones((1, 4)), np.zeros((3, 4))])
    scorch = saw("margin_scorch", "heavy")
    assert chance(told(scorch, losses=dry), "heat") < 0.5 * chance(told(scorch), "heat")
    assert chance(told(losses=dry), "heat") == pytest.approx(chance(told(), "heat"), abs=1e-12)


def test_the_collar_stands_first_where_its_signs_were_seen_and_an_open_one_clears_it():
    signs = told(*SICK[:3], seen=(0.02, 0.5))
    assert [cause.cause for cause in signs.causes[:2]] == ["girdling_roots", "buried_flare"]
    assert signs.causes[0].chance > 2 / 3
    assert [each.sign for each in signs.causes[0].signs_for] == ["flat_side", "flare_hidden", "from_top"]
    assert signs.causes[0].signs_for[0].reading_ids == (SICK[1].id,)
    deep = saw("first_root_depth", 180.0)
    look = told(*SICK[:3], deep, seen=(0.02, 0.5)).look
    assert (look.kind, look.between) == ("encircling_share", ("girdling_roots", "buried_flare"))
    assert look.bits_per_minute == pytest.approx(look.bits / 20)
    unclear = told(*SICK[:3], deep, saw("encircling_share", 0.07), seen=(0.02, 0.5))
    assert unclear.look.kind != "encircling_share", "a reading that was made is not proposed, though it settled nothing"
    opened = told(*SICK[:3], deep, saw("encircling_share", 0.0), seen=(0.02, 0.5))
    assert chance(opened, "girdling_roots") < 0.5 * chance(signs, "girdling_roots")
    assert opened.look.kind != "encircling_share"


def test_a_borer_may_follow_and_its_host_has_more_of_it():
    ash, oak = told(saw("species", "Fraxinus americana")), told(saw("species", "Quercus rubra"))
    assert chance(ash, "borers") > 3 * chance(oak, "borers")
    assert "root_loss" in chance(ash, "borers", "may_follow")


@pytest.mark.parametrize(("readings", "sign", "said"), [
    ([saw("site_event", "trench", of="l"), saw("site_event_year", 2011.0, of="l")], "dug_near", True),
    ([saw("site_event", "trench", of="l"), saw("site_event_year", 1999.0, of="l")], "dug_near", False),
    ([saw("site_event", "trench", of="l"), saw("site_event_year", 1999.0, of="other")], "dug_near", True),
    ([saw("site_event", "flood", of="l")], "dug_near", None),
    ([saw("planting_year", 1920.0)], "long_here", True),
    ([saw("planting_year", 1990.0)], "long_here", False),
    ([saw("planting_year", 1950.0)], "long_here", None),
    ([saw("wound_share", 0.5, sign="<")], "wound_wide", None),
    ([saw("wound_share", 0.05, sign="<")], "wound_wide", False),
    ([saw("wound_share", 0.05, sign=">")], "wound_wide", None),
    ([saw("wound_share", 0.3, sign=">")], "wound_wide", True),
    ([saw("aphid_count", 3.0)], "sucking_insects", None),
    ([saw("leaf_spots", "light")], "leaf_spots", None),
    ([saw("leaf_spots", "heavy", day=date(2014, 8, 1)), saw("leaf_spots", "none")], "leaf_spots", False),
    ([saw("borer_hole_count", 0.0), saw("borer_hole_shape", "d_shape")], "borer_holes", True),
    ([saw("borer_hole_count", 40.0), saw("borer_hole_shape", "rows")], "borer_holes", None),
    ([saw("borer_hole_count", 40.0), saw("borer_hole_shape", "round")], "borer_holes", True),
    ([saw("crown_loss_pattern", "none")], "even_crown", False),
])
def test_a_reading_says_seen_not_there_or_nothing(readings, sign, said):
    looked = signs_read(ground(*readings)).get(sign)
    assert (looked and looked.present) is said if said is not None else looked is None


@pytest.mark.property
def test_guesses_are_halved_kept_or_doubled_the_same_way_each_time():
    web = web_of("", [0.3] * 6)
    once, again, other = (judged_otherwise(web, 50, np.random.default_rng(seed)) for seed in (1, 1, 2))
    assert np.array_equal(once.network.weights, again.network.weights)
    assert not np.array_equal(once.network.weights, other.network.weights)
    assert (once.network.priors[:, OUTSIDE:] == 0.3).all()
    linked = web.network.weights > 0
    factors = once.network.weights[:, linked] / web.network.weights[linked]
    capped = once.network.weights[:, linked] == 0.99
    assert set(np.round(factors[~capped], 9)) == {0.5, 1.0, 2.0}
    assert (once.network.weights[:, ~linked] == 0.0).all()
    assert told(*SICK) == told(*SICK)


def test_more_signs_than_can_be_counted_out_are_still_judged():
    everything = [Looked(True, ("r",))] * len(WEB.signs)
    web, found = network_at(ground(), SOME_SOIL, dict(zip(WEB.signs, everything, strict=True)))
    assert (found[:, 0] == 0.0).sum() == 12
    assert np.isfinite(judge(web.network, found).causes).all()


LAWN_SICK = [*LAWN, read("root_flare_state", "t-lawn", choice="none"), read("trunk_flat_side", "t-lawn", choice="yes"),
             read("first_root_depth", "t-lawn", 180.0)]


@pytest.fixture(scope="module")
def lawn_trees():
    def explained(readings, share=0.2):
        return explain(record(FIELD + readings + WOOD, TREES), "t-lawn", compared("t-lawn", share, 400), weather(),
                       draws=400, seed=1, threads=1)
    return explained(LAWN), explained(LAWN_SICK), explained(LAWN_SICK, 0.75)


@pytest.mark.property
def test_the_signs_are_the_prior_under_the_growth_that_was_seen(lawn_trees):
    unread, sick, well = lawn_trees
    assert unread.signs.chance_soil_alone == pytest.approx(0.70, abs=0.01)
    for found in lawn_trees:
        assert found.conditioned.temper == 1.0
        assert found.conditioned.chance_other_cause == pytest.approx(found.signs.chance_outside, abs=1e-9)
    assert sick.signs.chance_soil_alone == well.signs.chance_soil_alone < unread.signs.chance_soil_alone
    assert sick.conditioned.chance_other_cause > 0.9 > well.conditioned.chance_other_cause
    assert np.array_equal(sick.limit_draws, unread.limit_draws)


def test_the_growth_lifts_every_cause_alike(lawn_trees):
    _, sick, well = lawn_trees
    assert [cause.cause for cause in sick.signs.causes] == [cause.cause for cause in well.signs.causes]
    assert sick.signs.causes[0].cause == "girdling_roots"
    assert sick.signs.causes[0].chance > 2 * well.signs.causes[0].chance


def test_signs_come_back_from_where_results_are_kept(lawn_trees, tmp_path):
    from rootcase.records.explain import Explanation
    from rootcase.services.results import remembered

    kept = remembered(tmp_path, Explanation, ("a tree",), lambda: lawn_trees[1])
    again = remembered(tmp_path, Explanation, ("a tree",), lambda: replace(kept, signs=None))
    assert again.signs == lawn_trees[1].signs
