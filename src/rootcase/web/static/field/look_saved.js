// What a card has kept: a row a reading with its state in words, and ten seconds in which it can be undone.

import { announce, el, icon, put } from "./dom.js";
import { takeBack } from "./saving.js";
import { say } from "./words.js";

const UNDO_MS = 10_000;
const STATES = { phone: "saved", sent: "sent", needs: "needs" };

export const stateTold = (state) => el("span", { class: "state" }, icon(STATES[state] ?? "saved"), say(`field.state.${state ?? "phone"}`));

// entries: [{told, other, readings}], newest last.
export const savedRows = (entries) => el("ul", { class: "saved" }, entries.map(({ told, other, readings }) => el("li", {},
  el("b", {}, told), el("span", { class: "beside" }, other), stateTold(readings[0].state))));

// Undo of what was saved last, for ten seconds; its room stays when it goes, so that nothing moves.
export function undoKey(field, entries, undone) {
  const readings = entries.at(-1)?.readings ?? [];
  const left = readings.length ? UNDO_MS - (Date.now() - Date.parse(readings[0].made_at)) : 0;
  if (!readings[0]?.own || !(left > 0)) return null;
  const key = el("button", { type: "button", class: "undo" }, say("field.undo"));
  key.addEventListener("click", async () => {
    key.disabled = true;
    for (const reading of readings) await takeBack(field, reading, say("field.undone_why"));
    announce(say("field.undone"));
    await undone();
  });
  setTimeout(() => key.classList.add("over"), left);
  return key;
}

// The line between what is asked and its keys: its question, Undo, Photo.
export const askedLine = (look, words, entries, id = "") => el("div", { class: "asked-line" },
  el("b", { id: id || null }, words), undoKey(look.field, entries, look.again), look.photo);

export const typedTold = (reading) => reading.nothing ? say(`field.nothing.${reading.nothing.replace(" ", "_")}`) : reading.typed;

export async function tellSaved(box, count, of) {
  const told = say("field.saved_count", { count, of });
  announce(`${say("field.state.phone")}, ${told}`);
  put(box, told);
}
