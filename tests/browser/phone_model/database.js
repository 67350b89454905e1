// A database in memory in the phone's place: the same promises as static/field/database.js, with every fault that a real one may have.

const KEYS = { events: "id", photos: "key", sealed: "id" };
const NAMES = ["events", "photos", "grounds", "sheets", "self", "half", "sealed"];
const listeners = new Set();
let held, queue;
export const faults = { next: null };  // "full", "lost" (says done and is not), "altered", or a function asked before the end

export function reset() {
  held = Object.fromEntries(NAMES.map((name) => [name, new Map()]));
  queue = Promise.resolve();
  faults.next = null;
  listeners.clear();
}

export const dump = () => structuredClone(held);
export const asked = (value) => value;
export const looking = (names, work) => inOneTurn(names, work, "readonly");
export const changed = () => listeners.forEach((each) => each());
export function onChange(listener) {
  listeners.add(listener);
  return () => listeners.delete(listener);
}

export function inOneTurn(names, work, mode = "readwrite") {
  const turn = queue.then(async () => {
    const before = new Map(names.map((name) => [name, new Map(held[name])]));
    try {
      const found = structuredClone(await work(Object.fromEntries(names.map((name) => [name, store(name)]))));
      if (mode === "readwrite") fault(names, before);
      return found;
    } catch (error) {
      for (const [name, rows] of before) held[name] = rows;
      throw error;
    }
  });
  queue = turn.catch(() => {});
  return turn;
}

function fault(names, before) {
  const kind = faults.next;
  if (!kind || !names.includes("events")) return;
  faults.next = null;
  if (kind === "full") throw new DOMException("full", "QuotaExceededError");
  if (kind === "lost") for (const [name, rows] of before) held[name] = rows;
  if (kind === "altered") {
    for (const [id, row] of held.events) if (!before.get("events").has(id)) held.events.set(id, { ...row, body: `${row.body} ` });
  }
}

function store(name) {
  const rows = () => held[name];
  const key = (row, given) => (KEYS[name] ? row[KEYS[name]] : given);
  return {
    get: (id) => structuredClone(rows().get(id)),
    getKey: (id) => (rows().has(id) ? id : undefined),
    getAll: () => structuredClone(sorted(rows())),
    put: (row, given) => { rows().set(key(row, given), structuredClone(row)); },
    add: (row) => {
      if (rows().has(key(row))) throw new DOMException("there", "ConstraintError");
      rows().set(key(row), structuredClone(row));
    },
    delete: (id) => { rows().delete(id); },
    clear: () => rows().clear(),
    count: () => rows().size,
    index: (field) => index(rows(), field, KEYS[name]),
  };
}

function index(rows, field, key) {
  const value = (row) => (field === "property" ? row.property : [row.practice, row.person, row[field]]);
  const within = (range) => sorted(rows).filter((row) => row[field] !== undefined
    && (range === undefined || (range instanceof IDBKeyRange ? range.includes(value(row)) : indexedDB.cmp(range, value(row)) === 0)));
  return {
    getAll: (range, most) => structuredClone(within(range).slice(0, most)),
    getAllKeys: (range, most) => within(range).slice(0, most).map((row) => row[key]),
    count: (range) => within(range).length,
  };
}

const sorted = (rows) => [...rows.entries()].sort(([one], [other]) => (one < other ? -1 : 1)).map(([, row]) => row);
