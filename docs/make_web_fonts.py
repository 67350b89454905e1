"""Write the fonts of the app's pages from those of the report: `python docs/make_web_fonts.py`, some minutes.

The text face as it is, packed for browsers; the wide face in parts of 1,024 code points, so that a page with a name in
another script loads that script and no more.
"""

from __future__ import annotations

import io
from collections import defaultdict
from collections.abc import Iterable, Iterator
from pathlib import Path

from fontTools.ttLib import TTFont

from rootcase.report.lettering import font_bytes, wide_signs
from rootcase.report.wide_face import WIDE_FAMILY, wide_advances, wide_part

FONTS = Path(__file__).parents[1] / "src" / "rootcase" / "web" / "static" / "fonts"
PART = 1024


def main() -> None:
    for weight, name in ((400, "Regular"), (700, "Bold")):
        (FONTS / f"AtkinsonHyperlegibleNext-{name}.woff2").write_bytes(packed(font_bytes(weight)))
    rules = ["/* The wide face behind ours, in parts; a browser loads those whose signs stand on the page. */"]
    ours = TTFont(io.BytesIO(font_bytes(400))).getBestCmap()
    for start, signs in parts().items():
        (FONTS / "wide" / f"{start:05x}.woff2").write_bytes(packed(wide_part(signs)))
        codes = ", ".join(ranges(code for code in range(start, start + PART) if code not in ours))
        rules.append(f"@font-face {{ font-family: '{WIDE_FAMILY}'; src: url(wide/{start:05x}.woff2) format('woff2'); "
                     f"font-display: swap; unicode-range: {codes}; }}")
    (FONTS / "wide.css").write_text("\n".join(rules) + "\n", encoding="utf-8")


def parts() -> dict[int, str]:
    """The signs that only the wide face draws, by the code point their part begins with."""
    found: dict[int, str] = defaultdict(str)
    for sign in sorted(wide_signs("".join(wide_advances()))):
        found[ord(sign) // PART * PART] += sign
    return found


def ranges(codes: Iterable[int]) -> Iterator[str]:
    """Code points in order as ranges of CSS.

    >>> list(ranges([0x400, 0x401, 0x402, 0x408]))
    ['U+400-402', 'U+408']
    """
    start = last = -2
    for code in (*codes, -1):
        if code != last + 1:
            if start >= 0:
                yield f"U+{start:X}" if start == last else f"U+{start:X}-{last:X}"
            start = code
        last = code


def packed(ttf: bytes) -> bytes:
    font = TTFont(io.BytesIO(ttf), recalcTimestamp=False)
    font.flavor = "woff2"
    woff = io.BytesIO()
    font.save(woff)
    return woff.getvalue()


if __name__ == "__main__":
    main()
