// What is unsent when somebody signs out is sealed to their practice: this phone cannot read it any more, the practice's server can
// (services/sealing.py tells the form). The clear copies go only when the sealed ones were kept and read back.

import { newId } from "./canonical.js";

const MAGIC = text("RCS1");
const INFO = text("rootcase sealed 1");
const NONCE_BYTES = 12;
const AT_ONCE = 200;
const TRIES = 3; // JUDGEMENT: an entry may be kept by another window while this one seals
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
  await book.setSelf({ left: true });
  await finishLeaving(book);
}

/** End the session of who has left while there was no signal; whether nobody is signed in any more. */
export async function finishLeaving(book) {
  if (!(await book.self()).left) return true;
  try {
    const answer = await fetch("/sign-out", { method: "POST", redirect: "manual" });
    if (answer.type !== "opaqueredirect" && !answer.ok) return false;
  } catch {
    return false;
  }
  await book.setSelf({ left: false });
  return true;
}

/** Send what was sealed here, whoever of the practice is signed in now; a pack goes when the server has all of it. */
export async function sendSealed(book) {
  const { phone, practice } = await book.self();
  if (!practice) return;
  for (const pack of await book.sealedPacks()) {
    const body = new FormData();
    body.append("file", new Blob([pack.bytes], { type: "application/octet-stream" }), "sealed");
    const answer = await fetch("/api/field/sealed", { method: "POST", body, headers: { "Rootcase-Phone": phone }, redirect: "error" });
    const told = answer.status === 200 ? await answer.json() : null;
    if (told && hasAll(told, pack)) await book.dropSealed(pack.id);
  }
}

/** Whether an answer names every entry of a pack, with its hash, and every photo. */
export function hasAll(told, { ids, photos }) {
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
  return joined(head, new Uint8Array(await crypto.subtle.encrypt(sealing, await shared(own.privateKey, theirs, point), plain)));
}

async function sealedUnsent(book) {
  const { start, phone } = await book.self();
  const { events, photos } = await book.unsent();
  if (!events.length && !photos.length) return [];
  const key = start.practice.sealing;
  const common = { practice: start.practice.id, phone, code: start.who.code, as: start.sealed_as };
  const about = () => ({ id: newId(), code: start.who.code, at: new Date().toISOString() });
  const packs = [];
  for (let at = 0; at < events.length; at += AT_ONCE) {
    const those = events.slice(at, at + AT_ONCE);
    const ids = Object.fromEntries(those.map((each) => [each.id, each.hash]));
    packs.push({ ...about(), bytes: await sealPack(key, { ...common, events: those }), ids, photos: [] });
  }
  for (const { hash, blob } of photos) {
    const bytes = await sealPack(key, { ...common, events: [] }, new Uint8Array(await blob.arrayBuffer()));
    packs.push({ ...about(), bytes, ids: {}, photos: [hash] });
  }
  return packs;
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
