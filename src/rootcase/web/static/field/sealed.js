// What is sealed to its practice before somebody signs out: kept until the server has answered for every entry in it.

import { asked, changed, inOneTurn, looking } from "./database.js";
import { keyOf } from "./outbox.js";

/** Keep packs and read them back equal. */
export async function keepSealed(packs) {
  await inOneTurn(["sealed"], async ({ sealed }) => packs.forEach((each) => sealed.put(each)));
  const found = await sealedPacks();
  const text = (pack) => JSON.stringify({ ...pack, bytes: Array.from(pack.bytes) });
  const known = new Set(found.map(text));
  if (!packs.every((each) => known.has(text(each)))) throw new Error("read back otherwise");
  changed();
}

export function sealedPacks() {
  return looking(["sealed"], ({ sealed }) => asked(sealed.getAll()));
}

/** Note why the server does not take a pack: it is not sent again for a while, and holds no other up. */
export async function noteSealed(pack, why) {
  await inOneTurn(["sealed"], async ({ sealed }) => sealed.put({ ...pack, why }));
  changed();
}

export async function dropSealed(id) {
  await inOneTurn(["sealed"], async ({ sealed }) => sealed.delete(id));
  changed();
}

/**
 * Take the clear copies and what was sent here away, and note that who was signed in has left; only where a sealed
 * pack names all that is  unsent, whoever's it is.
 */
export async function forgetClear() {
  await inOneTurn(["events", "photos", "grounds", "sheets", "half", "self", "sealed"], async (stores) => {
    const packs = await asked(stores.sealed.getAll());
    const entries = Object.assign({}, ...packs.map((each) => each.ids));
    const pictures = new Set(packs.flatMap((each) => each.photos.map((mark) => keyOf(each, mark))));
    const unsent = (await asked(stores.events.getAll())).filter((each) => !each.sent);
    const photos = (await Promise.all(["waits", "aside"].map((told) =>
      asked(stores.photos.index(told).getAllKeys())))).flat();
    if (!unsent.every((each) => entries[each.id] === each.hash) || !photos.every((each) => pictures.has(each))) {
      throw new Error("not all is sealed");
    }
    for (const name of ["events", "photos", "grounds", "sheets", "half"]) stores[name].clear();
    const self = await asked(stores.self.get("self")) ?? {};
    const { start, practice, person, seals, visits, sheets, rounds, ...phone } = self;
    stores.self.put({ ...phone, left: true }, "self");
  });
  changed();
}
