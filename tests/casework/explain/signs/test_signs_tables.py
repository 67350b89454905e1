"""The tables of signs hang together: kinds and choices of the catalogue, codes, chances, letters, words."""

from types import SimpleNamespace

import pytest

from rootcase.casework.explain.signs import web
from rootcase.casework.explain.signs.web import web_of
from rootcase.ground.errors import Missing
from rootcase.ground.words import catalogue
from rootcase.records.explain import LIMITS
from rootcase.science.inference.posterior import CHANCE_SOIL_ALONE
from rootcase.tables.load import table
from rootcase.tables.readings import kinds

CAUSES = {row["cause"]: row for row in table("explain/causes").rows}
SIGNS = table("explain/signs").rows
LINKS = table("explain/cause_signs").rows
HOSTS = table("explain/cause_hosts").rows
GENERA = sorted({row["genus"] for row in HOSTS})
LETTERS = {"D": (0.95, 0.02), "H": (0.6, 0.02), "M": (0.5, 0.08), "L": (0.4, 0.25)}
BY_THE_LETTER = {"D": "a look at the cause itself or its setting", "H": "of few other causes", "M": "shared with some",
                 "L": "shared with many"}


def codes(cell):
    return [code for code in cell.split("|") if code]


@pytest.mark.parametrize("row", SIGNS, ids=lambda row: f"{row['sign']}-{row['reading']}")
def test_a_sign_is_told_by_a_reading_of_the_catalogue(row):
    kind = kinds()[row["reading"]]
    present, absent = codes(row["present"]), codes(row["absent"])
    assert set(present) | set(absent) <= set(kind.choices)
    assert not set(present) & set(absent)
    assert present or row["present_from"] is not None
    for bound in (row["present_from"], row["absent_below"]):
        assert bound is None or kind.si_unit == "year" or kind.lower_hard <= bound <= kind.upper_hard
    if row["present_from"] is not None and row["absent_below"] is not None:
        assert row["absent_below"] <= row["present_from"]
    if row["year_reading"]:
        assert kinds()[row["year_reading"]].si_unit == "year"
        assert row["within_years"] > 0


def test_every_chance_is_one_and_no_sign_is_sure():
    assert all(0 < row["leak"] <= 0.5 for row in SIGNS)
    assert all(0 < row["weight"] < 1 for row in LINKS)
    assert all(0 < row[name] < 1 for row in CAUSES.values() for name in ("prior", "takes_growth"))
    assert all(0 < row["prior"] < 1 for row in HOSTS)
    leaks = {}
    for row in SIGNS:
        assert leaks.setdefault(row["sign"], row["leak"]) == row["leak"], row["sign"]


def test_a_link_to_a_sign_nobody_knows_is_named(monkeypatch):
    links = SimpleNamespace(rows=({"cause": "age", "sign": "grey_hair", "weight": 0.5},))
    monkeypatch.setattr(web, "table", lambda name: links if name == "explain/cause_signs" else table(name))
    with pytest.raises(Missing, match="age, grey_hair"):
        web_of("", [0.2] * len(LIMITS))


def test_codes_are_those_of_the_other_tables():
    signs = {row["sign"] for row in SIGNS}
    assert {row["sign"] for row in LINKS} == signs
    assert {row["cause"] for row in LINKS} - set(LIMITS) == set(CAUSES)
    assert len({(row["cause"], row["sign"]) for row in LINKS}) == len(LINKS)
    assert {row["cause"] for row in HOSTS} <= set(CAUSES)
    assert {code for row in CAUSES.values() for code in codes(row["may_follow"])} <= set(CAUSES) | {"soil"}


@pytest.mark.parametrize("cause", CAUSES)
def test_the_first_look_tells_a_sign_of_its_cause(cause):
    told = {row["sign"] for row in SIGNS if row["reading"] == CAUSES[cause]["first_look"]}
    assert told & {row["sign"] for row in LINKS if row["cause"] == cause}


def test_weights_follow_their_letter_unless_the_row_says_why_not():
    for row in LINKS:
        by_rule = row["source"] == BY_THE_LETTER[row["letter"]]
        assert not by_rule or row["weight"] == LETTERS[row["letter"]][0], (row["cause"], row["sign"])


def test_leaks_follow_the_strongest_letter_or_lie_near_it():
    """A leak that is not its letter's is a number of its own; none is further off than a setting's."""
    for row in SIGNS:
        strongest = min("DHML".index(link["letter"]) for link in LINKS if link["sign"] == row["sign"])
        rule = LETTERS["DHML"[strongest]][1]
        assert row["leak"] == rule or abs(row["leak"] - rule) <= 0.25, row["sign"]


def test_everything_has_its_words():
    words = catalogue("en")
    wanted = [f"signs.cause.{cause}" for cause in CAUSES] + [f"signs.mind.{cause}" for cause in CAUSES]
    wanted += [f"signs.sign.{row['sign']}" for row in SIGNS]
    wanted += [f"report.next.season.{kinds()[row['reading']].season}" for row in SIGNS]
    assert [key for key in wanted if key not in words] == []


@pytest.mark.parametrize("genus", ["", "Quercus", *GENERA])
def test_a_host_moves_doubt_between_causes_and_makes_none(genus):
    found = web_of(f"{genus} sp.", [0.2] * len(LIMITS))
    listed = 1.0 - found.network.priors[:len(found.causes)] * found.takes_growth
    assert found.unlisted > 0.0
    assert (1.0 - found.unlisted) * listed.prod() == pytest.approx(CHANCE_SOIL_ALONE, abs=1e-12)
