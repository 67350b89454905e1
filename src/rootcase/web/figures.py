"""The way from a figure on a page to what it was made of."""

from __future__ import annotations

from urllib.parse import quote

from rootcase.report.text.statements import of_tree

_NAMES = {"share": "share", "rootable": "rootable", "measure": "measure.{}", "limit": "limit.{}"}


def trace_url(property_id: str, figure: str) -> str:
    """The page that tells where a figure comes from.

    figure: what it is, of which tree, and of which limit or measure: "share:t4", "limit:t4:water"; "cost" of the whole
    property.
    """
    kind, _, rest = figure.partition(":")
    tree, _, part = rest.partition(":")
    name = of_tree(tree, _NAMES[kind].format(part)) if tree else f"property/{kind}"
    return figure_url(property_id, name)


def choice_url(property_id: str, tree_id: str, remedy: str) -> str:
    """The same of what a choice at a tree gains, costs and takes; of leaving it alone, what is expected then."""
    return figure_url(property_id, of_tree(tree_id, "future" if remedy == "nothing" else f"remedy.{remedy}"))


def figure_url(property_id: str, name: str) -> str:
    """The same of a result by the name it has in the report's ledger: "t4/limit.water"."""
    return f"/properties/{property_id}/figures/{quote(name)}"
