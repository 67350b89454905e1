"""Passwords: what is kept tells how it was made, and nobody learns by the time which logins there are."""

from __future__ import annotations

import pytest
from argon2 import PasswordHasher

from rootcase.fieldbook.people.password import hashed, is_password, made_otherwise, require_password
from rootcase.ground.errors import UnreadableValue

PASSWORD = "roots under the lawn"


@pytest.mark.published
def test_the_parameters_are_the_second_recommended_option() -> None:
    """Biryukov and others (2021), RFC 9106, section 4: Argon2id, t = 3, p = 4, m = 2^16 KiB, salt 128, tag 256 bits."""
    _, kind, version, parameters, salt, tag = hashed(PASSWORD).split("$")
    assert (kind, version, parameters) == ("argon2id", "v=19", "m=65536,t=3,p=4")
    assert (len(salt), len(tag)) == (22, 43), "128 and 256 bits in base64"


def test_a_password_is_right_or_wrong() -> None:
    kept = hashed(PASSWORD)
    assert is_password(kept, PASSWORD)
    assert not is_password(kept, PASSWORD.upper())
    assert not is_password(kept, "")
    assert not is_password(None, PASSWORD)
    assert not is_password(None, ""), "nobody's password is nobody's"
    assert not is_password("spoilt", PASSWORD)


def test_one_password_typed_on_two_keyboards_is_one() -> None:
    assert is_password(hashed("grüner Baum im Park"), "gru\u0308ner Baum im Park")


def test_older_parameters_are_noticed() -> None:
    assert not made_otherwise(hashed(PASSWORD))
    assert made_otherwise(PasswordHasher(time_cost=2, memory_cost=2**14).hash(PASSWORD))


def test_a_lone_surrogate_does_not_break_it() -> None:
    odd = "\ud800 and eleven more"
    assert is_password(hashed(odd), odd)


@pytest.mark.parametrize("typed", ["", "eleven sign", "x" * 201])
def test_a_password_of_the_wrong_length_is_refused_without_being_said(typed: str) -> None:
    with pytest.raises(UnreadableValue, match="12 to 200 signs") as refused:
        require_password(typed, ())
    assert not typed or typed not in str(refused.value)


@pytest.mark.parametrize("typed", [
    "twelve signs", "correct horse battery staple", "a lawn for Kim's dog", "密码在老橡树下面的石头那里",
    "kX7!pQ2#vL9z",
    "password of the old well", "1234 sheep by the gate", PASSWORD])
def test_any_signs_will_do(typed: str) -> None:
    require_password(typed, ("kim1", "Kim Elder", "Alder Care"))


@pytest.mark.parametrize("typed", [
    "password1234", "P@ssw0rd!2026", "PASSWORDPASSWORD", "qwertyuiop12", "1qaz2wsx3edc", "abcabcabcabc", "aaaaaaaaaaaa",
    "............", "123456789012", "210987654321", "zyxwvutsrqpo", "welcome-2026!", "oak tree root", "letmeinletmein",
    "kim.elder2026", "AlderCare2026", "kim@example.org", "Kim.Elder@Kim1", "password1\u2460234", "summersummer26"])
def test_what_is_tried_first_is_refused_without_being_said(typed: str) -> None:
    """NIST SP 800-63B-4 (2025), section 3.1.1.2; each of these passes the rule of length."""
    with pytest.raises(UnreadableValue, match="first that are tried") as refused:
        require_password(typed, ("kim@example.org", "Kim Elder", "Alder Care", "kim1"))
    assert typed not in str(refused.value)
