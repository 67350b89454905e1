"""A laboratory's counts of what went out, held against their limits."""

from __future__ import annotations

from rootcase.casework.make.laboratory import over_the_limit
from tests.casework.make.test_batch import batch, found, told


def test_a_count_over_its_limit_is_told_with_both() -> None:
    assert over_the_limit(told("lab", 0, {"e_coli_per_100_ml": 126.0, "enterococci_per_100_ml": 33.0})) == ""
    assert over_the_limit(told("lab", 0, {"e_coli_per_100_ml": 127.0, "enterococci_per_100_ml": 34.0})) == (
        "E. coli 127 per 100 mL; limit 126; Enterococci 34 per 100 mL; limit 33")


def test_of_below_a_count_the_upper_bound_is_judged() -> None:
    assert over_the_limit(told("lab", 0, {"e_coli_per_100_ml": 1.0}, e_coli_sign="<")) == ""
    assert over_the_limit(told("lab", 0, {"e_coli_per_100_ml": 200.0}, e_coli_sign="<")) == (
        "E. coli <200 per 100 mL shows nothing of the limit 126: ask the laboratory for a lower detection limit")


def test_a_count_known_only_from_below_never_shows_the_limit_kept() -> None:
    assert over_the_limit(told("lab", 0, {"e_coli_per_100_ml": 100.0}, e_coli_sign=">")) == (
        "E. coli >100 per 100 mL shows nothing of the limit 126: have it counted again at a higher dilution")
    assert over_the_limit(told("lab", 0, {"e_coli_per_100_ml": 126.0}, e_coli_sign=">")) == (
        "E. coli >126 per 100 mL; limit 126")
    one = batch(told("lab", 61, {"enterococci_per_100_ml": 10.0}, enterococci_sign=">"))
    assert found(one).verdict == "refused"
