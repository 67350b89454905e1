// An amount as it was typed or read off a meter. What asks about the other unit is the server's: its figures, its rule.

import { Refused, read } from "./typed.js";
import { convert, unitLabel } from "./units.js";
import { say } from "./words.js";

export const boxOf = (what, system) =>
  ({ volume: ["gal", "L"], mass: ["lb", "kg"], area: ["ft2", "m2"] })[what][system === "us" ? 0 : 1];
const SI = { volume: "L", mass: "kg", area: "m2" };
const BARE = /^\d*\.?\d+$|^\d+\.$/;

/** {value in SI, typed with its unit} of a box; null of an empty one; throws what typed.js refuses. */
export function figure(what, text, system) {
  const unit = boxOf(what, system);
  const found = text.trim() ? read(text.trim(), { lower: 0, unit: SI[what], box: unit }) : null;
  if (!found || found.nothing) return null;
  if (found.value < 0) throw new Refused(text);
  const told = found.unit ? text.trim() : `${text.trim()} ${unitLabel(unit)}`;
  return { value: convert(found.value, found.unit || unit, SI[what]), typed: told };
}

/**
 * Liters between two readings of a meter; null where none was told. What cannot be read, falls or stands alone is told
 * in `wrong` by its box.
 */
export function between({ before = "", after = "" }, system, wrong) {
  const read = (which, text) => {
    try {
      const found = figure("volume", text, system);
      if (!found && text.trim()) throw new Refused(text);
      return found?.value ?? null;
    } catch (error) {
      if (!(error instanceof Refused)) throw error;
      wrong[which] = say("field.log.not_a_number", { typed: text });
      return null;
    }
  };
  const [from, to] = [read("before", before), read("after", after)];
  if (wrong.before || wrong.after || (from === null && to === null)) return null;
  if (from === null || to === null) wrong[from === null ? "before" : "after"] = say("field.log.one_reading");
  else if (to < from) wrong.after = say("field.log.falls");
  return wrong.before || wrong.after ? null : to - from;
}

/** Liters where a bare figure fits the plan in the unit that the box does not have, and not in its own; else null. */
export function meantOtherwise(text, planned, system, { meter_near: near, meter_far: far }) {
  if (!planned || !BARE.test(text.trim())) return null;
  const [unit, other] = system === "us" ? ["gal", "L"] : ["L", "gal"];
  const [asTyped, asOther] = [unit, other].map((each) => convert(Number(text), each, "L"));
  const off = (litres) => (litres ? Math.max(litres / planned, planned / litres) : far);
  return off(asOther) <= near && off(asTyped) >= far ? { litres: asOther, unit, other } : null;
}
