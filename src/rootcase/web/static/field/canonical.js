// One text for one meaning, and what an event is called by: as fieldbook/canonical.py and ground/ids.py, held to
// tests/vectors/canonical.json.

const HALF_A_SIGN = /\p{Cs}/u;
const ID_TAIL = [8, 4, 4, 4, 12];

class Unwritable extends Error {}

/** Canonical text of objects, lists, text, whole numbers, true, false and null; anything else throws. */
export function canonical(value) {
  if (value === null || value === true || value === false) return String(value);
  if (typeof value === "string") return JSON.stringify(sound(value));
  if (typeof value === "number" && Number.isSafeInteger(value) && !Object.is(value, -0)) return String(value);
  if (Array.isArray(value)) return `[${value.map(canonical).join(",")}]`;
  if (value && Object.getPrototypeOf(value) === Object.prototype) return ofObject(value);
  throw new Unwritable(String(value));
}

/** SHA-256 of the canonical text, in hexadecimal. */
export function contentHash(value) {
  return markOf(new TextEncoder().encode(canonical(value)));
}

/** SHA-256 of bytes, in hexadecimal: what a photo is called by. */
export async function markOf(bytes) {
  const found = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(found, (each) => each.toString(16).padStart(2, "0")).join("");
}

/**
 * Shortest decimal text that reads back as the same number, never with an exponent: how a fraction stands in a body.
 */
export function numberText(value) {
  if (!Number.isFinite(value) || Object.is(value, -0)) throw new Unwritable(String(value));
  const [digits, exponent] = String(Math.abs(value)).split("e");
  const sign = value < 0 ? "-" : "";
  if (exponent === undefined) return sign + digits;
  const [whole, part = ""] = digits.split(".");
  const point = whole.length + Number(exponent), all = whole + part;
  if (point <= 0) return `${sign}0.${"0".repeat(-point)}${all}`;
  return sign + all.padEnd(point, "0");
}

let lastMs = -1, counter = 0;

/**
 * UUID version 7 (RFC 9562, section 6.2, method 1) that only ever grows in this window, also when the clock steps
 * back.
 */
export function newId(now = Date.now()) {
  const chance = crypto.getRandomValues(new Uint8Array(10));
  const seed = (chance[0] << 3) | (chance[1] >> 5);
  counter += 1;
  if (now > lastMs) [lastMs, counter] = [now, seed];
  else if (counter === 4096) [lastMs, counter] = [lastMs + 1, seed];
  const tail = Array.from(chance.subarray(2), (each) => each.toString(16).padStart(2, "0")).join("");
  const variant = (8 | (parseInt(tail[0], 16) & 3)).toString(16);
  const time = lastMs.toString(16).padStart(12, "0"), count = counter.toString(16).padStart(3, "0");
  const digits = `${time}7${count}${variant}${tail.slice(1)}`;
  let from = 0;
  return ID_TAIL.map((length) => digits.slice(from, (from += length))).join("-");
}

function ofObject(value) {
  const named = Object.entries(value).map(([name, inner]) => [sound(name), inner]);
  // Signs are compared by their UTF-16 code units, as RFC 8785 does.
  named.sort(([one], [other]) => (one < other ? -1 : 1));
  const names = named.map(([name]) => name);
  if (new Set(names).size < names.length) throw new Unwritable(names.join(", "));
  return `{${named.map(([name, inner]) => `${JSON.stringify(name)}:${canonical(inner)}`).join(",")}}`;
}

function sound(text) {
  if (HALF_A_SIGN.test(text)) throw new Unwritable(text);
  return text.normalize("NFC");
}
