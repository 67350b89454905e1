// What was typed becomes events in the form of the fieldbook: a visit of the day, readings, corrections, takings back.

import { newId, numberText } from "./canonical.js";
import { dayTold, say } from "./words.js";

function isEmpty(value) {
  if (value === undefined || value === null || value === "") return true;
  return typeof value === "object" && !Object.keys(value).length;
}

const present = (fields) => Object.fromEntries(Object.entries(fields).filter(([, value]) => !isEmpty(value)));
const asText = (value) => (value == null ? undefined : numberText(value));

export function openToday({ self, day }, property) {
  const visit = self.visits?.[property];
  return visit?.day === day() ? visit : undefined;
}

// The visit that is open on this phone for this person and day; else a new one, with its event.
async function openVisit(field, property) {
  const self = await field.book.self();
  const who = field.start.who?.code ?? "", open = openToday({ ...field, self }, property);
  if (open?.who === who) return { visit: open.id, events: [] };
  const visit = newId(), day = field.day();
  const label = say("field.visit_label", { day: dayTold(day), by: who, series: field.start.phone?.letters ?? "" });
  return {
    visit,
    events: [{ kind: "visit_started", body: present({ slot: newId(), visit, label, day, observer: who }) }],
    opened: async () => {
      const visits = { ...self.visits, [property]: { id: visit, day, who, system: field.system() } };
      field.self = await field.book.setSelf({ visits });
    },
  };
}

// What is read of the visit itself names a visit, which begins with it where none is open.
export async function visitNow(field, property) {
  const { visit, events, opened } = await openVisit(field, property);
  if (events.length) await field.book.keep({ property, events });
  await opened?.();
  return visit;
}

export const endVisit = async (field, property) => {
  const { [property]: _, ...visits } = (await field.book.self()).visits ?? {};
  field.self = await field.book.setSelf({ visits });
};

// An entry: {kind, of?, typed, value|choice|nothing, sign, depth_from_m, depth_to_m, growth_year, series, attributes,
// doubts}.
export const reading = (entry, of, visit, more = {}) => ({ typed: entry.typed ?? "", ...present({
  slot: newId(), kind: entry.kind, of: entry.of ?? of, visit, value: asText(entry.value),
  choice: entry.choice, sign: entry.sign === "=" ? undefined : entry.sign, nothing: entry.nothing,
  depth_from_m: asText(entry.depth_from_m), depth_to_m: asText(entry.depth_to_m),
  growth_year: entry.growth_year, series: entry.series, attributes: entry.attributes, doubts: entry.doubts, ...more,
}) });

// Keeps entries of one thing with their photos, all or none; resolves when they are on this phone for certain.
// before: events that have to stand first, such as that of a new pit.
export async function save(field, { property, of, entries, photos = [], before = [], half = "" }) {
  const { visit, events, opened } = await openVisit(field, property);
  const taken = entries.map((entry) => ({ kind: "reading_taken", body: reading(entry, of, visit) }));
  const kept = await field.book.keep({ property, events: [...events, ...before, ...taken], photos, half });
  await opened?.();
  const ids = kept.slice(-taken.length).map(({ id }) => id);
  return taken.map(({ body }, at) => ({ ...body, id: ids[at], visit_id: visit, property }));
}

// old: a reading as ofProperty() tells it: id, slot, kind, of, visit_id; property: the id of its property.
export async function correct(field, old, entry, reason) {
  const { kind, series, depth_from_m, depth_to_m, growth_year, attributes } = old;
  const told = { kind, series, depth_from_m, depth_to_m, growth_year, attributes, ...entry };
  const body = reading(told, old.of, old.visit_id, { slot: old.slot, supersedes: old.id, reason });
  return field.book.keep({ property: old.property, events: [{ kind: "reading_corrected", body }] });
}

export const takeBack = (field, old, reason) => field.book.keep({
  property: old.property,
  events: [{ kind: "reading_taken_back", body: { slot: old.slot, supersedes: old.id, reason } }],
});
