"""The catalogue says what is asked, or which key, field or language is missing."""

from __future__ import annotations

import pytest

from rootcase.ground import words
from rootcase.ground.errors import Missing
from rootcase.ground.words import catalogue, language, say


def test_the_fields_are_filled_in() -> None:
    assert say("dates.shown", day=4, month="November", year=2015) == "4 November 2015"


def test_a_missing_key_is_named() -> None:
    with pytest.raises(Missing, match=r"words/en: no words under this key \(got dates.nothing\)"):
        say("dates.nothing")


def test_a_missing_field_is_named() -> None:
    with pytest.raises(Missing, match=r"dates.shown: the words need a field .*\(got month\)"):
        say("dates.shown", day=4, year=2015)


def test_a_missing_language_is_named_and_the_one_spoken_stays() -> None:
    with pytest.raises(Missing, match=r"no words in this language \(got xx\); write the files of words/xx/"):
        with language("xx"):
            pass
    assert say("typed.equal") == "="


def test_a_language_is_spoken_inside_its_block_only(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(words, "catalogue", lambda code: {"who": f"speaks {code}"})
    with language("fr"):
        assert say("who") == "speaks fr"
        with language("de"):
            assert say("who") == "speaks de"
        assert say("who") == "speaks fr"
    assert say("who") == "speaks en"


def test_the_catalogue_cannot_be_changed() -> None:
    with pytest.raises(TypeError, match="does not support item assignment"):
        catalogue("en")["typed.equal"] = "is"  # type: ignore[index]
