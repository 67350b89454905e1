// What the phone holds. An entry is kept when it and its photos are on the disk by one transaction and were read back
// equal; it stays when it is sent, marked with the fieldbook that has it, so that a fieldbook set back to an older day
// can be filled again.

import { canonical, contentHash, markOf, newId } from "./canonical.js";
import { asked, changed, inOneTurn, looking } from "./database.js";
import { laidOver, stateOf } from "./laying.js";
import { keyOf, nameOf, onlyOf, proving } from "./outbox.js";

export { onChange } from "./database.js";
export * from "./outbox.js";
export * from "./sealed.js";

/** Why something was not kept; `say` is the key of the words for it. */
class NotKept extends Error {
  constructor(say, cause) {
    super(say, { cause });
    this.say = say;
  }
}

/**
 * Keep entries with their photos; `half` names the half-typed form they came from, which is over with the same stroke.
 */
export async function keep({ property, events = [], photos = [], half = "" }) {
  const me = await self();
  if (!me.practice) throw new NotKept("field.keep.nobody");
  const pictures = await Promise.all(photos.map((each) => pictureOf(property, me, each)));
  const entries = await Promise.all(events.map((each) => entryOf(property, me, each)));
  try {
    await proving(() => kept({ entries, pictures, half }));
  } catch (error) {
    throw new NotKept(error.name === "QuotaExceededError" ? "field.keep.full" : "field.keep.failed", error);
  }
  await changed();
  return entries.map(({ id, hash }) => ({ id, hash }));
}

/** A property as the server sent it, with this phone's own entries laid over it. */
export async function ofProperty(id) {
  const [ground, own] = await Promise.all([
    looking(["grounds"], ({ grounds }) => asked(grounds.get(id))), events(id)]);
  return laidOver(ground ?? { id }, own);
}

/** This phone's own entries of a property, oldest first; each with its body as an object. */
export async function events(property) {
  const found = await looking(["events"], (stores) => asked(stores.events.index("property").getAll(property)));
  return found.map((each) => ({ ...each, body: JSON.parse(each.body) }));
}

/** "phone", "sent" or "needs"; null of what this phone never kept. */
export async function state(id) {
  const entry = await looking(["events"], (stores) => asked(stores.events.get(id)));
  return entry ? stateOf(entry) : null;
}

/** The entries and photos that need somebody, and why; a photo has the kind `photo`. */
export async function needing() {
  const mine = onlyOf(await self());
  const [events, photos] = await looking(["events", "photos"], (stores) => Promise.all([
    asked(stores.events.index("aside").getAll(mine)), asked(stores.photos.index("aside").getAll(mine))]));
  return [...events.map((each) => ({ ...each, body: JSON.parse(each.body) })),
    ...photos.map(({ key, property, why }) => ({ id: key, kind: "photo", property, why, body: {} }))];
}

/** Say what became of what needed somebody; it stays, and asks no more. */
export async function settle(id, how) {
  await inOneTurn(["events", "photos"], async (stores) => {
    for (const store of Object.values(stores)) {
      const { aside, ...entry } = await asked(store.get(id)) ?? {};
      if (aside) store.put({ ...entry, settled: { ...how, at: new Date().toISOString() } });
    }
  });
  changed();
}

/** The phone's own id, and what it knows of who holds it. */
export async function self() {
  const found = await looking(["self"], (stores) => asked(stores.self.get("self")));
  return found ?? setSelf({});
}

/** told: what to change, or what makes that of what was known. */
export async function setSelf(told) {
  const now = await inOneTurn(["self"], async (stores) => {
    const before = { phone: newId(), settings: {}, ...await asked(stores.self.get("self")) };
    const after = { ...before, ...(typeof told === "function" ? told(before) : told) };
    stores.self.put(after, "self");
    return after;
  });
  changed();
  return now;
}

/** Keep what the server said at the start; of everybody who was signed in here what their entries are sealed with. */
export function takeStart(answer) {
  const [practice, person] = [answer.practice.id, answer.who.code];
  const { sealing } = answer.practice;
  const seal = { sealing, as: answer.sealed_as };
  return setSelf(({ seals }) => ({
    start: answer, practice, person, seals: { ...seals, [nameOf({ practice, person })]: seal },
  }));
}

/** Whether it is the first that is heard of the property. */
export async function takeGround(id, answer) {
  const ground = { ...answer, id, taken_at: new Date().toISOString() };
  const isFirst = await inOneTurn(["grounds"], async ({ grounds: store }) => {
    const before = await asked(store.getKey(id));
    store.put(ground, id);
    return before === undefined;
  });
  changed();
  return isFirst;
}

/** Take some of what the server said off the phone again; when it was said stays as it is. */
export async function changeGround(id, told) {
  await inOneTurn(["grounds"], async ({ grounds: store }) => store.put({ ...await asked(store.get(id)), ...told }, id));
  changed();
}

/** Take a property off the phone, and last year's pictures of it. */
export async function dropGround(id) {
  await inOneTurn(["grounds", "sheets"], async ({ grounds: store, sheets }) => {
    for (const reading of (await asked(store.get(id)))?.readings ?? []) sheets.delete(`frame/${reading.id}`);
    sheets.delete(mapsOf(id));
    store.delete(id);
  });
  changed();
}

export function grounds() {
  return looking(["grounds"], (stores) => asked(stores.grounds.getAll()));
}

export async function takeSheet(name, bytes) {
  await inOneTurn(["sheets"], async ({ sheets }) => sheets.put(bytes, name));
}

export function sheet(name) {
  return looking(["sheets"], ({ sheets }) => asked(sheets.get(name)));
}

const mapsOf = (property) => IDBKeyRange.bound(`map/${property}/`, `map/${property}/\uffff`);
const mapName = (property, mark) => `map/${property}/${mark}`;

/** The map of a property as the server drew it; mark: of what it shows. */
export const mapOf = (property, mark) => sheet(mapName(property, mark));

export async function takeMap(property, mark, bytes) {
  await inOneTurn(["sheets"], async ({ sheets }) => {
    sheets.delete(mapsOf(property));
    sheets.put(bytes, mapName(property, mark));
  });
}

/** A photo of this phone, as it was taken. */
export async function photo(mark) {
  const key = keyOf(await self(), mark);
  const found = await looking(["photos"], ({ photos }) => asked(photos.get(key)));
  return found ? new Blob([found.bytes], { type: found.type }) : null;
}

/** Half-typed forms, by name. */
export const half = {
  get: (name) => looking(["half"], (stores) => asked(stores.half.get(name))),
  put: (name, value) => inOneTurn(["half"], async (stores) => { stores.half.put(value, name); }),
  drop: (name) => inOneTurn(["half"], async (stores) => { stores.half.delete(name); }),
  any: async () => (await looking(["half"], (stores) => asked(stores.half.count()))) > 0,
};

async function entryOf(property, me, { kind, body, id = newId() }) {
  const hash = await contentHash({ body, id, kind, practice: me.practice, property });
  return {
    ...madeBy(me), id, property, kind, body: canonical(body), hash, device: me.phone,
  };
}

async function pictureOf(property, me, { blob, of = "" }) {
  const bytes = await blob.arrayBuffer();
  const mark = await markOf(bytes);
  return {
    ...madeBy(me), key: keyOf(me, mark), mark, bytes, type: blob.type, of, property,
  };
}

function madeBy({ practice, person }) {
  return { practice, person, waits: 1, made_at: new Date().toISOString() };
}

/** One stroke, and what it wrote read back; where that is not equal it is undone, before anything of it is sent. */
async function kept({ entries, pictures, half }) {
  const typed = await inOneTurn(["events", "photos", "half"], async (stores) => {
    for (const each of entries) stores.events.add(each);
    for (const each of entries) await mend(stores.events, JSON.parse(each.body).supersedes);
    for (const each of pictures) await addOnce(stores.photos, each);
    const before = half && await asked(stores.half.get(half));
    if (half) stores.half.delete(half);
    return before;
  });
  await readBack(entries, pictures).catch((error) => takeAway({ entries, pictures, half, typed }, error));
}

async function addOnce(store, picture) {
  if (!await asked(store.getKey(picture.key))) store.add(picture);
}

/** Look at what the disk has, not at what was meant. */
async function readBack(entries, pictures) {
  const [events, photos] = await looking(["events", "photos"], (stores) => Promise.all([
    Promise.all(entries.map((each) => asked(stores.events.get(each.id)))),
    Promise.all(pictures.map((each) => asked(stores.photos.get(each.key)))),
  ]));
  const same = entries.every((each, at) => canonical(events[at] ?? null) === canonical(each));
  const marks = await Promise.all(photos.map((each) => (each ? markOf(each.bytes) : "")));
  if (!same || pictures.some((each, at) => each.mark !== marks[at])) throw new Error("read back otherwise");
}

/** What needed somebody and is told anew needs nobody any more. */
async function mend(store, id) {
  const { aside, ...entry } = (id && await asked(store.get(id))) || {};
  if (aside) store.put({ ...entry, settled: { how: "mended", at: new Date().toISOString() } });
}

/** What was said not to be kept is not kept, and stands half-typed as before: who keeps it again has it once. */
async function takeAway({ entries, pictures, half, typed }, error) {
  await inOneTurn(["events", "photos", "half"], async (stores) => {
    for (const { id } of entries) stores.events.delete(id);
    for (const { key, made_at: made } of pictures) {
      const found = await asked(stores.photos.get(key));
      if (found?.made_at === made) stores.photos.delete(key);
    }
    if (half && typed !== undefined) stores.half.put(typed, half);
  });
  throw error;
}
