// What was typed becomes events in the form of the fieldbook: a visit of the day, readings, corrections, takings back.

import { newId, numberText } from "./canonical.js";
import { dayTold, say } from "./words.js";

const present = (fields) => Object.fromEntries(Object.entries(fields).filter(([, value]) =>
  value !== undefined && value !== null && value !== "" && !(Array.isArray(value) && !value.length)
  && !(value?.constructor === Object && !Object.keys(value).length)));

export const openToday = ({ self, day }, property) => [self.visits?.[property]].find((visit) => visit?.day === day());

// The visit that is open on this phone for this person and day; else a new one, with its event.
export async function openVisit(field, property) {
  const self = await field.book.self();
  const who = field.start.who?.code ?? "", open = openToday({ ...field, self }, property);
  if (open?.who === who) return { visit: open.id, events: [] };
  const visit = newId();
  const label = say("field.visit_label", { day: dayTold(field.day()), by: who, series: field.start.phone?.letters ?? "" });
  return {
    visit,
    events: [{ kind: "visit_started", body: present({ slot: newId(), visit, label, day: field.day(), observer: who }) }],
    keep: async () => {
      const opened = { id: visit, day: field.day(), who, system: field.system() };
      field.self = await field.book.setSelf({ visits: { ...self.visits, [property]: opened } });
    },
  };
}

export const endVisit = async (field, property) => {
  const { [property]: _, ...visits } = (await field.book.self()).visits ?? {};
  field.self = await field.book.setSelf({ visits });
};

// An entry: {kind, of?, typed, value|choice|nothing, sign, depth_from_m, depth_to_m, growth_year, series, attributes, doubts}.
export const reading = (entry, of, visit, more = {}) => ({ typed: entry.typed ?? "", ...present({
  slot: newId(), kind: entry.kind, of: entry.of ?? of, visit,
  value: entry.value == null ? undefined : numberText(entry.value),
  choice: entry.choice, sign: entry.sign === "=" ? undefined : entry.sign, nothing: entry.nothing,
  depth_from_m: entry.depth_from_m == null ? undefined : numberText(entry.depth_from_m),
  depth_to_m: entry.depth_to_m == null ? undefined : numberText(entry.depth_to_m),
  growth_year: entry.growth_year, series: entry.series, attributes: entry.attributes, doubts: entry.doubts, ...more,
}) });

// Keeps entries of one thing with their photos, all or none; resolves when they are on this phone for certain.
// before: events that have to stand first, such as that of a new pit.
export async function save(field, { property, of, entries, photos = [], before = [], half = "" }) {
  const { visit, events, keep } = await openVisit(field, property);
  const taken = entries.map((entry) => ({ kind: "reading_taken", body: reading(entry, of, visit) }));
  const kept = await field.book.keep({ property, events: [...events, ...before, ...taken], photos, half });
  await keep?.();
  const ids = kept.slice(-taken.length).map(({ id }) => id);
  return taken.map(({ body }, at) => ({ ...body, id: ids[at], visit_id: visit, property }));
}

// old: a reading as ofProperty() tells it: id, slot, kind, of, visit_id; property: the id of its property.
export async function correct(field, old, entry, reason, photos = []) {
  const kept = {
    kind: old.kind, series: old.series, depth_from_m: old.depth_from_m, depth_to_m: old.depth_to_m,
    growth_year: old.growth_year, attributes: old.attributes, ...entry,
  };
  const body = reading(kept, old.of, old.visit_id, { slot: old.slot, supersedes: old.id, reason });
  return field.book.keep({ property: old.property, events: [{ kind: "reading_corrected", body }], photos });
}

export const takeBack = (field, old, reason) => field.book.keep({
  property: old.property, photos: [],
  events: [{ kind: "reading_taken_back", body: { slot: old.slot, supersedes: old.id, reason } }],
});
