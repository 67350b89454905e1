"""How the files of the invented practice are read, and the clock by which they are told."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from datetime import UTC, datetime
from importlib.resources import files
from importlib.resources.abc import Traversable
from zoneinfo import ZoneInfo

from rootcase.ground.errors import UnreadableValue


@dataclass
class Clock:
    """Says the moment that the files have come to."""

    at: datetime

    def __call__(self) -> datetime:
        return self.at


def packaged(*name: str) -> Traversable:
    """A file or folder of the demonstration."""
    return files("rootcase.services").joinpath("demo", *name)


def rows_of(name: str) -> list[dict[str, str]]:
    return list(csv.DictReader(packaged("yard", f"{name}.csv").read_text(encoding="utf-8").splitlines()))


def cells_of(name: str) -> dict[str, str]:
    return {row["key"]: row["value"] for row in rows_of(name)}


def pairs_of(text: str) -> dict[str, str]:
    """What stands in one cell as name=value; name=value.

    >>> pairs_of("name=truck 1; tank=300 gal")
    {'name': 'truck 1', 'tank': '300 gal'}
    """
    return dict(pair.strip().split("=", 1) for pair in text.split(";") if pair.strip())


def moment_of(text: str, place: ZoneInfo) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=place).astimezone(UTC)


def require(wrong: object) -> None:
    """The files fit the doors."""
    if wrong:
        raise UnreadableValue(str(wrong))
