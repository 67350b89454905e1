"""What may be said of a tank: figures of the published comparison, no promise."""

from __future__ import annotations

import re

import pytest

from rootcase.casework.make.claims import honest_claims, usual_rate_l_m2
from rootcase.ground.units import convert
from rootcase.report.text.claims import claim_heads, claim_lines, claim_rows, claim_sources, client_claims


def test_the_tank_stands_beside_compost_and_soil_as_published() -> None:
    """tests/published/tank.csv holds the same figures, by other inputs."""
    found = honest_claims(convert(55.0, "gal/1000ft2", "L/m2"))
    assert convert(found.brought[0].kg_m2, "kg/m2", "lb/1000ft2") == pytest.approx(0.0257, rel=0.005)
    assert convert(found.compost_nitrogen_kg_m2, "kg/m2", "lb/1000ft2") == pytest.approx(23.611111, rel=1e-6)
    assert convert(found.mineral_nitrogen_kg_m2, "kg/m2", "lb/1000ft2") == pytest.approx(3.9939148, rel=1e-3)
    assert found.organisms.pct == pytest.approx(0.11492415, rel=1e-3)
    assert [trial.differs for trial in found.trials] == [False, False, True]


def test_what_is_brought_grows_with_the_rate_and_a_count_is_told_as_counted() -> None:
    once, twice = honest_claims(2.0), honest_claims(4.0, 2e8)
    assert twice.brought[2].kg_m2 == pytest.approx(2.0 * once.brought[2].kg_m2)
    assert twice.organisms.pct == pytest.approx(4.0 * once.organisms.pct)
    assert "counted on this batch" in claim_rows(twice, "us")[3][1]
    assert "not counted" in claim_rows(once, "us")[3][1]


def test_none_seen_is_told_as_that_on_the_sheet_and_to_the_client() -> None:
    none = honest_claims(2.0, 0.0)
    assert "that is not none there" in claim_rows(none, "us")[3][1]
    assert "No bacteria were seen in what was looked through" in client_claims(none, "us")[1]


@pytest.mark.parametrize("system", ["us", "metric"])
def test_no_words_promise_or_certify(system: str) -> None:
    found = honest_claims(usual_rate_l_m2())
    said = " ".join((*claim_heads(found, system), *sum(claim_rows(found, system), ()), *claim_lines(found, system),  # type: ignore[arg-type]
                     *client_claims(found, system)))  # type: ignore[arg-type]
    assert "No trial with landscape trees has shown growth from it" in said
    assert not re.search(r"certif|feed|cure|boost|nutri|heal", said, re.IGNORECASE)


def test_the_clients_words_hold_the_figures() -> None:
    assert client_claims(honest_claims(2.24), "us") == (
        "The liquid holds very little: of nitrogen less than 0.2 % of what 1 in (2.5 cm) of compost holds.",
        "A usual topsoil already holds about 900 times as many bacteria as one treatment brings.",
        "No trial with landscape trees has shown growth from it.")


def test_the_trial_that_found_a_difference_is_told_too() -> None:
    said = " ".join(claim_lines(honest_claims(2.24), "us"))
    assert "did differ from water, in potassium, ammonium and respiration" in said
    assert "of growth that says nothing" in said


def test_every_source_is_named_once() -> None:
    sources = claim_sources(honest_claims(2.24))
    assert len(sources) == len(set(sources)) >= 5
    assert any("Scharenbroch and Watson 2014" in source for source in sources)
