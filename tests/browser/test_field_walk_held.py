"""What is typed and not kept yet: it is held, goes when it is answered or left, and two taps keep it once."""

from __future__ import annotations

from playwright.sync_api import expect

from tests.browser.test_field_walk import picture
from tests.browser.walking import BOOK, HALF_TYPED, Walk

HOLDS = "import('/static/field/in_hand.js').then(page => page.holdsAnything())"
TWICE = "() => { const form = document.querySelector('main form'); form.requestSubmit(); form.requestSubmit(); }"
FULL = """full => {
  const { prototype } = IDBObjectStore;
  window.roomy ??= prototype.add;
  prototype.add = full ? () => { throw new DOMException('', 'QuotaExceededError'); } : window.roomy; }"""


def test_what_is_emptied_answered_otherwise_or_left_is_not_half_typed(walk: Walk) -> None:
    tree, page = walk.tree("oak 6"), walk.page
    walk.go("form", tree, "counts", "helper_count")
    for leave in ("One less", "Not looked nobody looked", "Next"):
        page.locator(".tally").click()
        assert page.evaluate(HALF_TYPED, [1])
        (walk.tap if leave == "One less" else walk.save)(leave)
        assert page.evaluate(HALF_TYPED, [])
        walk.go("form", tree, "counts", "helper_count")
    walk.go("form", tree, "tree", "tree_tag")
    for leave in ("", "Next"):
        page.fill("main input", "B 12")
        assert page.evaluate(HALF_TYPED, ["B 12"])
        walk.save(leave) if leave else page.fill("main input", " ")
        assert page.evaluate(HALF_TYPED, [])


def test_the_page_says_whether_it_holds_anything(walk: Walk) -> None:
    tree, page = walk.tree("oak 6"), walk.page
    walk.go("form", tree, "tree", "dbh")
    assert not page.evaluate(HOLDS)
    walk.type("1")
    assert page.evaluate(HOLDS)
    walk.tap("erase")
    assert not page.evaluate(HOLDS)
    for screen, act in ((("form", "tree", "tree_photo"), lambda: page.set_input_files("input[type=file]", picture(10))),
                        (("form", "ground", "cover_share_by_ring"), lambda: walk.tap("more turf")),
                        (("form", "counts", "helper_count"), lambda: page.locator(".tally").click()),
                        (("form", "tree", "tree_tag"), lambda: page.fill("main input", "B")),
                        (("yardstick", walk.tree("oak 4")), lambda: walk.tap("nobody"))):
        walk.go(screen[0], tree, *screen[1:])
        assert not page.evaluate(HOLDS)
        act()
        assert page.evaluate(HOLDS), screen
    walk.go("form", tree, "tree", "tree_tag")
    page.fill("main input", "")


def test_two_taps_open_one_tree_and_a_full_phone_says_so(walk: Walk) -> None:
    page, opened = walk.page, f"id => {BOOK}.then(book => book.events(id)).then(all => all.map(each => each.kind))"
    before = len(page.evaluate(opened, walk.property))
    walk.go("trees", "new")
    page.get_by_label("Where it stands").select_option(index=1)
    page.evaluate(FULL, True)
    page.evaluate(TWICE)
    expect(page.locator(".fault")).to_contain_text("Not saved")
    page.evaluate(FULL, False)
    page.evaluate(TWICE)
    expect(page.locator("main h1")).to_contain_text("Which tree is it?")
    kinds = page.evaluate(opened, walk.property)[before:]
    assert kinds.count("tree_opened") == 1
