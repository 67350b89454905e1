"""In the tests of the store each new file goes through the migrations."""

import pytest

from rootcase.fieldbook.store import store


@pytest.fixture(autouse=True)
def each_migrates(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(store, "_migrate", store._migrate.__wrapped__)  # type: ignore[attr-defined]
