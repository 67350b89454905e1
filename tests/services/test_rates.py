"""What is typed into a sum: units of both systems, what comes back with its reason, and what a sum says."""

from __future__ import annotations

from fractions import Fraction

import pytest

from rootcase.ground.words import catalogue
from rootcase.records.make.rates import Loads, Payload
from rootcase.report.text.rates import rates_cautions, rates_told
from rootcase.services.rates import ASKS, work_out

SOUND = {
    "drench": {"area": "1,000 ft2", "rate": "100 gal/1000ft2"},
    "injection": {"area": "1,000 ft2", "rate": "100 gal/1000ft2", "spacing": "2.5 ft", "grid": "square",
                  "flow": "5 gal/min"},
    "topdress": {"area": "1,000 ft2", "depth": "1/2 in"},
    "loads": {"volume": "730 gal", "tank": "300 gal", "least": "50 gal", "extract": "20"},
    "payload": {"volume": "300 gal", "rating": "10000 lb", "curb": "6450 lb", "aboard": "1000 lb"},
    "hose": {"volume": "5 gal", "time": "30 s", "area": "100 ft2"},
    "boom": {"flow": "1.6 gal/min", "distance": "100 ft", "time": "24", "width": "13 ft"},
    "injector": {"drawn": "1 gal", "delivered": "20 gal", "wanted": "2 %"},
    "cans": {"caught": "92, 101 88; 110 97 104 95 113"},
    "nozzles": {"caught": "16.2 15.8 17.9 16.0"},
    "gap": {"hose": "1 1/2 in"},
    "jar": {"product": "2 gal/ac"},
}


def finding(name: str, typed: dict[str, str], system: str = "us") -> str:
    worked = work_out(name, typed, system)  # type: ignore[arg-type]
    assert worked.result is not None, worked.wrong
    return rates_told(worked.result, system).finding  # type: ignore[arg-type]


@pytest.mark.parametrize(("name", "told"), {
    "drench": "1,000 ft² (93 m²) at 100 gal/1000 ft² (4.1 L/m²) take 100 gal (379 L).",
    "injection": "160 holes of 0.62 gal (2.4 L): 100 gal (379 L).",
    "topdress": "1,000 ft² (93 m²), 0.5 in (1.3 cm) deep: 1.5 yd³ (1.2 m³) of compost.",
    "loads": "730 gal (2760 L) are 3 loads of this tank.",
    "payload": "300 gal is 2,502 lb; payload left 2,550 lb. 48 lb to spare: no second passenger.",
    "hose": "10 gal/min (37.9 L/min) out of this hose.",
    "injector": "It draws 5 % of what comes out.",
    "cans": "8 cans: DU 90 %, CU 93 %, CV 8.7 %.",
    "nozzles": "Clean or replace 1 of 4: more than 10 % off the middle of the set.",
    "gap": "The hose ends 3 in (7.6 cm) above the rim, at least."}.items())
def test_a_sum_says_what_it_found(name: str, told: str) -> None:
    assert finding(name, SOUND[name]) == told


def test_typed_units_reckon_the_same_in_either_system() -> None:
    for name, typed in SOUND.items():
        typed = typed | ({"time": "24 s"} if name == "boom" else {})
        assert work_out(name, typed | {"area": "1000 ft2"} if "area" in typed else typed, "us").result == work_out(
            name, typed | {"area": "1000 ft2"} if "area" in typed else typed, "metric").result


def test_a_number_without_a_unit_is_of_the_readers_system() -> None:
    assert finding("drench", {"area": "1000", "rate": "100"}).endswith("take 100 gal (379 L).")
    assert finding("drench", {"area": "1000", "rate": "4"}, "metric").endswith("take 4000 L (1,060 gal).")


@pytest.mark.parametrize(("name", "changed", "field", "line"), [
    ("drench", {"area": ""}, "area", "nothing was typed; between 0.11 ft² and 10,800,000 ft²"),
    ("drench", {"area": "-5"}, "area", 'this cannot be (got "-5"); between'),
    ("drench", {"area": "3-4 m2"}, "area", 'one figure is wanted (got "3-4 m2")'),
    ("drench", {"rate": "100 psi"}, "rate", "psi cannot become"),
    ("injection", {"grid": "round"}, "grid", 'a square or a triangular grid? (got "round"); square or triangular'),
    ("loads", {"least": "200 gal"}, "", "the least load is more than half a tank"),
    ("loads", {"volume": "20 gal"}, "", "the whole job is less than the least load of this tank"),
    ("payload", {"wheelbase": "12 ft"}, "", "the axles are told in part; all six figures or none; missing: Front axle"),
    ("injector", {"drawn": "30 gal"}, "", "more was drawn than came out"),
    ("injector", {"wanted": "50 %"}, "", "the injector draws too little for this strength"),
    ("cans", {"caught": "1 2 3"}, "", "too few cans"),
    ("cans", {"caught": "1 2 3 oz"}, "caught", ""),
    ("cans", {"caught": "1 " * 201}, "caught", ""),
    ("cans", {"caught": "0 0 0 0"}, "", "too few cans, or nothing in them"),
    ("nozzles", {"caught": "0 1 2"}, "", "or one that gave nothing")])
def test_what_cannot_be_comes_back_beside_its_field(name: str, changed: dict[str, str], field: str, line: str) -> None:
    worked = work_out(name, SOUND[name] | changed, "us")
    assert worked.result is None
    assert list(worked.wrong) == [field]
    assert line in worked.wrong[field]


@pytest.mark.parametrize("tank", range(1, 40))
def test_no_load_is_a_phantom_and_nothing_is_lost(tank: int) -> None:
    """Exact whole gallons, converted to liters on the way, against whole numbers."""
    for volume in (1, tank, 2 * tank, 7 * tank, 7 * tank + 1, 100, 613):
        worked = work_out("loads", {"volume": f"{volume} gal", "tank": f"{tank} gal", "extract": "20 %"}, "us").result
        assert isinstance(worked, Loads)
        assert len(worked.loads) == -(-volume // tank)
        assert sum(load.volume_l for load in worked.loads) == pytest.approx(volume * float(Fraction("3.785411784")))
        assert all(load.extract_l == pytest.approx(0.2 * load.volume_l) for load in worked.loads)


def test_an_overloaded_truck_is_told_the_most_and_never_more() -> None:
    heavy = SOUND["payload"] | {"volume": "400 gal"}
    assert finding("payload", heavy) == (
        "400 gal is 3,336 lb; payload left 2,550 lb. 786 lb too much: load 305 gal at most.")
    most = work_out("payload", heavy | {"volume": "305 gal"}, "us").result
    assert isinstance(most, Payload)
    assert 0.0 <= most.load.spare_kg < 4.0
    assert "Overloaded before any liquid." in finding("payload", heavy | {"aboard": "4000 lb"})


def test_a_tank_behind_the_rear_axle_lifts_the_front_one() -> None:
    axles = {"front_empty": "3800 lb", "rear_empty": "3650 lb", "front_rating": "5000 lb", "rear_rating": "6000 lb",
             "tank_ahead": "-2 ft", "wheelbase": "12 ft"}
    worked = work_out("payload", SOUND["payload"] | axles, "us").result
    assert isinstance(worked, Payload)
    assert worked.axles is not None
    assert worked.axles.front_kg < 3800 * 0.45359237 < worked.axles.front_kg + 200.0
    assert "569 lb (258 kg) over its rating" in " ".join(rates_told(worked, "us").lines)


def test_every_sum_has_cautions_and_words_for_all_it_asks() -> None:
    said = catalogue("en")
    for name, asks in ASKS.items():
        assert 1 <= len(rates_cautions(name)) <= 3
        assert f"rates.sum.{name}" in said
        assert f"rates.for.{name}" in said
        assert {f"rates.ask.{ask.name}" for ask in asks if ask.form != "grid"} <= set(said)
    assert set(SOUND) == set(ASKS)


def test_a_comma_that_can_be_two_things_is_asked_about() -> None:
    worked = work_out("drench", {"area": "1,000", "rate": "4"}, "metric")
    assert 'this can be 1 or 1,000 (got "1,000")' in worked.wrong["area"]
