"""The second step, against the figures of the standards."""

from __future__ import annotations

from base64 import b32encode
from datetime import UTC, datetime, timedelta

import pytest

from rootcase.fieldbook.people.totp import code_of, fitting_step, new_secret, step_at
from tests.fieldbook.people.chance import chance

SECRET = b32encode(b"12345678901234567890").decode()
NOW = datetime(2016, 1, 15, 12, tzinfo=UTC)


@pytest.mark.published
@pytest.mark.parametrize(("counter", "code"), list(enumerate((
    "755224", "287082", "359152", "969429", "338314", "254676", "287922", "162583", "399871", "520489"))))
def test_codes_by_counter(counter: int, code: str) -> None:
    """M'Raihi and others (2005), RFC 4226, appendix D (memory)."""
    assert code_of(SECRET, counter) == code


@pytest.mark.published
@pytest.mark.parametrize(("second", "code"), [
    (59, "94287082"), (1111111109, "07081804"), (1111111111, "14050471"), (1234567890, "89005924"),
    (2000000000, "69279037"), (20000000000, "65353130")])
def test_codes_by_time(second: int, code: str) -> None:
    """M'Raihi and others (2011), RFC 6238, appendix B, the rows of SHA-1 (memory). They have eight figures; six are
    their last six, being the same number modulo a power of ten."""
    assert code_of(SECRET, step_at(datetime.fromtimestamp(second, UTC))) == code[-6:]


@pytest.mark.parametrize(("seconds", "fits"), [(-60, False), (-30, True), (0, True), (30, True), (60, False)])
def test_a_code_fits_its_own_half_minute_and_the_two_beside(seconds: int, fits: bool) -> None:
    code = code_of(SECRET, step_at(NOW + timedelta(seconds=seconds)))
    assert (fitting_step(SECRET, code, NOW, 0) is not None) is fits


def test_a_code_that_was_used_or_passed_does_not_fit_again() -> None:
    here = step_at(NOW)
    assert fitting_step(SECRET, code_of(SECRET, here), NOW, here - 1) == here
    assert fitting_step(SECRET, code_of(SECRET, here), NOW, here) is None
    assert fitting_step(SECRET, code_of(SECRET, here - 1), NOW, here) is None
    assert fitting_step(SECRET, code_of(SECRET, here + 1), NOW, here) == here + 1


@pytest.mark.parametrize("typed", ["", "12345", "1234567", "abcdef", "１２３４５６", "-12345", "1e5"])
def test_what_is_no_code_does_not_fit(typed: str) -> None:
    assert fitting_step(SECRET, typed, NOW, 0) is None


def test_a_code_may_be_typed_in_groups() -> None:
    code = code_of(SECRET, step_at(NOW))
    assert fitting_step(SECRET, f" {code[:3]} {code[3:]} ", NOW, 0) == step_at(NOW)


def test_a_secret_has_160_bits_and_each_is_its_own() -> None:
    random_bytes = chance(1)
    secrets = {new_secret(random_bytes) for _ in range(20)}
    assert len(secrets) == 20
    assert {len(secret) for secret in secrets} == {32}
