// Sends what waits, one batch or one photo at a time; what is decided about it is decided in sync.js.

import { AT_REST, step } from "./sync.js";

const PATIENCE_MS = { start: 20_000, events: 60_000, held: 60_000, open: 60_000, photo: 300_000 };
const LOCK = "rootcase-send";
const told = new Set();
let sender = null;

/**
 * Send from now on: when opened, seen, online again, when something was kept, by timer. before: has to be done, and
 * true, before the  server is asked whose session this is; heard: is given what it answered.
 */
export function startSending(book, { before, heard }) {
  sender = makeSender(book, { before, heard });
  const wake = (why) => () => sender.wake(why);
  addEventListener("online", wake("online"));
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && sender.wake("visible"));
  book.onChange(() => { sender.wake("kept"); }); // told is who was woken, not what is sent
  return sender.wake("open");
}

/** The key `Send now`. */
export const sendNow = () => sender.wake("key");

/** Why what waits was not sent: a part of a key of words; empty where nothing is wrong. */
export const whyNotSent = () => sender?.told() ?? "";

/** Whether it is being tried now. */
export const isSending = () => sender?.isSending() ?? false;

/** Be told when that changes. */
export function onSending(listener) {
  told.add(listener);
  return () => told.delete(listener);
}

export function makeSender(book, {
  ask = fetch, clock = Date.now, chance = Math.random, later = setTimeout, alone = aloneHere,
  before = async () => true, heard = book.takeStart,
} = {}) {
  let state = AT_REST, running = false, missed = false, timer = 0;

  async function drain(why) {
    let next = { is: "wake", why };
    while (next) {
      const { who, generation, most } = state;
      const owed = who && next.is === "wake" ? await book.owed(who, generation, most) : undefined;
      const found = step(state, { ...next, owed, now: clock(), chance: chance() });
      state = found.state;
      for (const listener of told) listener();
      next = null;
      for (const doing of found.doings) next = (await does[doing.do](doing)) ?? next;
    }
  }

  const does = {
    ask: (doing) => asked(doing),
    heard: async ({ start }) => { await heard(start); },
    mark: async (doing) => { await book.mark(doing); },
    again: async () => ({ is: "wake", why: "again" }),
    wait: async ({ ms }) => { clearTimeout(timer); timer = later(() => wake("timer"), ms); },
  };

  async function asked(doing) {
    try {
      if (doing.what === "start" && !await before()) return { is: "failed" };
      return { is: "answered", ...await read(await ask(...await question(book, doing, state.who, clock()))) };
    } catch {
      return { is: "failed" };
    }
  }

  async function wake(why) {
    if (running) { missed = true; return; }
    running = true;
    do {
      missed = false;
      try {
        await alone(() => drain(why));
      } catch (error) {
        state = { ...state, asked: null, told: "phone" };
        console.error(error);
      }
      why = "kept";
    } while (missed);
    running = false;
    for (const listener of told) listener();
  }

  return { wake, told: () => state.told, isSending: () => running };
}

/** Two windows of one phone do not send at once; the one that does takes all there is. */
function aloneHere(work) {
  return navigator.locks.request(LOCK, { ifAvailable: true }, (lock) => (lock ? work() : undefined));
}

async function question(book, { what, entries, key, mark }, who, now) {
  const { phone } = await book.self();
  const { ofPractice: [events, photos] } = await book.waiting();
  const headers = { "Rootcase-Phone": phone };
  if (what !== "start") Object.assign(headers, senderOf(who), { "Rootcase-Waiting": `${events} ${photos}` });
  const common = { headers, signal: AbortSignal.timeout(PATIENCE_MS[what]), cache: "no-store", redirect: "error" };
  if (what === "start") return ["/api/field/start", common];
  if (what === "photo") {
    const { bytes } = await book.photoBytes(key);
    headers["Content-Type"] = "application/octet-stream";
    return [`/api/photos/${mark}`, { ...common, method: "PUT", body: bytes }];
  }
  headers["Content-Type"] = "application/json";
  const [address, body] = what === "events" ? ["/api/events", { events: entries, now: new Date(now).toISOString() }]
    : ["/api/events/held", { ids: entries.map(({ id }) => id) }];
  return [address, { ...common, method: "POST", body: JSON.stringify(body) }];
}

/** Whose it is that is sent: the server takes it from nobody else. */
export function senderOf({ practice, person }) {
  return { "Rootcase-Sender": [practice, person].map(encodeURIComponent).join(" ") };
}

/** An answer is ours when it is whole JSON under its own name. */
async function read(answer) {
  const { status, headers } = answer;
  const text = await answer.text();
  const generation = headers.get("fieldbook-generation") ?? "";
  const told = { status, generation, after_s: Number(headers.get("retry-after")) || 0 };
  if (!(headers.get("content-type") ?? "").startsWith("application/json")) return { ...told, ours: false, body: null };
  try {
    return { ...told, ours: true, body: JSON.parse(text) };
  } catch {
    return { ...told, ours: false, body: null };
  }
}
