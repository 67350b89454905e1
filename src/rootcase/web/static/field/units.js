// Units by exact fractions, and how numbers are written: as ground/units.py and ground/quantity.py, held to them by
// tests.

import { catalogue } from "./catalogue.js";
import { say } from "./words.js";

const MINUS = "\u2212", SURE_DIGITS = 25;

export const ratio = (n, d = 1n) => ({ n, d });
export const plus = (a, b) => ratio(a.n * b.d + b.n * a.d, a.d * b.d);
export const times = (a, b) => ratio(a.n * b.n, a.d * b.d);
const over = (a, b) => ratio(a.n * b.d, a.d * b.n);
const less = (a, b) => plus(a, ratio(-b.n, b.d));

// A fraction or decimal text, and a number as the decimal it prints as.
export function exact(text) {
  const [above, below] = String(text).split("/");
  if (below) return ratio(BigInt(above), BigInt(below));
  const [digits, exponent = "0"] = above.split("e");
  const [whole, part = ""] = digits.split(".");
  const power = Number(exponent) - part.length;
  const read = ratio(BigInt(`${whole}${part}` || "0"));
  return power < 0 ? over(read, ratio(10n ** BigInt(-power))) : times(read, ratio(10n ** BigInt(power)));
}

// The nearest number: all its digits and one that says whether anything is left behind them.
export function toNumber({ n, d }) {
  const negative = n < 0n !== d < 0n;
  const [above, below] = [n < 0n ? -n : n, d < 0n ? -d : d];
  const places = Math.max(0, SURE_DIGITS - (String(above).length - String(below).length));
  const digits = (above * 10n ** BigInt(places)) / below;
  const left = (above * 10n ** BigInt(places)) % below ? "1" : "0";
  const size = Number(`${digits}${left}e-${places + 1}`);
  return negative ? -size : size;
}

export function convertExactly(value, from, to) {
  const read = typeof value === "object" ? value : exact(value);
  if (from === to) return read;
  const group = Object.values(catalogue.units).find((each) => from in each && to in each);
  if (!group) throw new Error(`${from} cannot become ${to}`);
  const [[scale, shift], [toScale, toShift]] = [group[from].map(exact), group[to].map(exact)];
  return over(less(plus(times(read, scale), shift), toShift), toScale);
}

export const convert = (value, from, to) => toNumber(convertExactly(value, from, to));
export const unitLabel = (unit) => catalogue.labels[unit];
export const inUsUnits = (unit) => catalogue.us.includes(unit);
export const boxUnit = (kind, system) => (system === "us" ? kind.us_unit : kind.metric_unit) ?? "";
export const otherUnit = (kind, system) => boxUnit(kind, system === "us" ? "metric" : "us");

// Two significant figures, three from 100 up, or as many as asked; trailing zeros fall away.
export function number(value, figures = 0) {
  if (value == null || Number.isNaN(value)) return say("quantity.not_known");
  return written(value, value === 0 ? 0 : (figures || (Math.abs(value) >= 100 ? 3 : 2)) - 1 - magnitude(value));
}

const magnitude = (value) => Number(value.toExponential().split("e")[1]);

export function interval(low, high, figures = 0) {
  const most = Math.max(Math.abs(low), Math.abs(high));
  const places = most === 0 ? 0 : (figures || (most >= 100 ? 3 : 2)) - 1 - magnitude(most);
  const [first, second] = [written(low, places), written(high, places)];
  return first === second ? first : say("quantity.interval", { low: first, high: second });
}

export function withUnit(text, unit) {
  const label = unitLabel(unit);
  if (!label) return text;
  return `${inUsUnits(unit) ? text : text.replaceAll(",", "")}${label === "°" ? "" : " "}${label}`;
}

// A value in the kind's SI unit, in the reader's system; both: with the other one behind it.
export function show(kind, value, system, { both = false, figures = 0 } = {}) {
  if (kind.si_unit === "year") return value.toFixed(0);
  const [first, second] = [boxUnit(kind, system), otherUnit(kind, system)].map((unit) =>
    withUnit(number(convert(value, kind.si_unit, unit), figures), unit));
  return both && first !== second ? say("quantity.both", { first, second }) : first;
}

// What stands beside a number as it was typed: the reader's unit, or the other one where it was typed in the reader's.
export function besideTyped(kind, { typed, value }, system) {
  const [unit, other] = [boxUnit(kind, system), otherUnit(kind, system)];
  if (value == null || !kind.si_unit || unit === other) return "";
  const shown = typed.endsWith(` ${unitLabel(unit)}`) || !typed.endsWith(` ${unitLabel(other)}`) ? other : unit;
  return withUnit(number(convert(value, kind.si_unit, shown)), shown);
}

const TAPE = { mm: "in", cm: "in", m: "ft" };

// Lengths in our own words, for a tape that reads inches: theirs first where both are said, and beside metric ones
// alone.
export function wordsFor(system, text = "") {
  if (system !== "us") return text;
  return text.replace(/(?<![(\d.])(\d[\d.]*) (mm|cm|m)\b(?: \(([^)]*\d (?:in|ft))\))?/g, (metric, size, unit, theirs) =>
    `${theirs ?? withUnit(number(convert(Number(size), unit, TAPE[unit])), TAPE[unit])} (${size} ${unit})`);
}

// Rounded half to even from the number as it is held, thousands parted by commas.
function written(value, places) {
  let d = 1n;
  let held = Math.abs(value);
  while (!Number.isInteger(held)) [held, d] = [held * 2, d * 2n];
  const [n, scale] = [BigInt(held), 10n ** BigInt(Math.abs(places))];
  const [above, below] = places > 0 ? [n * scale, d] : [n, d * scale];
  let [whole, left] = [above / below, (above % below) * 2n];
  if (left > below || (left === below && whole % 2n)) whole += 1n;
  if (places <= 0) whole *= scale;
  const digits = String(whole).padStart(places + 1, "0");
  const point = digits.length - Math.max(places, 0);
  const part = digits.slice(point).replace(/0+$/, "");
  const text = digits.slice(0, point).replace(/\B(?=(\d{3})+$)/g, ",") + (part ? `.${part}` : "");
  return value < 0 && text !== "0" ? `${MINUS}${text}` : text;
}
