"""A first-answer sheet as bytes: a line of JSON, then its tables as whole numbers, one after the other."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict, fields
from datetime import date
from types import MappingProxyType
from typing import Any

import numpy as np

from rootcase.records.first_answer import FirstSheet, FlareSeen, Kind, SheetAxes, TakeNext

FORM = 1
TABLES: Mapping[str, tuple[str, float]] = MappingProxyType({
    "observed": ("<i2", 0.001), "stopped": ("<i2", 0.02), "rod": ("<i2", 0.02), "unpushed": ("<i2", 0.02),
    "lime": ("<i2", 0.001), "salt": ("<i2", 0.001), "chances": ("<u1", 0.004), "left": ("<u1", 0.01),
    "next": ("<u1", 1.0)})
"""How each table is written: its whole numbers, and what one of them is worth."""


def packed(sheet: FirstSheet) -> bytes:
    """A sheet as it is sent to a phone.

    Parameters
    ----------
    sheet : the sheet.

    Returns
    -------
    One line of JSON, padded with spaces so that the tables begin at an even place, then the tables, little-endian.

    Raises
    ------
    Nothing.

    Notes
    -----
    What a number cannot hold is held at its end.

    References
    ----------
    None; the form is this program's own (computed).

    Examples
    --------
    >>> list(TABLES)[0], TABLES["chances"]
    ('observed', ('<u1', 0.004))
    """
    tables, parts, at = [], [], 0
    for name, (form, worth) in TABLES.items():
        values = getattr(sheet, name)
        held = np.iinfo(form)
        part = np.clip(np.rint(values / worth), held.min, held.max).astype(form).tobytes()
        tables.append({"name": name, "form": form[1:], "worth": worth, "shape": list(values.shape), "at": at})
        part += b"\0" * (len(part) % 2)
        parts.append(part)
        at += len(part)
    about = {each.name: getattr(sheet, each.name) for each in fields(FirstSheet) if each.name not in TABLES}
    about |= {"form": FORM, "made": sheet.made.isoformat(), "axes": asdict(sheet.axes),
              "kinds": [list(asdict(kind).values()) for kind in sheet.kinds],
              "flares": [asdict(flare) for flare in sheet.flares],
              "next_kinds": [asdict(each) for each in sheet.next_kinds], "tables": tables}
    line = json.dumps(about, ensure_ascii=False, separators=(",", ":")).encode()
    return line + b" " * ((len(line) + 1) % 2) + b"\n" + b"".join(parts)


def unpacked(sent: bytes) -> FirstSheet:
    """The sheet that was packed.

    Parameters
    ----------
    sent : as `packed` wrote it.

    Returns
    -------
    FirstSheet, its tables rounded as they were written.

    Raises
    ------
    ValueError : it is no such sheet.

    Notes
    -----
    None.

    References
    ----------
    None; the form is this program's own (computed).

    Examples
    --------
    >>> unpacked(b'{"form": 0}')
    Traceback (most recent call last):
    ValueError: not a first-answer sheet of form 1
    """
    line, _, body = sent.partition(b"\n")
    about: dict[str, Any] = json.loads(line)
    if about.pop("form") != FORM:
        raise ValueError(f"not a first-answer sheet of form {FORM}")
    tables = {}
    for each in about.pop("tables"):
        form = f"<{each['form']}"
        count = int(np.prod(each["shape"]))
        tables[each["name"]] = np.frombuffer(body, form, count, each["at"]).reshape(each["shape"]) * each["worth"]
    axes = SheetAxes(**{name: tuple(nodes) for name, nodes in about.pop("axes").items()})
    return FirstSheet(
        made=date.fromisoformat(about.pop("made")), axes=axes, kinds=tuple(Kind(*kind) for kind in about.pop("kinds")),
        flares=tuple(FlareSeen(**each) for each in about.pop("flares")), positions=tuple(about.pop("positions")),
        next_kinds=tuple(TakeNext(**each) for each in about.pop("next_kinds")), **about, **tables)
