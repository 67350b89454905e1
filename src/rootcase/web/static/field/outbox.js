// What is to be sent and what was, in the phone's database; what decides about it is sync.js. Each entry and photo is
// somebody's of some practice: only theirs is sent in their name, and what is of others stays until they sign in here.

import { asked, changed, inOneTurn, looking } from "./database.js";

// JUDGEMENT: signs; half of what the server takes at once, since signs may be two bytes.
const LARGEST_BATCH = 1_000_000;
const MOST_ASKED = 1000;  // ids at once of what became of entries; the server takes 5000
const DAY_MS = 86_400_000;
const ALL = "\uffff";

/** Whose something is, as one name. */
export const nameOf = ({ practice = "", person = "" }) => `${practice} ${person}`;
/** A photo's key: the same picture taken by two is two. */
export const keyOf = (whose, mark) => `${nameOf(whose)} ${mark}`;
const markIn = (key) => key.split(" ").at(-1);
/** Of an index: what is theirs. */
export const onlyOf = ({ practice = "", person = "" }) => IDBKeyRange.only([practice, person, 1]);

/** What was just written is not sent before it was read back, by whichever window. */
export const proving = (work) => navigator.locks.request("rootcase-prove", work);

/**
 * What the next steps are about: a batch of entries, the next photo, what another fieldbook was told, what may have
 * become of others.
 */
export async function owed(whose, generation, most) {
  return proving(() => looking(["events", "photos"], async ({ events, photos }) => {
    const mine = onlyOf(whose);
    const first = await asked(photos.index("waits").getAllKeys(mine, 1));
    const open = (await Promise.all(["parked", "aside"].map((told) =>
      asked(events.index(told).getAll(mine, MOST_ASKED))))).flat().filter((each) => each.sent);
    return {
      events: light(await asked(events.index("waits").getAll(mine, most))),
      photos: first.map((key) => ({ key, mark: markIn(key) })),
      open: open.map(({ id, hash, parked }) => ({ id, hash, parked: Boolean(parked) })),
      ...await stale(events, photos, whose, generation, most),
    };
  }));
}

/**
 * What is on this phone only: readings, other entries, photos; since when; how many need somebody. ofOthers: how many
 * entries, photos  and packs are of another practice or person; ofPractice: entries and photos of everybody of this
 * practice.
 */
export async function waiting() {
  const { practice = "", person = "" } = await looking(["self"], ({ self }) => asked(self.get("self"))) ?? {};
  return looking(["events", "photos", "sealed"], async ({ events, photos, sealed }) => {
    const aside = await asked(events.index("aside").getAll());
    const unsent = [...await asked(events.index("waits").getAll()), ...aside.filter((each) => !each.sent)];
    const pictures = await unsentPhotos(photos);
    const packs = await asked(sealed.getAll());
    const isMine = (each) => each.practice === practice && each.person === person;
    const mine = unsent.filter(isMine), myPictures = pictures.filter(isMine);
    const readings = mine.filter((each) => each.kind.startsWith("reading_")).length;
    const here = packs.filter((each) => !practice || each.practice === practice).length;
    const ofIt = (each) => each.practice === practice;
    return {
      readings, others: mine.length - readings, photos: myPictures.length, sealed: here,
      since: mine.reduce((first, each) => (first && first < each.made_at ? first : each.made_at), null),
      needsYou: [...aside, ...pictures.filter((each) => each.aside)].filter(isMine).length,
      ofOthers: unsent.length - mine.length + pictures.length - myPictures.length + packs.length - here,
      ofPractice: [unsent.filter(ofIt).length, pictures.filter(ofIt).length],
    };
  });
}

/** An entry as POST /api/events takes it. */
function posted({ id, property, kind, made_at, device, body, hash }) {
  return { id, property_id: property, kind, made_at, device, body, hash };
}

/** One photo's bytes. */
export function photoBytes(key) {
  return looking(["photos"], ({ photos }) => asked(photos.get(key)));
}

/** Note what the server answered for, by one stroke; what is other here than was answered for stays as it is. */
export async function mark({
  sent = [], photos = [], aside = [], photosAside = [], again = [], photosAgain = [], generation,
}) {
  await inOneTurn(["events", "photos"], async (stores) => {
    const change = async (store, key, how, hash) => {
      const found = await asked(store.get(key));
      if (found && (hash === undefined || found.hash === hash)) store.put(how(found));
    };
    const isGone = (parked) => (each) => gone(each, generation, parked);
    const isAside = (told) => (each) => laidAside(each, told, generation);
    for (const { id, hash, parked } of sent) await change(stores.events, id, isGone(parked), hash);
    for (const key of photos) await change(stores.photos, key, isGone(false));
    for (const { id, told } of aside) await change(stores.events, id, isAside(told));
    for (const { key, told } of photosAside) await change(stores.photos, key, isAside(told));
    for (const id of again) await change(stores.events, id, back);
    for (const key of photosAgain) await change(stores.photos, key, back);
  });
  changed();
}

/** All that no server has answered for, in the order it was made; each names its practice and person. */
export async function unsent() {
  return looking(["events", "photos"], async ({ events, photos }) => {
    const whose = ({ practice, person }) => ({ practice, person });
    const entries = await asked(events.getAll());
    const pictures = [...await asked(photos.index("waits").getAll()), ...await asked(photos.index("aside").getAll())];
    return {
      events: entries.filter((each) => !each.sent).map((each) => ({ ...posted(each), ...whose(each) })),
      photos: pictures.map((each) => ({
        hash: each.mark, blob: new Blob([each.bytes], { type: each.type }), ...whose(each),
      })),
    };
  });
}

/** Of which properties there is anything of this phone's own. */
export async function properties() {
  const all = await looking(["events"], ({ events }) => asked(events.getAll()));
  return new Set(all.map((each) => each.property));
}

/** Take what was sent of a property off the phone, where it was sent so many days ago. */
export async function dropSent(property, days) {
  const before = new Date(Date.now() - days * DAY_MS).toISOString();
  await inOneTurn(["events", "photos"], async (stores) => {
    for (const [store, key] of [[stores.events, "id"], [stores.photos, "key"]]) {
      for (const each of await asked(store.index("property").getAll(property))) {
        if (each.sent && !each.parked && !each.aside && each.sent_at < before) store.delete(each[key]);
      }
    }
  });
}

/** Whose and which photos no server has answered for; their bytes stay on the disk. */
async function unsentPhotos(photos) {
  const found = await Promise.all(["waits", "aside"].map((told) => asked(photos.index(told).getAllKeys())));
  return found.flatMap((keys, at) => keys.map((key) => {
    const [practice, person] = key.split(" ");
    return { practice, person, aside: at === 1 };
  }));
}

function light(entries) {
  let size = 0;
  return entries.filter((each, at) => (size += each.body.length) <= LARGEST_BATCH || at === 0).map(posted);
}

/** What was sent to a fieldbook that is not this one any more; nothing before it is known which this is. */
async function stale(events, photos, { practice, person }, generation, most) {
  if (!generation) return { stale: [], stalePhotos: [] };
  const others = (from, to) => IDBKeyRange.bound([practice, person, from], [practice, person, to], true, true);
  const ranges = [others("", generation), others(generation, ALL)];
  const found = await Promise.all(ranges.map((range) => asked(events.index("sent").getAll(range, most))));
  const pictures = await Promise.all(ranges.map((range) => asked(photos.index("sent").getAllKeys(range, most))));
  return {
    stale: found.flat().slice(0, most).map(({ id, hash }) => ({ id, hash })),
    stalePhotos: pictures.flat().slice(0, most),
  };
}

/** parked: the server keeps it until what it speaks of has come too. */
function gone({ waits, parked, aside, why, ...entry }, generation, now) {
  return { ...entry, sent: generation, sent_at: new Date().toISOString(), ...(now ? { parked: 1 } : {}) };
}

/** held: the fieldbook keeps it as it came; settled: what a person made of it there. */
function laidAside({ waits, sent, parked, aside, ...entry }, { state, error, right, held, settled }, generation) {
  const over = entry.settled ?? (settled && { how: settled, at: new Date().toISOString() });
  const told = over ? { settled: over } : { aside: 1, why: { state, error, right } };
  return { ...entry, ...told, ...(held ? { sent: generation, sent_at: new Date().toISOString() } : {}) };
}

function back({ sent, parked, aside, why, ...entry }) {
  return { ...entry, waits: 1 };
}
