// The properties on this phone: what the server told, and what was opened here.

import { say } from "./words.js";

/** Their names by id. */
export async function namesHere(field) {
  const names = new Map((await field.book.grounds()).map(({ id, property }) => [id, property.name]));
  for (const { id, name } of field.start.properties ?? []) names.set(id, name);
  for (const id of Object.keys((await field.book.self()).own ?? {})) {
    if (!names.has(id)) names.set(id, (await field.book.ofProperty(id)).property.name || say("field.unnamed"));
  }
  return names;
}

/** Readings that two phones corrected, with the id of their property. */
export async function rivalsHere(field) {
  const told = (await field.book.grounds()).filter(({ readings = [] }) => readings.some((each) => each.rivals?.length));
  const found = await Promise.all(told.map(async ({ id }) => {
    const { readings } = await field.book.ofProperty(id);
    return readings.filter((each) => each.stands && each.rivals.length).map((reading) => ({ property: id, reading }));
  }));
  return found.flat();
}

/** The tree, pit, sample, place or visit of this id. */
export const thingIn = (ground, id) => ["trees", "pits", "samples", "places", "visits"]
  .flatMap((list) => ground[list] ?? []).find((each) => each.id === id);
