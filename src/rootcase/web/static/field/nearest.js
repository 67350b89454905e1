// The nearest property first, for who lets the phone say where it is: asked once, in words. The position is never kept
// nor sent.

import { announce, button, el, put } from "./dom.js";
import { say } from "./words.js";

const PATIENCE_MS = 15_000, FRESH_MS = 120_000;

// A line above the rows, each with its property's id in data-property; sorted(rows) puts them in their new order.
export function nearestFirst(field, rows, sorted) {
  if (rows.length < 2 || !navigator.geolocation) return null;
  const line = el("div", { class: "near" });
  const { near } = field.self.settings ?? {};
  if (near === undefined) ask(field, line, () => look(field, line, rows, sorted));
  else if (near) look(field, line, rows, sorted);
  return line;
}

function ask(field, line, then) {
  const answer = (near) => async () => {
    await field.set({ near });
    put(line);
    if (near) then();
  };
  const key = (name, near) => button(answer(near), say(`field.near.${name}`));
  put(line, el("p", {}, el("b", {}, say("field.near.ask")), " ", say("field.near.without")),
    el("p", { class: "keys" }, key("use", true), key("by_hand", false)));
}

async function look(field, line, rows, sorted) {
  const told = (name) => put(line, el("p", { class: "help" }, say(`field.near.${name}`)));
  told("looking");
  try {
    const here = await position();
    const places = new Map((await field.book.grounds()).map(({ id, property }) => [id, property]));
    const far = (row) => distance(here, places.get(row.dataset.property));
    sorted(rows.toSorted((one, other) => far(one) - far(other)));
    announce(told("first").textContent);
  } catch {
    told("unknown"); // refused, no satellites or too slow
  }
}

const position = () => new Promise((known, failed) => {
  const enough = { timeout: PATIENCE_MS, maximumAge: FRESH_MS };
  navigator.geolocation.getCurrentPosition(({ coords }) => known(coords), failed, enough);
});

// To order by, in degrees of latitude; what has no position stands last, in the order it had.
function distance({ latitude, longitude }, place) {
  if (place?.latitude_deg == null || place.longitude_deg == null) return Number.MAX_VALUE;
  const east = (((place.longitude_deg - longitude + 540) % 360) - 180) * Math.cos((latitude * Math.PI) / 180);
  return Math.hypot(place.latitude_deg - latitude, east);
}
