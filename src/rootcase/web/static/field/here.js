// The properties on this phone: what the server told, and what was opened here.

import { say } from "./words.js";

/** Their names by id. */
export async function namesHere(field) {
  const told = [...(await field.book.grounds()).map((each) => [each.id, each.property.name]), ...(field.start.properties ?? []).map((each) => [each.id, each.name])];
  const names = new Map(told);
  for (const id of Object.keys((await field.book.self()).own ?? {})) {
    if (!names.has(id)) names.set(id, (await field.book.ofProperty(id)).property.name || say("field.unnamed"));
  }
  return names;
}

/** Readings that two phones corrected, with the id of their property. */
export async function rivalsHere(field) {
  const told = (await field.book.grounds()).filter(({ readings = [] }) => readings.some((each) => each.rivals?.length));
  const laid = await Promise.all(told.map(async ({ id }) => (await field.book.ofProperty(id)).readings.filter((each) => each.stands && each.rivals.length)
    .map((reading) => ({ property: id, reading }))));
  return laid.flat();
}
