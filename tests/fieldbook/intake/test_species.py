"""Names of trees as people write them: taken where they are sure, asked about where they are not."""

from __future__ import annotations

import random
from string import ascii_lowercase

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.fieldbook.intake import species
from rootcase.fieldbook.intake.species import are_apart, doubts_of, names_no_kind, resolve, said_of
from rootcase.tables.load import Row, table

ROWS = table("observe/tree_names").rows
OF_TWO_KINDS = {"Quercus prinus"}
"""A name that botanists gave up, as it had been used of both."""


def names_of(row: Row) -> list[str]:
    return [row["botanical_name"], *filter(None, f"{row['common_names']}|{row['synonyms']}".split("|"))]


@pytest.mark.parametrize(("typed", "kind", "how"), [
    ("Quercus rubra L.", "Quercus rubra", "accepted"), ("QUERCUS RUBRA", "Quercus rubra", "accepted"),
    ("Q. rubra", "Quercus rubra", "accepted"), ("Picea abies (L.) H. Karst.", "Picea abies", "accepted"),
    ("Thuja plicata Donn ex D.Don", "Thuja plicata", "accepted"), ("Acer freemanii", "Acer x freemanii", "accepted"),
    ("Acer × freemanii", "Acer x freemanii", "accepted"), ("Acer x freemanii", "Acer x freemanii", "accepted"),
    ("Gleditsia triacanthos var. inermis", "Gleditsia triacanthos", "accepted"),
    ("Acer saccharum ssp. nigrum", "Acer nigrum", "synonym"),
    ("Sophora japonica", "Styphnolobium japonicum", "synonym"),
    ("×Cupressocyparis leylandii", "Cupressus x leylandii", "synonym"),
    ("Platanus hispanica", "Platanus x acerifolia", "synonym"),
    ("Maple, Red", "Acer rubrum", "common"), ("red maple", "Acer rubrum", "common"),
    ("Red Maples", "Acer rubrum", "common"),
    ("Oak - Pin", "Quercus palustris", "common"), ("Pine, White, Eastern", "Pinus strobus", "common"),
    ("Kentucky coffee tree", "Gymnocladus dioicus", "common"), ("gray birch", "Betula populifolia", "common"),
    ("Red Maple (Acer rubrum)", "Acer rubrum", "accepted"), ("Oak (Quercus rubra)", "Quercus rubra", "accepted"),
    ("red oak (Quercus rubra)", "Quercus rubra", "accepted"), ("Ash, green, dead", "Fraxinus pennsylvanica", "common"),
    ("Acer sp.", "Acer sp.", "genus"), ("ACER SPP", "Acer sp.", "genus"), ("Quercus", "Quercus sp.", "genus"),
    ("oak", "Quercus sp.", "genus"), ("Birches", "Betula sp.", "genus"), ("dead ash", "Fraxinus sp.", "genus"),
    ("linden", "Tilia sp.", "genus"), ("plane", "Platanus sp.", "genus"),
])
def test_a_name_of_one_kind_is_taken(typed: str, kind: str, how: str) -> None:
    named = resolve(typed)
    assert (named.typed, named.botanical, named.how, named.candidates) == (typed, kind, how, ())


@pytest.mark.parametrize(("typed", "kind", "cultivar"), [
    ("Acer rubrum 'October Glory'", "Acer rubrum", "October Glory"),
    ("Acer rubrum October Glory", "Acer rubrum", "October Glory"),
    ('Red Maple "Autumn Blaze"', "Acer rubrum", "Autumn Blaze"), ("Ulmus 'Morton'", "Ulmus sp.", "Morton"),
    ("Maple, Norway ‘Crimson King’", "Acer platanoides", "Crimson King"),
    ("Platanus x acerifolia cv. Bloodgood", "Platanus x acerifolia", "Bloodgood"),
    ("Acer saccharum Marshall", "Acer saccharum", ""), ("Prunus serotina Ehrh.", "Prunus serotina", ""),
    ("Pere David's maple", "Acer davidii", ""), ("ACER RUBRUM MULTI STEM", "Acer rubrum", ""),
])
def test_a_cultivar_is_parted_from_its_kind_and_an_author_is_none(typed: str, kind: str, cultivar: str) -> None:
    named = resolve(typed)
    assert (named.botanical, named.cultivar) == (kind, cultivar)


@pytest.mark.parametrize(("typed", "candidates"), [
    ("sycamore", ("Acer pseudoplatanus", "Platanus occidentalis")), ("lime", ("Citrus x aurantiifolia", "Tilia sp.")),
    ("live oak", ("Quercus agrifolia", "Quercus chrysolepis", "Quercus virginiana")),
    ("red oak", ("Quercus falcata", "Quercus rubra")), ("A. rubrum", ("Acer rubrum",)), ("ACRU", ("Acer rubrum",)),
    ("ACSA2", ("Acer saccharinum", "Acer saccharum")), ("TILCOR", ("Tilia cordata",)),
    ("Quercus pallustris", ("Quercus palustris",)), ("silver mapel", ("Acer saccharinum",)),
    ("Acer sacharum", ("Acer saccharum", "Acer saccharinum")), ("Mapel", ("Acer sp.",)),
    ("Querqus sp.", ("Quercus sp.",)),
    ("Bowhall red maple", ("Acer rubrum",)), ("Red maple (Acer saccharum)", ("Acer rubrum", "Acer saccharum")),
    ("Quercus rubra / Quercus alba", ("Quercus rubra", "Quercus alba")), ("Quercus rubra?", ("Quercus rubra",)),
    ("Fraxinus excelsior/ornus", ("Fraxinus excelsior",)), ("Quercus prinus", ("Quercus michauxii", "Quercus montana")),
])
def test_a_name_that_is_not_sure_is_asked_about(typed: str, candidates: tuple[str, ...]) -> None:
    named = resolve(typed)
    assert (named.botanical, named.candidates) == (None, candidates)
    assert all(candidate in doubts_of(typed)[0] for candidate in candidates)


@pytest.mark.parametrize("typed", ["unknown", "Dead", "Vacant site", "STUMP", "planting space", "Unknown sp.", "12"])
def test_what_names_no_kind_has_no_candidate(typed: str) -> None:
    assert (resolve(typed).how, resolve(typed).candidates, names_no_kind(typed)) == ("unknown", (), True)
    assert typed in said_of(resolve(typed))


@pytest.mark.parametrize("typed", ["Quercus hartwissiana", "Pterocarya stenoptera"])
def test_a_name_that_is_none_of_ours_is_left_alone(typed: str) -> None:
    assert (resolve(typed).how, doubts_of(typed), names_no_kind(typed)) == ("unknown", (), False)
    assert typed in said_of(resolve(typed))


def test_how_a_name_was_read_and_what_our_tables_know_is_said() -> None:
    typed = ("Acer rubrum", "Maple, red 'Bowhall'", "Quercus phellos", "Davidia involucrata")
    assert [said_of(resolve(each)) for each in typed] == [
        "", "\"Maple, red 'Bowhall'\" is read as Acer rubrum, cultivar Bowhall",
        "Quercus phellos is known by name; what else our tables say is of its genus",
        "Davidia involucrata is known by name; nothing more about it stands in our tables"]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["botanical_name"])
def test_a_right_name_never_gives_a_doubt(row: Row) -> None:
    for name in (row["botanical_name"], *(set(filter(None, row["synonyms"].split("|"))) - OF_TWO_KINDS)):
        for typed in (name, name.upper(), name.lower(), f"  {name} ", name.replace(" x ", " × ")):
            assert (resolve(typed).botanical, doubts_of(typed)) == (row["botanical_name"], ())
    for name in row["common_names"].split("|"):
        named = resolve(name)
        assert row["botanical_name"] in (named.botanical, *named.candidates)


def test_slips_of_one_or_two_letters_leave_the_kind_among_the_candidates(long: bool) -> None:
    rng = random.Random(5)
    names = [(name, row["botanical_name"]) for row in ROWS for name in names_of(row) if len(name) >= 8]
    tries = [(slipped(slipped(name, rng), rng) if twice else slipped(name, rng), kind)
             for name, kind in names for twice in (False, True) for _ in range(20 if long else 1)]
    found = sum(kind in (resolve(typed).botanical, *resolve(typed).candidates) for typed, kind in tries)
    assert found / len(tries) >= 0.95


def slipped(name: str, rng: random.Random) -> str:
    """A name with a letter lost, added, changed or swapped with its neighbour."""
    at, letter = rng.randrange(len(name) - 1), rng.choice(ascii_lowercase)
    return rng.choice([name[:at] + name[at + 1:], name[:at] + letter + name[at:], name[:at] + letter + name[at + 1:],
                       name[:at] + name[at + 1] + name[at] + name[at + 2:]])


def test_names_of_other_kinds_are_seldom_taken_for_slips_of_ours(monkeypatch: pytest.MonkeyPatch) -> None:
    """A tenth of the kinds is held out ten times over; what is said of their names is counted."""
    names, near, taken = 0, 0, 0
    for tenth in range(10):
        out = [row for row in ROWS[tenth::10] if not row["botanical_name"].endswith(" sp.")]
        left = [row for row in ROWS if row not in out]
        still = {name.casefold() for row in left for name in names_of(row)}
        with monkeypatch.context() as patch:
            patch.setattr(species, "table", lambda _, rows=left: Shortened(rows))
            forget()
            for name in (name for row in out for name in names_of(row) if name.casefold() not in still):
                named = resolve(name)
                names += 1
                near += any(not kind.endswith(" sp.") for kind in named.candidates)
                # A subspecies of a kind we do not name is still of its species.
                taken += not (named.botanical or " sp.").endswith(" sp.") and named.how != "accepted"
        forget()
    assert names > 1000
    assert near / names < 0.07
    assert taken / names < 0.005


class Shortened:
    """A table with some of its rows."""

    def __init__(self, rows: list[Row]) -> None:
        self.rows = rows


def forget() -> None:
    for each in (species._names, species._spelling, species._confused, resolve):
        each.cache_clear()


@given(st.text(max_size=60))
def test_no_text_is_too_odd(typed: str) -> None:
    named = resolve(typed)
    assert named.typed == typed
    assert not (named.botanical and named.candidates)
    assert (named.how == "unknown") == (named.botanical is None and not named.candidates)


def test_the_table_of_names_holds_the_table_of_species() -> None:
    for row in table("species").rows:
        names = filter(None, (row["botanical_name"], row["synonym"], row["common_name"]))
        assert {resolve(name).botanical for name in names} == {row["botanical_name"]}


def test_the_table_of_names_is_one_kind_a_row() -> None:
    kinds = [row["botanical_name"] for row in ROWS]
    synonyms = [name for row in ROWS for name in row["synonyms"].split("|") if name]
    assert {name for name in synonyms if synonyms.count(name) > 1} == OF_TWO_KINDS
    assert len(set(kinds)) == len(kinds)
    assert set(kinds).isdisjoint(synonyms)
    assert all(row["botanical_name"].removeprefix("x ").split()[0] == row["genus"] for row in ROWS)
    assert sum(not kind.endswith(" sp.") for kind in kinds) >= 250


def test_a_text_longer_than_any_name_is_none() -> None:
    typed = "red maple, " * 20
    assert resolve(typed) == species.Named(typed, None, "", "unknown")
    assert resolve(typed[:100]).botanical == "Acer rubrum"


@pytest.mark.parametrize("typed", ["Ahorn", "Buche"])
def test_a_short_word_with_another_first_letter_is_not_taken_for_a_slip(typed: str) -> None:
    assert resolve(typed).candidates == ()


def test_names_of_one_tree_are_apart_where_no_kind_has_both() -> None:
    assert are_apart("Acer rubrum", "Norway maple")
    assert not any(are_apart(*pair) for pair in (
        ("Acer rubrum", "maple"), ("Platanus occidentalis", "sycamore"), ("Acer rubrum", "the tall one"),
        ("Acer rubrun", "pin oak"), ("", "pin oak")))
