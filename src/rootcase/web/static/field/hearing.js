// What the server says while there is signal: who this is, the properties that are theirs, the sheets of first answers.
// Nothing waits for it that was heard before.

import { tidy } from "./at_rest.js";
import { announce } from "./dom.js";
import { heardRounds } from "./round.js";
import { sendSealed } from "./seal.js";
import { say } from "./words.js";

const PATIENCE_MS = 20_000, SHEETS_MS = 60_000, SHEETS_ASKS = 20;

// The answer of this address, or null where there is no network or something else answers in the server's place.
export async function asked(field, address, form = "json", method = "GET") {
  try {
    const headers = { "Rootcase-Phone": field.self.phone };
    const answer = await fetch(address, { method, headers, signal: AbortSignal.timeout(PATIENCE_MS) });
    const ours = answer.ok && (form !== "json" || answer.headers.get("content-type")?.startsWith("application/json"));
    return ours ? await answer[form]() : null;
  } catch {
    return null;
  }
}

// Once a day, also without signal and on a page that is never closed.
export function tidyDaily(field) {
  let last = "";
  const look = async () => {
    if (last === field.day() || document.visibilityState !== "visible") return;
    last = field.day();
    await tidy(field.book, field.start, last);
  };
  document.addEventListener("visibilitychange", look);
  addEventListener("hashchange", look);
  return look();
}

// What the server answered to whose session this is; what it sends of their jobs comes behind it.
export async function hear(field, start) {
  field.start = start;
  field.self = await field.book.takeStart(start);
  sendSealed(field.book).catch(() => {}); // what is not taken now stays, and is told by its count
  await tidy(field.book, start, field.day());
  hearMore(field, start);
}

// The rounds beside the grounds, these and maps and sheets one after the other, behind whatever is done meanwhile.
async function hearMore(field, start) {
  const hearing = hearRounds(field, start);
  for (const { id } of start.properties) if (await hearGround(field, id)) field.arrived(id);
  const rounds = await hearing;
  if (rounds) await hearMaps(field, rounds);
  await hearSheets(field);
}

// The rounds of who is signed in; one that the office changed is said, and shown where it stands open.
async function hearRounds(field, { practice, who }) {
  const told = await asked(field, "/api/field/rounds");
  if (!told) return null;
  const whose = { practice: practice.id, person: who.code };
  const marks = (rounds) => (rounds ? JSON.stringify([rounds.person, rounds.told]) : "");
  const before = field.self.rounds;
  field.self = await field.book.setSelf(({ rounds }) => ({ rounds: heardRounds(rounds, told, whose, field.day()) }));
  if (field.self.rounds.changed.length > (before?.changed.length ?? 0)) announce(say("field.day_now.heard_change"));
  if (marks(before) !== marks(field.self.rounds)) field.shownAnew("today", "round", "");
  return told.rounds;
}

// The map of each place of the rounds, under a name that is another as soon as it shows something else.
async function hearMaps(field, rounds) {
  const steps = rounds.flatMap((each) => each.steps).filter((each) => each.map);
  for (const { property_id: id, map } of steps) {
    if (await field.book.mapOf(id, map)) continue;
    const bytes = await asked(field, `/api/field/properties/${encodeURIComponent(id)}/map`, "arrayBuffer");
    if (!bytes) continue;
    await field.book.takeMap(id, map, bytes);
    field.shownAnew();
  }
}

// A sheet's name is another wherever what it says is another. Those that are missing are asked for once and then looked
// for while the server makes them.
async function hearSheets(field, asks = 0) {
  const told = await asked(field, "/api/field/sheets");
  if (!told) return;
  for (const { name } of told.sheets) {
    if (await field.book.sheet(name)) continue;
    const bytes = await asked(field, `/api/field/sheets/${encodeURIComponent(name)}`, "arrayBuffer");
    if (bytes) await field.book.takeSheet(name, bytes);
  }
  field.self = await field.book.setSelf({ sheets: told.sheets, sheets_missing: told.missing });
  if (!told.missing || asks === SHEETS_ASKS) return;
  if (!asks) await asked(field, "/api/field/sheets", "json", "POST");
  setTimeout(() => hearSheets(field, asks + 1), SHEETS_MS);
}

/** Whether it is the first that is heard of the property. */
export async function hearGround(field, id) {
  const ground = await asked(field, `/api/field/properties/${encodeURIComponent(id)}`);
  return ground && field.book.takeGround(id, ground);
}
