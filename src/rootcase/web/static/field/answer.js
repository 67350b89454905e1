// The first answer: looked up in a sheet that the server computed. Nothing is reckoned here but lines between its
// nodes; the lookup in casework/first_answer/lookup.py is this one's twin, held to it by a test.

export const LIMITS = ["strength", "air", "water", "salt", "nutrition", "establishment"];
const FORM = 1;
const POINTS = 100;
const NOT_SOIL = ["stone", "root", "gave_up"];
const ROD_END = "rod_end";
const NUMBERS = { i2: Int16Array, u1: Uint8Array };

class NoSheet extends Error {}

/** A sheet from its bytes: a line of JSON, then its tables. */
export function readSheet(bytes) {
  const sent = bytes instanceof Uint8Array ? bytes : new Uint8Array(bytes);
  const end = sent.indexOf(10);
  if (end < 0) throw new NoSheet("no line");
  const sheet = JSON.parse(new TextDecoder().decode(sent.subarray(0, end)));
  if (sheet.form !== FORM) throw new NoSheet(`form ${sheet.form}`);
  sheet.kinds = new Map(sheet.kinds.map(([name, , habit, lime, salt]) => [name, { habit, lime, salt }]));
  const body = sent.slice(end + 1).buffer;
  sheet.tables = Object.fromEntries(sheet.tables.map((each) => [each.name, tableOf(each, body)]));
  return sheet;
}

/** What the sheet knows of a species: itself, else its genus, else what stands for any other. */
function kindIn(sheet, species) {
  return sheet.kinds.get(species) ?? sheet.kinds.get(species.split(" ")[0]) ?? sheet.kinds.get("");
}

/**
 * Of the sheets that are told (GET /api/field/sheets) the one for a tree: its yardstick's at its place, else its growth
 * class's for the soil as it was felt, else for soil nobody felt.
 */
export function sheetFor(told, { yardstick, place, station, growthClass, texture }) {
  const general = (felt) => told.find((each) => !each.yardstick && each.growth_class === growthClass
    && each.texture === felt && (!station || each.station === station));
  return told.find((each) => yardstick && each.yardstick === yardstick && each.place === place)
    ?? general(texture ?? "") ?? general("") ?? null;
}

/**
 * What the sheet says to the five readings {species, shoots_mm, position, probes: [{depth_mm, stop}], ground, flare};
 * what was left is empty. share, low and high are parts of the yardstick's growth, limits and what is left over points
 * of it.
 */
export function firstAnswer(sheet, readings) {
  const kind = kindIn(sheet, readings.species ?? "");
  const ground = named(sheet.axes.grounds, readings.ground);
  const { told, depth } = pushed(sheet, readings.probes ?? [], kind, ground);
  tolerant(sheet, told, kind, ground);
  const flare = sheet.flares.find((each) => each.code === readings.flare) ?? sheet.flares[0];
  const seen = seenIn(sheet, readings);
  const shares = seen && [[kind.habit, 0], between(sheet.axes.seen_ln, seen[3]), between(sheet.axes.seen_sd, seen[4])];
  const chances = seen && mixed(sheet.tables.chances, [...shares, depth, ground, [0, flare.towards_open]]);
  const limits = LIMITS.map((name, at) => {
    const [mean, low, high] = told.slice(3 * (at + 1), 3 * (at + 2));
    return { name, mean, low, high, chance: chances ? chances[at] : null };
  });
  const answer = { share: null, low: null, high: null, limits, left: null, otherCause: null, otherLargest: null,
    buriedFlare: null, next: nextOf(sheet, depth, ground), made: sheet.made };
  if (!seen) return answer;
  const largest = chances.slice(0, 6).reduce((sum, each) => sum + each, 0);
  return { ...answer, share: Math.exp(seen[0]), low: Math.exp(seen[1]), high: Math.exp(seen[2]),
    left: leftOver(mixed(sheet.tables.left, [...shares, depth, ground]), told[0], POINTS * Math.exp(seen[0])),
    otherCause: chances[6], otherLargest: Math.max(1 - largest, 0), buriedFlare: chances[6] * flare.buried };
}

function tableOf({ form, worth, shape, at }, body) {
  const count = shape.reduce((size, each) => size * each, 1);
  return { shape, values: Float64Array.from(new NUMBERS[form](body, at, count), (each) => each * worth) };
}

// What stands in a table between its nodes, its first axes taken in turn: [node, how far to the next].
function mixed({ shape, values }, places) {
  let rest = values, size = values.length;
  places.forEach(([at, part], axis) => {
    size /= shape[axis];
    const first = rest.subarray(at * size, (at + 1) * size);
    if (part === 0) {
      rest = first;
      return;
    }
    const second = rest.subarray((at + 1) * size, (at + 2) * size);
    rest = first.map((each, place) => each + part * (second[place] - each));
  });
  return Array.from(rest);
}

function named(names, name) {
  return [Math.max(names.indexOf(name ?? ""), 0), 0];
}

function between(nodes, value) {
  if (value <= nodes[0]) return [0, 0];
  if (value >= nodes.at(-1)) return [nodes.length - 1, 0];
  const at = nodes.findLastIndex((node) => node <= value);
  return [at, (value - nodes[at]) / (nodes[at + 1] - nodes[at])];
}

// Predicted share and limits by what the rod told, and where among the depths the chances stand.
function pushed({ axes, tables, ...sheet }, probes, { habit }, ground) {
  const soil = probes.filter((push) => !NOT_SOIL.includes(push.stop));
  if (!soil.length) return { told: mixed(tables.unpushed, [[habit, 0], ground]), depth: [axes.after_ln_mm.length, 0] };
  const stops = soil.map((push) => (push.stop === ROD_END ? Infinity : Math.max(push.depth_mm, 1)))
    .sort((a, b) => a - b);
  const upper = stops[Math.floor(stops.length / 2)], lower = stops[Math.floor((stops.length - 1) / 2)];
  if (upper === Infinity) {
    const rod = Math.log(Math.max(...soil.filter((push) => push.stop === ROD_END).map((push) => push.depth_mm)));
    return { told: mixed(tables.rod, [[habit, 0], between(axes.rod_ln_mm, rod), ground]),
      depth: between(axes.after_ln_mm, rod + sheet.beyond_rod) };
  }
  const middle = (Math.log(upper) + Math.log(lower)) / 2;
  const sure = Math.max(sheet.push_sd / Math.sqrt(soil.length), sheet.push_floor);
  const sd = soil.every((push) => push.stop) ? sure : Math.max(sure, sheet.push_not_told);
  const places = [[habit, 0], between(axes.depth_ln_mm, middle), between(axes.push_variance, sd ** 2), ground];
  return { told: mixed(tables.stopped, places), depth: between(axes.after_ln_mm, middle) };
}

// Nutrition and salt as a kind of this tolerance has them.
function tolerant({ tables }, told, kind, [ground]) {
  for (const [limit, table, tolerance] of [["nutrition", tables.lime, kind.lime], ["salt", tables.salt, kind.salt]]) {
    const [mean, high] = mixed(table, [[tolerance, 0], [ground, 0]]);
    const at = 3 * (1 + LIMITS.indexOf(limit));
    [mean, high, high].forEach((factor, place) => { told[at + place] *= factor; });
  }
}

// ln of mean, low, high and median share, and its standard deviation; null where no shoot was read.
function seenIn(sheet, { shoots_mm = [], position = "" }) {
  const logs = shoots_mm.filter((mm) => mm > 0).map(Math.log);
  if (!logs.length) return null;
  const level = logs.reduce((sum, each) => sum + each, 0) / logs.length;
  const variance = logs.reduce((sum, each) => sum + (each - level) ** 2, 0) / Math.max(logs.length - 1, 1);
  const elsewhere = sheet.positions.length && !sheet.positions.includes(position) ? 1 : 0;
  const { axes } = sheet;
  const found = mixed(sheet.tables.observed, [[elsewhere, 0], between(axes.shoot_ln_mm, level),
    between(axes.shoots_reciprocal, 1 / logs.length), between(axes.shoot_variance, variance)]);
  return [...found.slice(0, 4).map((each) => level + each), found[4]];
}

function leftOver([below, above], predicted, observed) {
  const mean = predicted - observed, size = predicted + observed;
  return { mean, low: mean - below * size, high: mean + above * size };
}

// What is worth taking next: {kind, times, minutes}, the best for its minutes first.
function nextOf({ tables, next_kinds: kinds }, [depth, part], [ground]) {
  const near = part > 0.5 ? depth + 1 : depth;
  return mixed(tables.next, [[near, 0], [ground, 0]]).filter((at) => at < kinds.length).map((at) => kinds[at]);
}
