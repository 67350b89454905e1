// The phone: one page, its screens by the address behind #, the five places at the bottom.
//
// Every screen gets `field`: kinds (by code), catalogue (all of /field/kinds.json), book (keeping.js), start (what the
// server last said of who this is), set({a setting}), system(), hand(), day(), head(name, of), go("tree", property,
// id), back(), arrived(property), half, shownAnew(names of screens).

import * as book from "./keeping.js";
import { catalogue, learnCatalogue } from "./catalogue.js";
import { announce, el, icon, put } from "./dom.js";
import { hear, tidyDaily } from "./hearing.js";
import { tellState } from "./look_saved.js";
import { SCREENS } from "./screens.js";
import { dayOf } from "./round.js";
import { openToday } from "./saving.js";
import { finishLeaving } from "./seal.js";
import { startSending } from "./sending.js";
import { keepAtHand } from "./updating.js";
import { held, toldHere } from "./waiting_told.js";
import { holdWetTouches } from "./wet_glass.js";
import { learnWords, say } from "./words.js";

const FIRST = "today", ASKS_FIRST_MS = 5_000;

const field = {
  get kinds() { return catalogue.kinds; },
  catalogue,
  book,
  half: book.half,
  start: {},
  self: {},
  set: async (told) => {
    field.self = await book.setSelf(({ settings }) => ({ settings: { ...settings, ...told } }));
  },
  system: () => field.self.settings?.system ?? field.start.units ?? "us",
  // A visit keeps the unit it began with.
  tape: (property) => openToday(field, property)?.system ?? field.system(),
  hand: () => field.self.settings?.hand ?? "right",
  day: () => field.start.held_day ?? dayOf(new Date()),
  head,
  go: (...parts) => (location.hash = `/${parts.map(encodeURIComponent).join("/")}`),
  back: () => history.back(),
  arrived, shownAnew,
};

// What the page is about, and where in it one stands; up: the address that the name leads to.
function head(name, of = "", up = above(location.hash)) {
  put(document.getElementById("name"), up ? el("a", { class: "up", href: up }, name) : name);
  put(document.getElementById("of"), of);
  document.title = `${name} · rootcase`;
}

function above(address) {
  const [screen, property, tree] = address.replace(/^#\/?/, "").split("/");
  const to = SCREENS[screen]?.up;
  if (to === "tree") return `#/tree/${property}/${tree}`;
  if (to === "round") return `#/round/${property}`; // there its day stands first, then the stop
  if (to === "stop") return `#/stop/${property}/${tree}`;
  return to === "property" || (screen === "trees" && tree) ? `#/trees/${property}` : "";
}

function place(screen) {
  for (const link of document.querySelectorAll(".places a")) {
    if (link.dataset.place === screen.place) link.setAttribute("aria-current", "page");
    else link.removeAttribute("aria-current");
  }
}

async function showScreen() {
  const asked = location.hash;
  const [name, ...args] = asked.replace(/^#\/?/, "").split("/").map(decodeURIComponent);
  const screen = SCREENS[name] ?? SCREENS[FIRST];
  const main = el("main", { id: "main", tabindex: "-1", class: screen.entry ? "entry" : "" });
  place(screen);
  document.getElementById("dusk").disabled = Boolean(screen.entry);
  try {
    await (await screen.load()).show(main, args, field);
  } catch (error) {
    put(main, el("p", { class: "notice" }, say("field.broke", { what: error.message })));
    console.error(error);
  }
  if (location.hash !== asked) return; // another screen was asked for meanwhile
  document.getElementById("main").replaceWith(main);
  main.focus({ preventScroll: true });
  scrollTo(0, 0);
}

// What was opened before its property had come is shown anew; nothing is typed on a screen without one.
function arrived(id) {
  const [name, property] = location.hash.replace(/^#\/?/, "").split("/").map(decodeURIComponent);
  if ((property === id && !SCREENS[name]?.entry) || waitsHere()) showScreen();
}

// Pages to read that show what was just heard, and others that said that they wait for it.
function shownAnew(...names) {
  if (names.includes(location.hash.replace(/^#\/?/, "").split("/")[0]) || waitsHere()) showScreen();
}

const waitsHere = () => Boolean(document.querySelector("main [data-waits]"));

function cameFromDesk() {
  const [{ type } = {}] = performance.getEntriesByType("navigation");
  if (type !== "navigate" || !document.referrer) return false;
  const { origin, pathname } = new URL(document.referrer);
  return origin === location.origin && pathname !== location.pathname;
}

// The state of sending stands beside the name on every screen: one telling after the other, so that the last one holds.
let telling = Promise.resolve();

function tellWaiting() {
  telling = telling.then(tellNow, tellNow);
  return telling;
}

async function tellNow() {
  const waiting = await book.waiting();
  put(document.getElementById("waiting"), icon(waiting.needsYou ? "needs" : held(waiting) ? "saved" : "sent"),
    el("span", {}, toldHere(waiting)));
  for (const told of document.querySelectorAll("[data-entry]")) tellState(told, await book.state(told.dataset.entry));
}

async function begin() {
  await Promise.all([learnWords(), learnCatalogue()]);
  field.self = await book.self();
  field.start = field.self.start ?? {};
  await tidyDaily(field);
  const sending = startSending(book, { before: () => finishLeaving(book), heard: (start) => hear(field, start) });
  // The first time there is nothing to begin with; and who comes from the desk's pages may be another than was here
  // last.
  if (!field.self.start) await sending;
  else if (cameFromDesk()) await Promise.race([sending, new Promise((done) => setTimeout(done, ASKS_FIRST_MS))]);
  document.body.dataset.hand = field.hand();
  book.onChange(tellWaiting);
  await tellWaiting();
  holdWetTouches(document);
  addEventListener("hashchange", showScreen);
  await showScreen();
  announce(document.getElementById("name").textContent);
  keepAtHand().catch(console.error); // without it the page needs signal
}

begin();
