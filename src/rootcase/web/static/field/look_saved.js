// What a card has kept: a row a reading with its state in words, and ten seconds in which it can be undone, also from
// the next card.

import { announce, button, el, icon, put } from "./dom.js";
import { takeBack } from "./saving.js";
import { readingTold } from "./told.js";
import { say } from "./words.js";

const UNDO_MS = 10_000;
const STATES = { phone: "saved", sent: "sent", needs: "needs" };
// What is saved with one key: a number, and where or why.
const WITH = { shoot_position: "shoot_length_last", probe_stop: "probe_depth" };

// id: of an entry of this phone, whose state is told anew when it changes.
export const stateTold = (state, id = null) =>
  tellState(el("span", { class: "state", "data-entry": id }), state ?? "phone");

export const tellState = (told, state) =>
  (state ? put(told, icon(STATES[state] ?? "saved"), say(`field.state.${state}`)) : told);

// entries: [{told, other, readings}], newest last.
export const savedRows = (entries) => el("ul", { class: "saved" }, entries.map(({ told, other, readings: [first] }) =>
  el("li", {},
    el("b", {}, told), el("span", { class: "beside" }, other),
    first.doubts?.length ? el("span", { class: "doubt" }, first.doubts[0]) : null,
    first.own ? stateTold(first.state, first.id) : stateTold("sent"))));

// How many things were read: a shoot and where it grew are one.
export const readCount = (readings) => readings.filter((each) => !(each.kind in WITH)).length;

// Undo of what was saved last, for ten seconds; its room stays when it goes, so that nothing moves.
export function undoKey(field, entries, undone) {
  const readings = entries.at(-1)?.readings ?? [];
  const left = readings.length ? UNDO_MS - (Date.now() - Date.parse(readings[0].made_at)) : 0;
  if (!readings[0]?.own || !(left > 0)) return null;
  const key = button(async () => {
    key.disabled = true;
    for (const reading of readings) await takeBack(field, reading, say("field.undone_why"));
    announce(say("field.undone"));
    await undone();
  }, say("field.undo"), "undo");
  setTimeout(() => key.classList.add("over"), left);
  return key;
}

// What was saved last at this tree, by one key.
function keptLast({ today }) {
  const own = today.filter((each) => each.own && !each.supersedes)
    .toSorted((one, other) => (one.id < other.id ? -1 : 1));
  const last = own.at(-1);
  const beside = last?.series && own.find((each) =>
    each.series === last.series && each.of === last.of && each.kind === WITH[last.kind]);
  return [beside, last].filter(Boolean);
}

// The line between what is asked and its keys: its question, what another card has just saved, Undo, Photo.
export function askedLine(look, words, entries = [], id = null) {
  const readings = keptLast(look);
  const isHere = entries.some((each) => each.readings[0].id === readings[0]?.id);
  const undo = undoKey(look.field, [{ readings }], () => (isHere ? look.again() : look.undone(readings[0].kind)));
  const told = say("field.just_saved", { what: readings.map(readingTold).join(", ") });
  return el("div", { class: "asked-line" },
    el("span", { class: "asked" }, el("b", { id }, words), undo && !isHere ? el("small", {}, told) : null),
    undo, look.photo);
}

export function tellSaved(box, count, of) {
  const told = say("field.saved_count", { count, of });
  put(box, told);
  announce(`${say("field.state.phone")}, ${told}`);
}
