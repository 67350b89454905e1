"""Passwords that cost next to nothing to hash, for tests of what is done with them; test_password has true ones."""

from __future__ import annotations

import pytest
from argon2 import PasswordHasher

from rootcase.fieldbook.people import password


@pytest.fixture(autouse=True)
def quick_passwords(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(password, "_HASHER", PasswordHasher(time_cost=1, memory_cost=8, parallelism=1))
