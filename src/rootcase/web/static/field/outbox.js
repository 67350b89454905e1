// What is to be sent and what was, in the phone's database; what decides about it is sync.js.

import { asked, changed, inOneTurn, looking } from "./database.js";

const LARGEST_BATCH = 1_000_000;  // JUDGEMENT: signs; half of what the server takes at once, since signs may be two bytes
const ALL = "\uffff";

/** What the next steps are about: a batch of entries, the next photo, and what another fieldbook was told. */
export async function owed(practice, generation, most) {
  return looking(["events", "photos"], async ({ events, photos }) => ({
    events: light(await asked(events.index("waits").getAll(IDBKeyRange.only([practice, 1]), most))),
    photos: await asked(photos.index("waits").getAllKeys(IDBKeyRange.only([practice, 1]), 1)),
    ...await stale(events, photos, practice, generation, most),
  }));
}

/** An entry as POST /api/events takes it. */
export function posted({ id, property, kind, made_at, device, body, hash }) {
  return { id, property_id: property, kind, made_at, device, body, hash };
}

/** One photo's bytes. */
export function photoBytes(mark) {
  return looking(["photos"], ({ photos }) => asked(photos.get(mark)));
}

/** Note what the server answered for, by one stroke; what is other here than was answered for stays as it is. */
export async function mark({ sent = [], photos = [], aside = [], again = [], photosAgain = [], generation }) {
  await inOneTurn(["events", "photos"], async (stores) => {
    const change = async (store, key, how, hash) => {
      const found = await asked(store.get(key));
      if (found && (hash === undefined || found.hash === hash)) store.put(how(found));
    };
    for (const { id, hash, parked } of sent) await change(stores.events, id, (each) => gone(each, generation, parked), hash);
    for (const key of photos) await change(stores.photos, key, (each) => gone(each, generation));
    for (const { id, told } of aside) await change(stores.events, id, (each) => laidAside(each, told, generation));
    for (const id of again) await change(stores.events, id, back);
    for (const key of photosAgain) await change(stores.photos, key, back);
  });
  changed();
}

/** All that no server has answered for, in the order it was made. */
export async function unsent() {
  return looking(["events", "photos"], async ({ events, photos }) => {
    const entries = await asked(events.getAll());
    return {
      events: entries.filter((each) => !each.sent).map(posted),
      photos: (await asked(photos.index("waits").getAll()))
        .map(({ mark: hash, bytes, type }) => ({ hash, blob: new Blob([bytes], { type }) })),
    };
  });
}

function light(entries) {
  let size = 0;
  return entries.filter((each, at) => (size += each.body.length) <= LARGEST_BATCH || at === 0).map(posted);
}

/** What was sent to a fieldbook that is not this one any more; nothing before it is known which this is. */
async function stale(events, photos, practice, generation, most) {
  if (!generation) return { stale: [], stalePhotos: [] };
  const others = (from, to) => IDBKeyRange.bound([practice, from], [practice, to], true, true);
  const ranges = [others("", generation), others(generation, ALL)];
  const found = await Promise.all(ranges.map((range) => asked(events.index("sent").getAll(range, most))));
  const pictures = await Promise.all(ranges.map((range) => asked(photos.index("sent").getAllKeys(range, most))));
  return {
    stale: found.flat().slice(0, most).map(({ id, hash }) => ({ id, hash })), stalePhotos: pictures.flat().slice(0, most),
  };
}

/** parked: the server keeps it until what it speaks of has come too. */
function gone({ waits, parked, ...entry }, generation, now) {
  return { ...entry, sent: generation, sent_at: new Date().toISOString(), ...(now ? { parked: now } : {}) };
}

function laidAside({ waits, sent, ...entry }, { state, error, right, held }, generation) {
  return { ...entry, ...(entry.settled ? {} : { aside: 1, why: { state, error, right } }), ...(held ? { sent: generation } : {}) };
}

function back({ sent, aside, why, ...entry }) {
  return { ...entry, waits: 1 };
}
