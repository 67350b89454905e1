"""The name results carry: it changes whenever the same inputs may give another answer."""

from __future__ import annotations

ENGINE = "four-layer day 3"
