// What a pad or keys can type, read into a number or a refusal: as ground/typed.py and fieldbook/intake/values.py, held
// to them by tests. Units are read by our own names and by the signs for feet and inches; any other text is refused.

import { catalogue } from "./catalogue.js";
import { check, message, yearsMeant } from "./doubts.js";
import {
  boxUnit, convert, convertExactly, exact, inUsUnits, number, plus, ratio, times, toNumber, unitLabel, withUnit,
} from "./units.js";
import { listed, say } from "./words.js";

export class Refused extends Error {}

const MOST_DIGITS = 60, MOST_EXPONENT = 30, CALENDAR_YEAR = 1000;
const SIGNS = { "″": '"', "”": '"', "“": '"', "''": '"', "′": "'", "’": "'", "‘": "'", "−": "-", "–": "-", "—": "-",
  "‐": "-", "‑": "-", "≤": "<=", "≥": ">=", "≈": "~", "×": "x", "⁄": "/" };
const DECIMAL = String.raw`\d{1,3}(?: \d{3})+(?:[.,]\d+)?(?!\d)|\d[\d.,]*|[.,]\d+`;
const FRACTION = String.raw`(?:(\d+)[ -])?(\d+)/(\d+)(?![\d/])`;
const EXPONENT = String.raw`[eE]([+-]?\d+)| ?[xX*] ?10\^?([+-]?\d+)`;
const NUMBER = `(-?)\\s*(?:${FRACTION}|(${DECIMAL})(?:${EXPONENT})?)`;
const AT_START = new RegExp(`^(?:${NUMBER})`), WHOLE = new RegExp(`^(?:${NUMBER})$`);
const FEET_AND_INCHES = /^(\d+) ?(?:'|ft\.?(?![23]$)|feet|foot) ?(\d[\d./ -]*?) ?(?:"|in\.?|inch|inches)?$/i;
const DATE_LIKE = /^(?:\d{4}-\d{1,2}-\d{1,2}|\d{1,2}\/\d{1,2}\/\d{2,4})$/;

const unreadable = (text) => new Refused(`${say("typed.unreadable")}: "${text}"; ${say("typed.right")}`);

// {typed, value, sign, doubts, said} with the value in the kind's SI unit; {nothing}; or null for a blank.
export function readValue(kind, text, system, day = "") {
  const box = boxUnit(kind, system);
  if (isYear(kind) && /^['’‘]?\d{2}$/.test(text)) throw new Refused(say("intake.no_year"));
  const found = read(text, { lower: kind.lower_hard, upper: kind.upper_hard, unit: kind.si_unit, box });
  if (!found || found.nothing) return found;
  const unit = found.unit || box;
  if (!(unit in catalogue.units[kind.si_unit])) throw unreadable(text);
  const value = convert(found.value, unit, kind.si_unit);
  const verdict = check(kind, value);
  if (verdict === "impossible") throw new Refused(message(kind, found.value, unit));
  if (["integer", "count"].includes(kind.value_type) && !Number.isInteger(value)) {
    throw new Refused(`${say("intake.whole", { kind: kind.label })}; ${say("intake.right_whole")}`);
  }
  if (day && isYear(kind) && value > Number(day.slice(0, 4))) throw new Refused(yearAhead(kind, value, day));
  const label = found.unit ? "" : unitLabel(box);
  return {
    typed: `${text} ${label}`.trim(), value, sign: found.sign, said: found.said,
    doubts: verdict === "doubt" ? [message(kind, found.value, unit)] : [],
  };
}

const isYear = (kind) => kind.si_unit === "year" && (kind.lower_hard ?? 0) > CALENDAR_YEAR;

function yearAhead(kind, value, day) {
  const year = Number(day.slice(0, 4));
  const meant = yearsMeant(value, year).join(say("readings.or"));
  const first = say("intake.year_ahead", { kind: kind.label, year });
  return meant ? `${first}; ${say("readings.did_you_mean", { candidates: meant })}` : first;
}

// {value, sign, unit, said} in the unit that was typed; {nothing}; null for a blank.
export function read(text, limits = null) {
  const form = plain(text), low = form.toLowerCase();
  if (listed("typed.blank").includes(low)) return null;
  for (const [nothing, key] of [["none seen", "none_seen"], ["not looked", "not_looked"], ["not read", "not_read"]]) {
    if (listed(`typed.${key}`).includes(low)) return { typed: text, nothing };
  }
  if ((form.match(/\d/g) ?? []).length > MOST_DIGITS) throw unreadable(text);
  const [sign, body] = signOf(form);
  if (DATE_LIKE.test(body)) throw new Refused(`${say("typed.date")}; ${say("typed.right_date")}`);
  const quantity = quantityOf(text, body);
  const { value, said } = decide(text, quantity, limits);
  return { value: toNumber(value), sign, unit: quantity.unit, said };
}

function plain(text) {
  for (const [sign, read] of Object.entries(SIGNS)) text = text.replaceAll(sign, read);
  const parted = text.replace(/[\u00BC-\u00BE\u2150-\u215E]/g, (one) => ` ${one.normalize("NFKC").replace("⁄", "/")}`);
  return parted.trim().split(/\s+/).join(" ");
}

function signOf(form) {
  for (const [sign, key] of [["<", "under"], [">", "over"], ["~", "about"], ["=", "equal"]]) {
    for (const start of listed(`typed.${key}`)) {
      if (form.toLowerCase().startsWith(start) && /^[\s\d.,(-]/.test(form.slice(start.length))) {
        return [sign, form.slice(start.length).trim()];
      }
    }
  }
  return /[\d ]\+$/.test(form) ? [">", form.slice(0, -1).trim()] : ["=", form];
}

function quantityOf(text, body) {
  const feet = FEET_AND_INCHES.exec(body);
  if (feet) return feetAndInches(text, feet);
  const found = AT_START.exec(body);
  const rest = found ? body.slice(found[0].length).trim() : "";
  if (!found || /^[0-9.,/]/.test(rest)) throw unreadable(text);
  if (/^-\s*[\d.,]/.test(rest)) throw new Refused(`${say("intake.range")}: "${text}"; ${say("intake.right_range")}`);
  return { options: numberOf(text, found[0]), unit: unitOf(text, rest), said: "" };
}

function unitOf(text, rest) {
  const name = { "": null, '"': "in", "'": "ft" }[rest] ?? (rest || null);
  if (name && !(name in catalogue.labels)) throw unreadable(text);
  return name;
}

function feetAndInches(text, [, feet, behind]) {
  const inches = numberOf(text, behind);
  if (inches.length > 1 || toNumber(inches[0]) >= 12) {
    throw new Refused(`${say("typed.inches")}: "${text}"; ${say("typed.right_inches")}`);
  }
  const whole = plus(ratio(12n * BigInt(feet)), inches[0]);
  const metres = withUnit(number(toNumber(convertExactly(whole, "in", "m")), 3), "m");
  const said = say("typed.feet_inches", { typed: text, feet, inches: number(toNumber(inches[0]), 4), metres });
  return { options: [whole], unit: "in", said };
}

// The ways to read a written number: one, or a decimal and a thousand where a comma can be either.
function numberOf(text, written) {
  const found = WHOLE.exec(written.trim());
  if (!found) throw unreadable(text);
  const [, minus, whole, above, below, decimal, e, ten] = found;
  const sign = ratio(minus ? -1n : 1n);
  if (below) {
    if (BigInt(below) === 0n || (whole && BigInt(above) >= BigInt(below))) throw unreadable(text);
    return [times(sign, plus(ratio(BigInt(whole ?? 0)), exact(`${above}/${below}`)))];
  }
  const options = decimals(decimal.replaceAll(" ", ""));
  const exponent = Number(e ?? ten ?? 0);
  if (!options.length || Math.abs(exponent) > MOST_EXPONENT) throw unreadable(text);
  return options.map((option) => times(sign, times(option, exact(`1e${exponent}`))));
}

function decimals(digits) {
  const commaLast = digits.lastIndexOf(",") > digits.lastIndexOf(".");
  const [decimal, group] = commaLast ? [",", "."] : [".", ","];
  const parts = digits.split(decimal);
  if (parts.length === 2) {
    const [whole, behind] = parts;
    if (whole.includes(group) && !new RegExp(`^\\d{1,3}(?:\\${group}\\d{3})+$`).test(whole)) return [];
    if (commaLast && !behind) return [];
    const read = exact(`${whole.replaceAll(group, "") || "0"}.${behind || "0"}`);
    return commaLast && behind.length === 3 && /^[1-9]\d{0,2}$/.test(whole) ? [read, exact(whole + behind)] : [read];
  }
  if (/^\d+$/.test(digits)) return [exact(digits)];
  const grouped = new RegExp(`^[1-9]\\d{0,2}(?:\\${decimal}\\d{3})+$`).test(digits);
  return grouped ? [exact(digits.replaceAll(decimal, ""))] : [];
}

function decide(text, { options, unit, said }, limits) {
  if (options.length === 1) return { value: options[0], said };
  const possible = options.filter((option) => limits && allows(limits, option, unit));
  const [first, second] = options.map((option) => number(toNumber(option), 9));
  if (possible.length === 1) {
    const taken = possible[0] === options[0] ? first : second;
    return { value: possible[0], said: say("typed.comma_taken", { typed: text, first, second, taken }) };
  }
  const box = limits ? limits.box : unit;
  if ([unit || box, box].every((each) => each && inUsUnits(each))) return { value: options[1], said };
  const right = say("typed.right_comma", { first, second: second.replaceAll(",", "") });
  throw new Refused(`${say("typed.comma", { first, second })}: "${text}"; ${right}`);
}

function allows({ lower, upper, unit, box }, option, typedUnit) {
  const value = convert(option, typedUnit || box, unit);
  return (lower == null || value >= lower) && (upper == null || value <= upper);
}
