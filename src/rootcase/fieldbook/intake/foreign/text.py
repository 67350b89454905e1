"""Tables in plain text: which encoding, which separator, which cells. What was decided is told."""

from __future__ import annotations

import codecs
import csv
import io
import itertools
from collections import Counter
from collections.abc import Sequence

from rootcase.fieldbook.intake.foreign.limits import COLUMNS, FILE_BYTES, ROWS, Refusal

Told = list[tuple[str, dict[str, str]]]

SEPARATORS = {"\t": "tabs", ";": "semicolons", "|": "bars", ",": "commas"}
"""Where two fit alike the first is taken: a comma that stands in every row may be a decimal comma."""

_SAMPLE_SIGNS = 100_000
_SAMPLE_ROWS = 300
_NEARLY = 0.9
"""A separator that does this share of the best one's work fits alike."""

_MARKS = ((codecs.BOM_UTF8, "utf-8", "UTF-8"), (codecs.BOM_UTF16_LE, "utf-16-le", "UTF-16"),
          (codecs.BOM_UTF16_BE, "utf-16-be", "UTF-16"))
_SIGNS_OF_TEXT = frozenset("‘’“”–—…•«»°½¼¾±µ×²³")
_PLAINLY = 2
"""A sign that fits against one that does not."""


def table(raw: bytes) -> tuple[list[list[str]], Told]:
    """Rows of cells, and what was decided on the way."""
    text, encoding = decoded(raw)
    first, _, rest = text.partition("\n")
    named = first.strip().strip('"').lower()
    if named.startswith("sep=") and len(named) <= 5:  # a tab is stripped
        separator, text = named[4:] or "\t", rest
        if separator in "\r\n\"'":
            raise Refusal("intake.not_text", "intake.right_file")
    else:
        separator = separator_of(text)
    told: Told = [("fence.read_as", {"encoding": encoding, "separator": SEPARATORS.get(separator, f'"{separator}"')})]
    rows = _rows(text, separator, told)
    if len(rows) > ROWS:
        raise Refusal("fence.many_rows", "fence.right_split", f"{len(rows):,}", most=f"{ROWS:,}")
    width = max(map(len, rows), default=0)
    if width > COLUMNS:
        raise Refusal("fence.many_columns", "fence.right_split", f"{width:,}", most=COLUMNS)
    return rows, told


def decoded(raw: bytes) -> tuple[str, str]:
    """The text and the encoding's name; Refusal where it is none.

    >>> decoded("chêne 3½".encode("cp1252")), decoded("chêne à 20°".encode("mac_roman"))[1]
    (('chêne 3½', 'Windows-1252'), 'Mac Roman')
    """
    for mark, codec, name in _MARKS:
        if raw.startswith(mark):
            return _strictly(raw[len(mark):], codec), name
    sample = raw[:4096]
    zeros = sample[0::2].count(0), sample[1::2].count(0)
    if sum(zeros) * 4 > len(sample):
        return _strictly(raw, "utf-16-le" if zeros[1] > zeros[0] else "utf-16-be"), "UTF-16"
    try:
        return _sound(raw.decode("utf-8")), "UTF-8"
    except UnicodeDecodeError:
        return _one_byte_a_sign(raw)


def _strictly(raw: bytes, codec: str) -> str:
    try:
        return _sound(raw.decode(codec))
    except UnicodeDecodeError:
        raise Refusal("intake.not_text", "intake.right_file") from None


def _sound(text: str) -> str:
    """The text, if it is not full of signs that no keyboard writes."""
    controls = sum(text.count(chr(code)) for code in range(32) if chr(code) not in "\t\n\v\f\r")
    if "\x00" in text or controls * 100 > len(text):
        raise Refusal("intake.not_text", "intake.right_file")
    return text


def _one_byte_a_sign(raw: bytes) -> tuple[str, str]:
    """Windows-1252, of which printable Latin-1 is a part; Mac Roman where its signs stand plainly better."""
    apple = raw.decode("mac_roman")
    fits = _fit(apple)
    try:
        windows = raw.decode("cp1252")
    except UnicodeDecodeError:  # five of its bytes mean nothing
        if fits > 0:
            return _sound(apple), "Mac Roman"
        raise Refusal("intake.not_text", "intake.right_file") from None
    if fits >= _fit(windows) + _PLAINLY:
        return _sound(apple), "Mac Roman"
    return _sound(windows), "Windows-1252"


def _fit(text: str) -> int:
    """How many signs beyond ASCII stand as people write them, less those that do not."""
    padded = f" {text} "
    return sum(_fits(padded[at - 1], sign, padded[at + 1]) for at, sign in enumerate(padded) if sign > "\x7f")


def _fits(before: str, sign: str, after: str) -> int:
    if sign in _SIGNS_OF_TEXT:
        return 1
    if not sign.isalpha():
        return 0 if sign == "\xa0" else -1
    if not any(beside.isascii() and beside.isalpha() for beside in (before, after)):
        return -1
    # No capital behind a small letter, no small letter before a capital.
    return -1 if (before.islower() if sign.isupper() else after.isupper()) else 1


def separator_of(text: str) -> str:
    """What parts the columns, judged by many rows: titles above a table say nothing.

    >>> separator_of("Our trees, 2015\\ntree;dbh\\noak;3,5\\nelm;4,2\\nash;14\\n")
    ';'
    """
    sample = text[:_SAMPLE_SIGNS]
    works = {separator: _works(sample, separator) for separator in SEPARATORS}
    best = max(share for share, _ in works.values())
    if not best:
        return ","
    alike = [separator for separator, (share, _) in works.items() if share >= _NEARLY * best]
    first = alike[0]
    # Decimal commas make at most one cell more than there are; true commas beside a sign of the notes make many.
    return "," if "," in alike and works[","][1] > works[first][1] + 1 else first


def _works(sample: str, separator: str) -> tuple[float, int]:
    """Share of the rows that have the most frequent width above one, less where quotes break; and that width."""
    reader = csv.reader(io.StringIO(sample, newline=""), delimiter=separator)
    rows = [row for row in itertools.islice(reader, _SAMPLE_ROWS) if any(row)]
    widths = Counter(len(row) for row in rows if len(row) > 1)
    if not widths:
        return 0.0, 1
    width, count = max(widths.items(), key=lambda pair: (pair[1], pair[0]))
    torn = sum(any(cell.count('"') % 2 for cell in row) for row in rows) / len(rows)
    return count / len(rows) * (1 - torn / 2), width


def _rows(text: str, separator: str, told: Told) -> list[list[str]]:
    """The cells, each on one line; a quotation mark that is never closed does not swallow the rows below it."""
    csv.field_size_limit(FILE_BYTES)
    lines = list(io.StringIO(text, newline=""))
    reader = csv.reader(lines, delimiter=separator)
    rows, starts = [], [0]
    for row in reader:
        rows.append(row)
        starts.append(reader.line_num)
    last = lines[starts[-2]:] if rows else []
    if len(last) > 1 and sum(line.count('"') for line in last) % 2:
        rows[-1:] = csv.reader(last, delimiter=separator, quoting=csv.QUOTE_NONE)
        told.append(("fence.open_quote", {"row": str(len(starts) - 1)}))
    return [_one_line(row) for row in rows]


def _one_line(row: Sequence[str]) -> list[str]:
    return [" ".join(cell.split()) for cell in row]
