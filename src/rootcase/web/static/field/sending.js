// Sends what waits, one batch or one photo at a time; what is decided about it is decided in sync.js.

import { AT_REST, step } from "./sync.js";

const PATIENCE_MS = { events: 60_000, held: 60_000, photo: 300_000 };
const LOCK = "rootcase-send";
const told = new Set();
let sender = null;

/** Send from now on: when opened, seen, online again, when something was kept, by timer. */
export function startSending(book) {
  sender = makeSender(book);
  const wake = (why) => () => sender.wake(why);
  addEventListener("online", wake("online"));
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && sender.wake("visible"));
  book.onChange(wake("kept"));
  return sender.wake("open");
}

/** The key `Send now`. */
export const sendNow = () => sender.wake("key");

/** Why what waits was not sent: a part of a key of words; empty where nothing is wrong. */
export const whyNotSent = () => sender?.told() ?? "";

/** Be told when that changes. */
export function onSending(listener) {
  told.add(listener);
  return () => told.delete(listener);
}

export function makeSender(book, { ask = fetch, clock = Date.now, chance = Math.random, later = setTimeout, alone = aloneHere } = {}) {
  let state = AT_REST, running = false, missed = false, timer = 0;

  async function drain(why) {
    const me = await book.self();
    if (!me.practice) return;
    let next = { is: "wake", why };
    while (next) {
      const owed = next.is === "wake" ? await book.owed(me.practice, state.generation, state.most) : undefined;
      const found = step(state, { ...next, owed, now: clock(), chance: chance() });
      state = found.state;
      for (const listener of told) listener();
      next = null;
      for (const doing of found.doings) next = (await does[doing.do](doing, me)) ?? next;
    }
  }

  const does = {
    ask: (doing, me) => asked(doing, me),
    mark: async (doing) => { await book.mark(doing); },
    again: async () => ({ is: "wake", why: "again" }),
    wait: async ({ ms }) => { clearTimeout(timer); timer = later(() => wake("timer"), ms); },
  };

  async function asked(doing, me) {
    try {
      return { is: "answered", ...await read(await ask(...await question(book, doing, me, clock()))) };
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
  }

  return { wake, told: () => state.told };
}

/** Two windows of one phone do not send at once; the one that does takes all there is. */
function aloneHere(work) {
  return navigator.locks.request(LOCK, { ifAvailable: true }, (lock) => (lock ? work() : undefined));
}

async function question(book, { what, entries, mark }, me, now) {
  const { readings, others, photos } = await book.waiting();
  const headers = { "Rootcase-Phone": me.phone, "Rootcase-Waiting": `${readings + others} ${photos}` };
  const common = { headers, signal: AbortSignal.timeout(PATIENCE_MS[what]), cache: "no-store", redirect: "error" };
  if (what === "photo") {
    const { bytes } = await book.photoBytes(mark);
    headers["Content-Type"] = "application/octet-stream";
    return [`/api/photos/${mark}`, { ...common, method: "PUT", body: bytes }];
  }
  headers["Content-Type"] = "application/json";
  const body = what === "events" ? { events: entries, now: new Date(now).toISOString() } : { ids: entries.map(({ id }) => id) };
  const address = what === "events" ? "/api/events" : "/api/events/held";
  return [address, { ...common, method: "POST", body: JSON.stringify(body) }];
}

/** An answer is ours when it is whole JSON under its own name. */
async function read(answer) {
  const { status, headers } = answer;
  const text = await answer.text();
  const told = { status, generation: headers.get("fieldbook-generation") ?? "", after_s: Number(headers.get("retry-after")) || 0 };
  if (!(headers.get("content-type") ?? "").startsWith("application/json")) return { ...told, ours: false, body: null };
  try {
    return { ...told, ours: true, body: JSON.parse(text) };
  } catch {
    return { ...told, ours: false, body: null };
  }
}
