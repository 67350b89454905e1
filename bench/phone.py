"""The phone's page at a quarter of this machine's speed: opened without a network, touched, 500 trees listed."""

from __future__ import annotations

import atexit
import gzip
import json
import shutil
import statistics
from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

from bench.served import NOW, Client, practice
from bench.work import Work
from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.fieldbook.people.assigned import assign
from rootcase.services.field_kinds import field_catalogue, field_words
from rootcase.web.pages.field_worker import files
from rootcase.web.statics import STATIC

QUIET = ("--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update")
SLOWER, TREES, READINGS, FIGURES, LOOKS = 4, 500, 10, 40, 8
AT_HAND = "() => navigator.serviceWorker.controller?.state === 'activated'"
HEARD = """id => import('/static/field/keeping.js').then(book => book.grounds())
  .then(all => all.some(one => one.id === id))"""
BOOK = "const book = await import('/static/field/keeping.js');"
MANY = f"""async ([id, trees, readings]) => {{
  {BOOK}
  const ground = (await book.grounds()).find(one => one.id === id), [tree] = ground.trees;
  const read = ground.readings.filter(each => each.of === tree.id).slice(0, readings);
  const at = n => `tree ${{n}}`;
  const all = Array.from({{ length: trees }}, (_, n) => n);
  const {{ start }} = await book.self(), [job] = start.properties;
  await book.takeStart({{ ...start, properties: [job, {{ ...job, id: "many", trees }}] }});
  await book.takeGround("many", {{ ...ground, id: "many", pits: [], property: {{ ...ground.property, id: "many" }},
    trees: all.map(n => ({{ ...tree, id: at(n), label: at(n) }})),
    readings: all.flatMap(n => read.map(each => ({{ ...each, id: `${{each.id}} ${{n}}`, of: at(n) }}))) }});
}}"""
"""A property of that many trees, each with so many readings of the invented ones'."""
SHOWN = "const shown = () => new Promise(done => requestAnimationFrame(() => setTimeout(done)));"
TOUCHED = f"""async times => {{
  {SHOWN}
  const found = [], keys = [...document.querySelectorAll(".pad .digit")];
  for (let n = 0; n < times; n += 1) {{
    const begun = performance.now();
    keys[n % 3].click();
    await shown();
    found.push(performance.now() - begun);
    document.querySelector(".pad .erase").click();
    await shown();
  }}
  return found;
}}"""
SAVED = f"""async times => {{
  {SHOWN}
  const found = [], key = name => [...document.querySelectorAll("main button")].find(each => each.textContent === name);
  for (let n = 0; n < times; n += 1) {{
    key("4").click();
    key("upper").click();
    await shown();
    const asked = document.querySelector("main h1"), begun = performance.now();
    document.querySelector("main .save").click();
    while (asked.isConnected) {{
      if (performance.now() - begun > 20_000) throw new Error("nothing was saved in 20 s");
      await shown();
    }}
    found.push(performance.now() - begun);
    await new Promise(done => setTimeout(done, 30));
    if (!document.querySelector(".pad")) return found;
  }}
  return found;
}}"""
touched_ms: list[float] = []
saved_ms: list[float] = []
"""Of single touches, before the turns."""


def serve_phone(folder: Path, port: int) -> None:
    import uvicorn

    from rootcase.web.app import create_app
    from rootcase.web.desk import Desk

    desk = Desk(folder / "own.sqlite", lambda: NOW, folder / "results")
    uvicorn.run(create_app(desk), port=port, log_level="warning", server_header=False)


@cache
def phone() -> tuple[Page, str]:
    """A page that was once in reach and is not now, and its address."""
    folder, property_id, token = practice()
    with open_fieldbook(folder / "own.sqlite", now=lambda: NOW) as book:
        assign(book.store, property_id, "owner1", None, by="owner1", now=NOW)
    address = f"http://127.0.0.1:{Client(serve_phone, folder).port}"
    playwright = sync_playwright().start()
    browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=list(QUIET))
    atexit.register(playwright.stop)
    atexit.register(browser.close)
    context = browser.new_context(viewport={"width": 360, "height": 800}, has_touch=True)
    context.add_cookies([{"name": "rootcase", "value": token, "url": address}])
    context.route("**/api/field/sheets", lambda route: route.abort())  # making them would take the machine
    page = context.new_page()
    page.goto(f"{address}/field")
    page.wait_for_function(AT_HAND)
    page.wait_for_function(HEARD, arg=property_id)
    page.evaluate(MANY, [property_id, TREES, READINGS])
    context.set_offline(True)
    context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
    return page, address


def started() -> None:
    """From the address to a pad that takes figures."""
    page, address = phone()
    page.goto("about:blank")
    page.goto(f"{address}/field#/look/many/tree 7/shoots", wait_until="commit")
    page.wait_for_selector(".pad")


def listed() -> None:
    """From another screen and to all of them."""
    page, _ = phone()
    page.evaluate("location.hash = '/make'")
    page.wait_for_function("() => !document.querySelector('main :is(.list, .pad)')")
    page.evaluate("location.hash = '/trees/many'")
    page.wait_for_function("trees => document.querySelectorAll('main .list li').length === trees", arg=TREES)


def bytes_told() -> str:
    """What is kept on the phone to open without a network."""
    made = [json.dumps(each).encode() for each in (field_catalogue(), dict(field_words()))]
    script = [path for path in files() if path.endswith(".js")]
    held = [(STATIC / each).read_bytes() for each in files()]
    kilobytes = {
        "scripts": sum((STATIC / each).stat().st_size for each in script) / 1e3,
        "scripts shrunk one by one": sum(len(gzip.compress((STATIC / each).read_bytes())) for each in script) / 1e3,
        "all": sum(map(len, [*held, *made])) / 1e3,
        "all shrunk, which is the first load": sum(len(gzip.compress(each)) for each in [*held, *made]) / 1e3,
    }
    return ", ".join(f"{what} {size:,.0f} kB" for what, size in kilobytes.items()) + f" ({len(script)} scripts)"


def about() -> Work:
    def late(taken: list[float]) -> str:
        return f"{statistics.quantiles(taken, n=20)[-1]:.0f} ms"

    seen = (f" Before the turns, of 100 touches of a figure ({len(touched_ms)} were tried) 95 were seen within "
            f"{late(touched_ms)} (bar: 100 ms), and of Save ({len(saved_ms)}), with the durable write, its reading "
            f"back and the next question, within {late(saved_ms)}.") if touched_ms else ""
    return Work(what=f"Chromium at a {SLOWER}th of this machine's speed, without a network.{seen} Each of the trees "
                     f"has {READINGS} readings. A start ends when the pad "
                     f"takes figures. The phone's page: {bytes_told()}.")


def run() -> Mapping[str, Callable[[], object]]:
    started()
    page, _ = phone()
    touched_ms.extend(page.evaluate(TOUCHED, FIGURES))
    for look in range(LOOKS):
        started()
        before = page.query_selector("main h1")
        page.evaluate("n => { location.hash = `/look/many/tree ${n}/shoots`; }", 100 + look)
        page.wait_for_function("h1 => !h1.isConnected", arg=before)  # the first look's own card says the same
        page.wait_for_function("() => document.querySelector('.which')?.textContent.includes('1 of')")
        saved_ms.extend(page.evaluate(SAVED, 2))
    return {"started without a network (bar: 1,500 ms)": started,
            f"{TREES} trees listed (bar: 1,000 ms)": listed}
