"""A practice's file, and its fieldbook opened."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from rootcase.fieldbook.fieldbook import Fieldbook
from tests.fieldbook.making.batch_world import Yard


@pytest.fixture
def yard(tmp_path: Path) -> Yard:
    return Yard(tmp_path / "book.sqlite")


@pytest.fixture
def book(yard: Yard) -> Iterator[Fieldbook]:
    with yard.open() as opened:
        yield opened
