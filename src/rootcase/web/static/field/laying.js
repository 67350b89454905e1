// The phone's own entries over a property as the server sent it; pure. What stands is decided as fieldbook/view.py
// does: of one slot that which nothing supersedes, the later of two, a correction before a taking back. Entries that
// the server had before it told the ground speak through the ground alone: it knows what became of them since.

const THINGS = {
  tree_opened: ["trees", "tree"], pit_opened: ["pits", "pit"], sample_opened: ["samples", "sample"],
  place_opened: ["places", "place"], visit_started: ["visits", "visit"],
};
const NUMBERS = ["value", "depth_from_m", "depth_to_m"];

/**
 * The ground with the readings of both. Each tells `stands`, `out` (taken back), `rivals` and whether it is this
 * phone's `own`.
 */
export function laidOver(ground, own) {
  const laid = { ...ground };
  for (const [kind, [list, name]] of Object.entries(THINGS)) laid[list] = opened(ground[list] ?? [], own, kind, name);
  const opening = own.find((each) => each.kind === "property_opened");
  laid.property ??= { id: ground.id, name: opening?.body.name ?? "" };
  const visits = new Map(laid.visits.map((each) => [each.id, each]));
  const readings = new Map();
  for (const each of ground.readings ?? []) {
    readings.set(each.id, { ...each, event: each.id, property: ground.id, own: false });
  }
  for (const each of own.filter(({ kind }) => kind.startsWith("reading_"))) {
    const told = readings.get(each.id);
    const over = Boolean(ground.taken_at && each.sent && !each.parked && each.sent_at < ground.taken_at && !told);
    readings.set(each.id, { ...ofEntry(each, visits), ...told, own: true, state: stateOf(each), over });
  }
  laid.readings = judged([...readings.values()]);
  return laid;
}

/** "phone", "sent", "needs", or "settled": somebody let it go, or told it anew. */
export function stateOf(entry) {
  if (entry.aside) return "needs";
  return entry.waits ? "phone" : entry.settled ? "settled" : "sent";
}

function opened(there, own, kind, name) {
  const known = new Map(there.map((each) => [each.id, each]));
  for (const { kind: its, body } of own) {
    if (its !== kind || known.has(body[name])) continue;
    known.set(body[name], { ...body, id: body[name], place_id: body.place ?? null, tree_id: body.tree ?? null });
  }
  return [...known.values()];
}

function ofEntry({ id, property, kind, body, made_at, device }, visits) {
  const visit = visits.get(body.visit);
  const numbers = Object.fromEntries(NUMBERS.map((name) => [name, body[name] == null ? null : Number(body[name])]));
  return {
    sign: "=", choice: null, nothing: null, attributes: {}, doubts: [], series: "", supersedes: null, ...body,
    ...numbers, id, event: id, property, made_at, device, back: kind === "reading_taken_back", visit_id: body.visit,
    day: visit?.day, observer: visit?.observer,
  };
}

function judged(readings) {
  const slots = new Map();
  for (const each of readings) slots.set(each.slot, [...(slots.get(each.slot) ?? []), each]);
  for (const slot of slots.values()) {
    const superseded = new Set(slot.map((each) => each.supersedes));
    const loose = slot.filter((each) => !superseded.has(each.id) && !each.over).sort(later);
    const standing = loose.at(-1);
    for (const each of slot) {
      each.stands = each === standing && !each.back;
      each.out = Boolean(standing?.back);
      each.rivals = each === standing ? [...(each.rivals ?? []), ...loose.slice(0, -1).map(telling)] : [];
    }
  }
  return readings.filter((each) => !each.back);
}

/** Empty typed: it was taken back. */
function telling({ id, typed, back, made_at, device }) {
  return { id, typed: back ? "" : typed, made_at, device };
}

function later(one, other) {
  const [a, b] = [one, other].map((each) => `${each.back ? 0 : 1} ${each.made_at} ${each.id}`);
  return a < b ? -1 : 1;
}
