// The full reading: what a tree has and lacks today, by the forms of the catalogue. Only treeNow asks the book.

import { catalogue } from "./catalogue.js";
import { boxUnit, convert, interval, withUnit, wordsFor } from "./units.js";
import { say } from "./words.js";

const GROUPED = ["shoot_length_by_year", "cover_share_by_ring"];
const SPOTS = ["pit", "sample"];
const HALF_YEAR = 6;

export const formNamed = (name) => catalogue.walk.forms.find((each) => each.name === name);
export const formOf = (code) => catalogue.walk.forms.find((form) => form.asks.some((ask) => ask.kind === code));

const isOf = ({ name }, what) => formNamed(name).asks.some((ask) => catalogue.kinds[ask.kind].of === what);
export const isUnderground = (form) => isOf(form, "pit");
export const isOfSamples = (form) => isOf(form, "sample");

// The tree with all that stands of it, its pits, its place and today's visits.
export async function treeNow(field, property, id) {
  const ground = await field.book.ofProperty(property);
  const tree = ground.trees.find((each) => each.id === id);
  if (!tree) throw new Error(say("field.no_tree"));
  const idsOf = (things) => new Set(things.map((each) => each.id));
  const here = (list) => idsOf((ground[list] ?? []).filter((each) => each.tree_id === id));
  const of = {
    tree: new Set([id]), place: new Set([tree.place_id]), pit: here("pits"), sample: here("samples"),
    visit: idsOf(ground.visits.filter((each) => each.day === field.day())),
  };
  const standing = ground.readings.filter((each) => each.stands);
  const read = (code, { spot = "", depth = null } = {}) => {
    const what = field.kinds[code].of;
    const isThere = spot && SPOTS.includes(what) ? (each) => each.of === spot : (each) => of[what]?.has(each.of);
    const from = depth && what === "pit" ? Number(depth[0]) : null;
    return standing.filter((each) => each.kind === code && isThere(each)
      && (from === null || each.depth_from_m === from));
  };
  const today = (code, at) => read(code, at).filter((each) => each.day === field.day());
  const countToday = (thing) => standing.filter((each) => each.of === thing && each.day === field.day()).length;
  const pits = ground.pits.filter((pit) => of.pit.has(pit.id));
  return { property, ground, tree, system: field.tape(property), pits, standing, read, today, countToday };
}

const byDay = (one, other) => (one.day < other.day ? -1 : 1);
export const newest = (readings) => readings.toSorted(byDay).at(-1);

const counted = (ask, readings) =>
  (GROUPED.includes(ask.kind) ? new Set(readings.map((each) => each.series)).size : readings.length);

// An ask of a form as it stands: how often it is read, whether that is enough, and why it is not for today.
export function askNow(field, look, ask, at = {}) {
  const kind = field.kinds[ask.kind];
  const readings = ask.once ? look.read(ask.kind, at) : look.today(ask.kind, at);
  const count = counted(ask, readings);
  const done = count >= ask.times || readings.some((each) => each.nothing);
  const why = done ? "" : notToday(field, look, { ...ask, kind });
  return { ...ask, kind, readings, count, done, why, minutes: done || why ? 0 : kind.minutes * (ask.times - count) };
}

export function formNow(field, look, form, at = {}) {
  const asks = form.asks.map((ask) => askNow(field, look, ask, at));
  const [open, later] = [asks.filter((ask) => !ask.why), asks.filter((ask) => ask.why)];
  return {
    ...form, asks, open, later, done: open.filter((ask) => ask.done).length, left: open.filter((ask) => !ask.done),
    minutes: Math.ceil(asks.reduce((sum, ask) => sum + ask.minutes, 0)),
  };
}

function notToday(field, look, { tool, kind }) {
  const isMissing = field.self.settings?.tools_off?.includes(tool);
  if (isMissing) return say("field.walk.no_tool", { tool: say(`field.tool.${tool}`) });
  return outOfSeason(field, look, kind) ? say(`field.season.${kind.season}`) : "";
}

export const outOfSeason = (field, look, kind) => !inSeason(kind.season, {
  day: field.day(), latitude: look.ground.property?.latitude_deg ?? 0,
  stage: look.today("leaf_stage").at(-1)?.choice ?? "",
});

// By the stage of the leaves where it was looked at today, else by the calendar; in the south half a year is added.
function inSeason(season, { day, latitude, stage }) {
  const told = catalogue.walk.seasons[season];
  if (!told || told.stages.includes(stage)) return true;
  if (stage && stage !== "evergreen" && told.stages.length) return false;
  const [month, date] = day.slice(5).split("-").map(Number);
  const turned = latitude < 0 ? ((month - 1 + HALF_YEAR) % 12) + 1 : month;
  const at = `${String(turned).padStart(2, "0")}-${String(date).padStart(2, "0")}`;
  const begun = told.first <= at, on = at <= told.last;
  return told.first <= told.last ? begun && on : begun || on;
}

// The newest year whose shoots are finished, as ground/dates.py has it.
export function newestYear(day, latitude) {
  const south = latitude < 0, [year, month, date] = day.split("-").map(Number);
  const season = year + (south && month >= 7 ? 1 : 0);
  const [summer, first] = catalogue.walk.midsummer[south ? "south" : "north"];
  const begun = month > summer || (month === summer && date >= first) || (south && year > season - 1);
  return begun ? season : season - 1;
}

// What a reading says little without and is not here of the same day (and depth).
export function lacking(look, reading) {
  if (reading.nothing) return [];
  return (catalogue.walk.companions[reading.kind] ?? []).filter((companion) => {
    if (companion.kind === "shoot_position" && reading.attributes?.position) return false;
    return !look.standing.some((each) => each.kind === companion.kind && each.day === reading.day && !each.nothing
      && besides(each, reading) && (!companion.same_depth || (each.of === reading.of && overlaps(each, reading))));
  });
}

const besides = (one, other) => one.of === other.of || catalogue.kinds[one.kind].of !== catalogue.kinds[other.kind].of;
const overlaps = (one, other) => one.depth_from_m == null || other.depth_from_m == null
  || (one.depth_from_m < (other.depth_to_m ?? Infinity) && other.depth_from_m < (one.depth_to_m ?? Infinity));

// Depths in round figures of a tape, in its unit: 6 to 12 in.
export function depthTold(system, depth) {
  const unit = boxUnit(catalogue.kinds.probe_depth, system);
  const [low, high] = depth.map((end) => convert(Number(end), "m", unit));
  return withUnit(interval(low, high, 3), unit);
}

export const depthsOf = ({ system }) => catalogue.walk.depths[system];

const RINGS = { "0-1 m": "near", "half crown": "half", dripline: "dripline", "twice crown": "twice" };
export const ringTold = (ring, system) =>
  say(`field.ring.${RINGS[ring]}`, { reach: wordsFor(system, say("field.ring.reach")) });

// Numbers of the place's locate ticket, while its marks hold.
export function locate(field, look) {
  const told = (code) => newest(look.read(code).filter((each) => each.choice))?.choice ?? "";
  const number = told("locate_ticket"), last = told("locate_expires");
  const asked = look.read("private_lines").some((each) => each.choice && each.choice !== "not_asked");
  return { valid: Boolean(number && last >= field.day()), number, last, asked };
}

export const smellsOfFuel = (look, spot) =>
  look.today("soil_smell", { spot }).some((each) => each.choice === "chemical");
export const concern = (look) => newest(look.read("structural_concern"))?.choice === "seen";
