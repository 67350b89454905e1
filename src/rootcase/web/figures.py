"""The way from a figure on a page to what it was made of."""

from __future__ import annotations

from urllib.parse import quote

from rootcase.report.text.statements import of_tree


def trace_url(property_id: str, figure: str) -> str:
    """The page that tells where a figure comes from.

    figure: what it is and of which tree, "share:t4"; of the whole property what it is alone, "cost".
    """
    kind, _, tree = figure.partition(":")
    return figure_url(property_id, of_tree(tree or "property", kind))


def choice_url(property_id: str, tree_id: str, remedy: str) -> str:
    """The same of what a choice at a tree gains, costs and takes; of leaving it alone, what is expected then."""
    return figure_url(property_id, of_tree(tree_id, "future" if remedy == "nothing" else f"remedy.{remedy}"))


def figure_url(property_id: str, name: str) -> str:
    """The same of a result by the name it has in the report's ledger: "t4/limit.water"."""
    return f"/properties/{property_id}/figures/{quote(name)}"
