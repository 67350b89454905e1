// What is unsent when somebody signs out is sealed to their practice: this phone cannot read it any more, the
// practice's server can (services/sealing.py tells the form). The clear copies go only when the sealed ones were kept
// and read back.

import { newId } from "./canonical.js";
import { nameOf } from "./outbox.js";
import { senderOf } from "./sending.js";

const MAGIC = text("RCS1");
const INFO = text("rootcase sealed 1");
const NONCE_BYTES = 12;
const AT_ONCE = 200;
const TRIES = 3; // JUDGEMENT: an entry may be kept by another window while this one seals
const AGAIN_MS = 86_400_000; // JUDGEMENT: a pack that was refused is tried again the next day, or when somebody says so
const PATIENCE_MS = 300_000;
const HELD = ["new", "known", "waiting", "conflict", "refused"]; // the last two are kept aside there, as they came

/** Sign out: seal, forget what is clear, end the session as soon as there is signal. */
export async function leave(book) {
  for (let left = TRIES; ; left -= 1) {
    const packs = await sealedUnsent(book);
    if (packs.length) await book.keepSealed(packs);
    try {
      await book.forgetClear();
      break;
    } catch (error) {
      if (left === 1) throw error;
    }
  }
  await finishLeaving(book);
}

/** End the session of who has left while there was no signal; whether it is certain that it has ended. */
export async function finishLeaving(book) {
  const { left, phone } = await book.self();
  if (!left) return true;
  try {
    await fetch("/sign-out", { method: "POST", redirect: "manual" });
    const headers = { "Rootcase-Phone": phone };
    const answer = await fetch("/api/field/start", { headers, cache: "no-store", redirect: "error" });
    if (!isOver(answer.status, await answer.json())) return false;
  } catch {
    return false;
  }
  await book.setSelf({ left: false });
  return true;
}

/** The server's own word that nobody is signed in; at the invented data nobody ever is. */
function isOver(status, { error, held_day: day }) {
  return status === 401 ? typeof error === "string" : status === 200 && Boolean(day);
}

/**
 * Send what was sealed here of the practice that is signed in now, by whomever; a pack goes when the server has all of
 * it. all: also what  was refused a short while ago.
 */
export async function sendSealed(book, all = false) {
  const { phone, practice, person } = await book.self();
  const headers = { "Rootcase-Phone": phone, ...senderOf({ practice: practice ?? "", person: person ?? "" }) };
  const isDue = ({ why }) => all || !why || why.by !== person || Math.abs(Date.now() - Date.parse(why.at)) >= AGAIN_MS;
  for (const pack of await book.sealedPacks()) {
    if (pack.practice !== practice || !isDue(pack)) continue;
    const body = new FormData();
    body.append("file", new Blob([pack.bytes], { type: "application/octet-stream" }), "sealed");
    const signal = AbortSignal.timeout(PATIENCE_MS);
    const answer = await fetch("/api/field/sealed", { method: "POST", body, headers, redirect: "error", signal });
    if (answer.status === 413 || answer.status === 422) await refused(book, pack, person, answer);
    else if (answer.status !== 200) return; // nothing is wrong with the pack
    else if (hasAll(await answer.json(), pack)) await book.dropSealed(pack.id);
  }
}

async function refused(book, pack, by, answer) {
  const { error, right } = await answer.json().catch(() => ({})); // else something else has answered
  if (typeof error === "string") await book.noteSealed(pack, { error, right, by, at: new Date().toISOString() });
}

/** Whether an answer names every entry of a pack, with its hash, and every photo. */
function hasAll(told, { ids, photos }) {
  const states = new Map(told.events.map((each) => [each.id, each]));
  return photos.every((mark) => told.photos.includes(mark)) && Object.entries(ids).every(([id, hash]) => {
    const found = states.get(id);
    return found && HELD.includes(found.state) && (found.hash === hash || found.state === "conflict");
  });
}

/** One pack. key: what /api/field/start tells as practice.sealing. */
export async function sealPack(key, contents, photo = new Uint8Array()) {
  const theirs = await pointOf(key);
  const own = await crypto.subtle.generateKey({ name: "ECDH", namedCurve: "P-256" }, false, ["deriveBits"]);
  const point = new Uint8Array(await crypto.subtle.exportKey("raw", own.publicKey));
  const nonce = crypto.getRandomValues(new Uint8Array(NONCE_BYTES));
  const head = joined(MAGIC, fromHex(key.id), point, nonce);
  const told = text(JSON.stringify(contents));
  const plain = joined(sizeOf(told), told, photo);
  const sealing = { name: "AES-GCM", iv: nonce, additionalData: head };
  const sealed = await crypto.subtle.encrypt(sealing, await shared(own.privateKey, theirs, point), plain);
  return joined(head, new Uint8Array(sealed));
}

/** Packs of all that is unsent, whoever's it is; what cannot be sealed to its practice is not signed out over. */
async function sealedUnsent(book) {
  const { seals = {}, phone } = await book.self();
  const packs = [];
  for (const { practice, person, events, photos } of byOwner(await book.unsent())) {
    const { sealing, as } = seals[nameOf({ practice, person })] ?? {};
    const common = { practice, phone, code: person, as };
    const about = () => ({ id: newId(), practice, person, at: new Date().toISOString() });
    for (let at = 0; at < events.length; at += AT_ONCE) {
      const those = events.slice(at, at + AT_ONCE);
      const ids = Object.fromEntries(those.map((each) => [each.id, each.hash]));
      packs.push({ ...about(), bytes: await sealPack(sealing, { ...common, events: those }), ids, photos: [] });
    }
    for (const { hash, blob } of photos) {
      const bytes = await sealPack(sealing, { ...common, events: [] }, new Uint8Array(await blob.arrayBuffer()));
      packs.push({ ...about(), bytes, ids: {}, photos: [hash] });
    }
  }
  return packs;
}

/** What is unsent by whose it is; each is sealed to its own practice's key, as theirs. */
function byOwner({ events, photos }) {
  const found = new Map();
  const of = ({ practice, person }) => {
    const name = nameOf({ practice, person });
    if (!found.has(name)) found.set(name, { practice, person, events: [], photos: [] });
    return found.get(name);
  };
  for (const each of events) of(each).events.push(each);
  for (const each of photos) of(each).photos.push(each);
  return [...found.values()];
}

/** The key's point, as an importable key and as bytes; a damaged one would lock for ever what is sealed to it. */
async function pointOf({ id, public: told }) {
  const bytes = Uint8Array.from(atob(told), (sign) => sign.charCodeAt(0));
  const mark = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  if (mark.some((byte, at) => byte !== fromHex(id)[at])) throw new Error("the practice's key is damaged");
  return { bytes, key: await crypto.subtle.importKey("raw", bytes, { name: "ECDH", namedCurve: "P-256" }, false, []) };
}

async function shared(privateKey, theirs, point) {
  const secret = await crypto.subtle.deriveBits({ name: "ECDH", public: theirs.key }, privateKey, 256);
  const base = await crypto.subtle.importKey("raw", secret, "HKDF", false, ["deriveKey"]);
  const how = { name: "HKDF", hash: "SHA-256", salt: joined(point, theirs.bytes), info: INFO };
  return crypto.subtle.deriveKey(how, base, { name: "AES-GCM", length: 256 }, false, ["encrypt"]);
}

/** Four bytes, the highest first. */
function sizeOf({ length }) {
  const four = new DataView(new ArrayBuffer(4));
  four.setUint32(0, length);
  return new Uint8Array(four.buffer);
}

function text(signs) {
  return new TextEncoder().encode(signs);
}

function fromHex(signs) {
  return Uint8Array.from(signs.match(/../g), (byte) => parseInt(byte, 16));
}

function joined(...parts) {
  const whole = new Uint8Array(parts.reduce((size, part) => size + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}
