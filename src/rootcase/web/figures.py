"""The way from a figure on a page to what it was made of."""

from __future__ import annotations

from urllib.parse import quote

from rootcase.report.text.statements import of_tree

_NAMES = {"share": "share", "predicted": "predicted", "limit": "limit.{}", "remainder": "unexplained",
          "signs": "signs", "beside": "beside", "rootable": "rootable", "gain": "remedy.{}", "cost": "remedy.{}",
          "dose": "remedy.{}", "future": "future", "measure": "measure.{}", "water": "limit.water"}


def trace_url(property_id: str, figure: str) -> str:
    """The page that tells where a figure comes from.

    figure: what it is, of which tree, and of which limit, remedy or measure: "share:t4", "limit:t4:water",
    "gain:t4:mulch"; "cost" and "shares" of the whole property; "reading:<id>" is the reading's own page.
    """
    kind, _, rest = figure.partition(":")
    if kind == "reading":
        return f"/readings/{quote(rest)}"
    tree, _, part = rest.partition(":")
    name = of_tree(tree, _NAMES[kind].format(part)) if tree else f"property/{kind}"
    return figure_url(property_id, name)


def figure_url(property_id: str, name: str) -> str:
    """The same of a result by the name it has in the report's ledger: "t4/limit.water"."""
    return f"/properties/{property_id}/figures/{quote(name)}"
