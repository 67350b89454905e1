// Limits, doubts and what is said of them: as tables/readings.py, held to it by tests. A doubt never blocks.

import { catalogue } from "./catalogue.js";
import { convert, exact, number, times, toNumber, unitLabel, withUnit } from "./units.js";
import { say } from "./words.js";

const LOST_POINT = [10, 100], RIGHT_ANGLE_DEG = 90;

const outside = (value, low, high) => !((low == null || value >= low) && (high == null || value <= high));

// "ok", "doubt" or "impossible" of a value in the kind's SI unit.
export function check(kind, value) {
  if (outside(value, kind.lower_hard, kind.upper_hard)) return "impossible";
  const part = kind.whole_percents && value > 0 && value < 0.01;
  return part || outside(value, kind.lower_doubt, kind.upper_doubt) ? "doubt" : "ok";
}

// One line about a value that is not ok, in the unit it was typed in; where: such as "pit 3".
export function message(kind, value, unit, where = "") {
  const si = convert(value, unit, kind.si_unit), verdict = check(kind, si);
  if (verdict === "ok") return "";
  const what = where ? `${kind.label}, ${where}` : kind.label;
  const asked = askedOf(kind, value, unit, what);
  if (asked) return asked;
  const hard = verdict === "impossible";
  const [low, high] = hard ? [kind.lower_hard, kind.upper_hard] : [kind.lower_doubt, kind.upper_doubt];
  const said = { what, value: written(value, unit), limits: limitsTold(low, high, kind.si_unit, unit) };
  const part = !hard && !outside(si, kind.lower_doubt, kind.upper_doubt);
  const words = hard ? "readings.impossible" : part ? "readings.part_of_percent" : "readings.doubt";
  const first = say(words, said);
  const meant = candidates(kind, value, unit).join(say("readings.or"));
  return `${first} ${meant ? say("readings.did_you_mean", { candidates: meant }) : say("readings.type_again")}`;
}

// What may have been meant; only what is usual for the kind is proposed.
export function candidates(kind, value, unit) {
  const isUsual = (si) => check(kind, si) === "ok";
  const inSi = (typed, from) => convert(typed, from, kind.si_unit);
  const told = (label, si) => withSi(value, label, si, kind.si_unit, unit);
  const first = [...new Set([kind.us_unit, kind.metric_unit])]
    .filter((other) => other in catalogue.units[kind.si_unit] && isUsual(inSi(value, other)))
    .map((other) => told(unitLabel(other), inSi(value, other)));
  if (first.length) return first;
  const points = Number.isInteger(value) ? LOST_POINT.filter((by) => isUsual(inSi(value / by, unit))) : [];
  const others = (kind.also ?? []).map(([label, size]) => [label, toNumber(times(exact(value), exact(size)))])
    .filter(([label, si]) => label !== unitLabel(unit) && isUsual(si));
  const isPart = unitLabel(unit) === "%" && value > 0 && value < 1 && isUsual(value);
  const isSaturation = kind.oxygen && value <= catalogue.most_saturation_pct;
  return [...points.map((by) => written(value / by, unit)), ...others.map(([label, si]) => told(label, si)),
    ...(isPart ? [written(100 * value, unit)] : []),
    ...(isSaturation ? [say("readings.of_saturation", { value: number(value, 9) })] : [])];
}

// Which years may have been meant by one that lies ahead: neighbours swapped, wrong decade or century.
export function yearsMeant(year, newest) {
  const text = String(year);
  const swapped = [0, 1, 2].map((n) => Number(text.slice(0, n) + text[n + 1] + text[n] + text.slice(n + 2)));
  const planted = catalogue.kinds.planting_year;
  return [...new Set([...swapped, Math.floor(year / 100) * 100 + (year % 10), year - 100])]
    .filter((each) => each <= newest && check(planted, each) === "ok");
}

function askedOf(kind, value, unit, what) {
  if (value === 0 && kind.growth) return say("readings.no_growth", { what, value: written(value, unit) });
  if (kind.kind === "slope" && unitLabel(unit) === "%" && value > 0 && value < RIGHT_ANGLE_DEG) {
    return say("readings.slope", {
      what, value: written(value, unit), degrees: number(value, 9),
      is_degrees: number((Math.atan(value / 100) * 180) / Math.PI, 2),
      would_be: written(Math.round(100 * Math.tan((value * Math.PI) / 180)), unit),
    });
  }
  return "";
}

const six = (value) => Number(value.toPrecision(6));
const asTyped = (value) => number(value, value === six(value) ? 9 : 4);
const written = (value, unit) => (unit === "year" ? String(six(value)) : withUnit(asTyped(value), unit));

const withSi = (value, label, si, siUnit, unit) => say("quantity.both", {
  first: `${asTyped(value).replaceAll(",", "")} ${label}`.trim(),
  second: withUnit(number(convert(si, siUnit, unit), 3), unit),
});

function limitsTold(low, high, siUnit, unit) {
  const [from, to] = [low, high].map((end) => {
    if (end == null) return number(null);
    const turned = convert(end, siUnit, unit);
    return unit === "year" ? String(six(turned)) : number(turned, 3);
  });
  return withUnit(say("quantity.interval", { low: from, high: to }), unit);
}
