"""Every page there is, by its route: how it is reached, or why there is nothing to look at.

A new page gets a line here, or test_every_page_is_looked_at names it.
"""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Known:
    """A desk that answers, and what is in it."""

    address: str
    ids: dict[str, str] = field(default_factory=dict)
    cookie: str = ""
    """Who is signed in; nobody where it is empty."""


@dataclass(frozen=True)
class Seen:
    """A page to look at: on the invented desk, on a practice's own, or on that by nobody who is signed in."""

    route: str
    desk: str = "demo"
    at: str = ""
    """One of its addresses, where the route does not say enough."""
    status: int = 200

    def on(self, known: Known) -> str:
        return known.address + (self.at or self.route).format_map(known.ids)


SEEN = (
    Seen("/"), Seen("/trees"), Seen("/make"), Seen("/make/rates"),
    Seen("/make/rates/{name}", at="/make/rates/injection?area=1000+ft2&rate=100&spacing=2.5+ft&grid=square&flow=5"),
    Seen("/make/recipe", at="/make/recipe?work=1&way=mix&goal_moisture=60&goal_cn=30&bucket=5+gal"
                            "&1.feedstock=straw_general&1.amount=100+kg&2.feedstock=table_food_waste"),
    Seen("/make/heaps/new"), Seen("/make/heaps/{heap_id}"), Seen("/make/heaps/{heap_id}/particulars"),
    Seen("/make/heaps/{heap_id}/entries/{slot}", at="/make/heaps/{heap_id}/entries/{entry_id}"),
    Seen("/make/batches/new", "own"), Seen("/make/batches/rules", "own"), Seen("/make/batches/{batch_id}", "own"),
    Seen("/make/batches/{batch_id}", "own", "/make/batches/{refused_id}"),
    Seen("/make/batches/{batch_id}", "own", "/make/batches/{fit_id}"),
    Seen("/make/batches/{batch_id}/recall", "own", "/make/batches/{back_id}/recall"),
    Seen("/record", "own"), Seen("/record/{number}", "own", "/record/1"), Seen("/properties/{property_id}/log"),
    Seen("/make/slides"), Seen("/make/slides/new", at="/make/slides/new?method=sieve"), Seen("/make/slides/{slide_id}"),
    Seen("/make/slides/{slide_id}/correct"),
    Seen("/make/slides/{slide_id}/photos/{photo_id}", at="/make/slides/{photos_id}/photos/{photo_id}"),
    Seen("/today/week"), Seen("/properties/{property_id}/days"),
    Seen("/proof"), Seen("/proof/{remedy}", at="/proof/air_tillage"), Seen("/properties/{property_id}"),
    Seen("/properties/{property_id}/trees/{tree_id}"),
    Seen("/properties/{property_id}/trees/{tree_id}", at="/properties/{property_id}/trees/{healthy_id}"),
    Seen("/properties/{property_id}/trees/{tree_id}/photos"),
    Seen("/properties/{property_id}/trees/{tree_id}/photos/{measured_id}"),
    Seen("/properties/{property_id}/trees/{tree_id}/photos/{measured_id}",
         at="/properties/{property_id}/trees/{tree_id}/photos/{crown_id}"),
    Seen("/properties/{property_id}/trees/{tree_id}/photos/{measured_id}",
         at="/properties/{property_id}/trees/{tree_id}/photos/{soil_id}"),
    Seen("/properties/{property_id}/trees/{tree_id}/read"), Seen("/properties/{property_id}/read"),
    Seen("/properties/{property_id}/particulars"), Seen("/properties/{property_id}/field-sheet"),
    Seen("/readings/{reading_id}"),
    Seen("/properties/{property_id}/figures/{name:path}", at="/properties/{property_id}/figures/property/shares"),
    Seen("/properties/{property_id}/map"), Seen("/properties/{property_id}/map/aerial"),
    Seen("/plans"), Seen("/due"), Seen("/properties/{property_id}/plan"), Seen("/properties/{property_id}/sign"),
    Seen("/properties/{property_id}/signed"), Seen("/properties/{property_id}/what-if"),
    Seen("/properties/{property_id}/offers"), Seen("/properties/{property_id}/offers/{mark}"),
    Seen("/properties/{property_id}/report"),
    Seen("/import"), Seen("/import/{brought_id}"), Seen("/jobs/{job_id}"),
    Seen("/properties/{property_id}/notice/{day}", at="/properties/{worked_id}/notice/2016-01-15"),
    Seen("/properties/{property_id}/undo"), Seen("/properties/{property_id}/contacts", "own"),
    Seen("/today/rounds"), Seen("/practice"), Seen("/practice/own"), Seen("/practice/fleet"), Seen("/practice/rules"),
    Seen("/practice/units"), Seen("/practice/sums", at="/practice/sums?find=chlorine"),
    Seen("/practice/sums/{name}",
         at="/practice/sums/neutraliser_g?volume_l=100+gal&chlorine_mg_l=2%2B-0.5&dose_mg_mg=2.5&tested=total"),
    Seen("/practice/prices"), Seen("/practice/tables"),
    Seen("/practice/tables/{name:path}", at="/practice/tables/people/rights"), Seen("/practice/export"),
    Seen("/practice/phones", "own"), Seen("/practice/kept-aside", "own"), Seen("/properties/{property_id}/jobs", "own"),
    Seen("/practice/backup", "own"), Seen("/people", "own"), Seen("/people/rights", "own"),
    Seen("/people/{code}", "own"), Seen("/people/{code}/erase", "own"), Seen("/account", "own"),
    Seen("/first-run"), Seen("/sign-in", "nobody"), Seen("/invite/{token}", "nobody", "/invite/{invitation}"),
    Seen("/c/{token}", "nobody"), Seen("/c/{token}", "nobody", "/c/none", status=404),
    Seen("/nowhere", status=404),
)

NOT_LOOKED_AT = {
    "/make/slides/{slide_id}/pictures/{photo_id}": "a photograph",
    "/properties/{property_id}/trees/{tree_id}/pictures/{measured_id}": "a photograph",
    "/properties/{property_id}/trees/{tree_id}/pictures/{measured_id}/sky.png": "lies over a photograph",
    "/leaf-card.pdf": "a paper",
    "/field": "all of it is script; test_field_entry looks at its screens",
    "/field/kinds.json": "read by the phone's page",
    "/field/words.json": "read by the phone's page",
    "/field/worker.js": "a script",
    "/field/manifest.webmanifest": "read by who installs the phone's page",
    "/c/{token}/yes": "leads to the page that takes answers",
    "/c/{token}/question": "leads to the page that takes answers",
    "/c/{token}/no": "leads to the page that takes answers",
    "/first-run/{token}": "the same page as an invitation",
    "/practice/export/{name}": "a file to keep",
    "/import/field-sheet/{system}": "a file to keep",
    "/properties/{property_id}/field-sheet.xlsx": "a file to keep",
    "/import/{brought_id}/set-aside": "a file to keep",
    "/properties/{property_id}/photos/{reading_id}": "a photograph",
    "/properties/{property_id}/map/aerial/{mark}.jpg": "a photograph",
    "/properties/{property_id}/map/picture": "a picture on the map's page",
    "/properties/{property_id}/marks": "leads on to a figure",
    "/proof/{remedy}/plans": "the same page, with what plans would change",
    "/properties/{property_id}/plan/made": "parts of the plan's page",
    "/properties/{property_id}/report.pdf": "a paper",
    "/make/batches/{batch_id}/{name}.pdf": "a paper",
    "/today/rounds/shopping.pdf": "a paper", "/today/rounds/{day}/{crew}/{what}.pdf": "a paper",
    "/properties/{property_id}/notice/{day}.pdf": "a paper",
    "/properties/{property_id}/offers/{mark}/offer.pdf": "a paper",
}
