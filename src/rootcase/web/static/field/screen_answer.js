// The first answer, looked up in the newest sheet on this phone; without one only what the shoots say.

import { firstAnswer, readSheet, sheetFor } from "./answer.js";
import { el, put } from "./dom.js";
import { askedLine } from "./look_saved.js";
import { CARDS, cardOf, lookAt, nextCard } from "./screen_look.js";
import { kindBar, lossBar, blankBar } from "./spans.js";
import { interval, number, show as told } from "./units.js";
import { dayTold, say } from "./words.js";

const SHOWN = 3, SETTLING_YEARS = 6; // JUDGEMENT: a tree of usual size has rooted in after some years
const HIDDEN = ["none", "part"];

export async function show(main, [property, id], field) {
  const undone = (kind) => field.go("look", property, id, cardOf(kind) ?? "");
  const look = { field, undone, ...await lookAt(field, property, id) };
  field.head(look.tree.label, say("field.answer.title"));
  const found = await answerOf(field, look);
  put(main, found ? causes(look, found) : sharesOnly(field, look), warnings(field, look), found ? nextReadings(field, look, found) : null, keys(field, look, found));
}

// The readings of this look, as the sheets take them.
export function fiveOf(look) {
  const stops = look.read("probe_stop"), of = (kind) => look.read(kind).at(-1)?.choice ?? "";
  return {
    species: of("species"), position: of("shoot_position"), ground: of("ground_under_crown"), flare: of("root_flare_state"),
    shoots_mm: look.read("shoot_length_last").filter((each) => each.value != null).map((each) => each.value),
    probes: look.read("probe_depth").filter((each) => each.value != null).map((each) => ({
      depth_mm: each.value, stop: stops.find((stop) => stop.of === each.of && stop.series === each.series)?.choice ?? "",
    })),
  };
}

async function answerOf(field, look) {
  const readings = fiveOf(look), { self: { sheets = [] }, catalogue } = field;
  const sheet = sheetFor(sheets, {
    yardstick: look.ground.compared_with?.[look.tree.id], place: look.tree.place_id, station: look.ground.property?.weather_station,
    texture: textureOf(look), growthClass: catalogue.species.find(([name]) => name === readings.species)?.[2] ?? "medium",
  });
  const bytes = sheet && await field.book.sheet(sheet.name);
  return bytes ? firstAnswer(readSheet(bytes), readings) : null;
}

const textureOf = (look) => look.all.filter((each) => each.kind === "texture_feel" && each.choice).at(-1)?.choice ?? "";

const percent = (share) => `${number(100 * share)} %`;

function causes(look, found) {
  const { share, low, high, limits, made } = found;
  const first = limits.toSorted((one, other) => (other.chance ?? 0) - (one.chance ?? 0) || other.mean - one.mean).slice(0, SHOWN);
  const finding = share == null ? say("field.answer.no_shoots", { tree: look.tree.label })
    : say("field.answer.share", { tree: look.tree.label, share: percent(share), low: number(100 * low), high: number(100 * high) });
  return [el("h1", { class: "finding" }, finding), el("p", { class: "made" }, say("field.answer.made", { day: dayTold(made) })),
    share == null ? null : [row(say("field.answer.this_tree"), "", `${percent(share)} (${interval(100 * low, 100 * high)})`), kindBar(share, low, high)],
    first.map((limit) => [row(sentence(say(`limit.${limit.name}`)), lossTold(limit), wordOf(look.field, limit.chance)), lossBar(limit)]),
    flareRow(look, found), mind(first[0])];
}

const sentence = (words) => words.charAt(0).toUpperCase() + words.slice(1);
const minus = (points) => number(-points);
const lossTold = ({ mean, low, high }) => say("field.answer.loss", { mean: minus(mean), low: minus(high), high: minus(low) });
const row = (name, beside, word) => el("div", { class: "answer-row" }, el("span", {}, el("b", {}, name), " ", el("small", {}, beside)), el("b", {}, word));

function wordOf(field, chance) {
  if (chance == null) return say("quantity.not_known");
  const { likely, maybe } = field.catalogue.words_from;
  const told = { chance: chance.toFixed(2) };
  return chance > likely ? say("field.answer.likely", told) : chance > maybe ? say("field.answer.maybe", told) : say("quantity.not_known");
}

function flareRow(look, { buriedFlare: chance }) {
  const seen = look.read("root_flare_state").at(-1)?.choice;
  if (seen === "all_round") return null;
  return [row(say("field.answer.flare"), "", wordOf(look.field, chance)), blankBar(),
    el("p", {}, say(HIDDEN.includes(seen) ? "field.answer.flare_hidden" : "field.answer.flare_not_looked"))];
}

const mind = (limit) => (limit ? el("p", {}, say(`report.change_mind.${limit.name}`)) : null);

// No model on the phone: the shoots, and what the growth class is known to grow.
function sharesOnly(field, look) {
  const { shoots_mm: shoots, species } = fiveOf(look), kind = field.kinds.shoot_length_last;
  const length = (mm) => told(kind, mm, field.system(), { both: true });
  const growth = field.catalogue.species.find(([name]) => name === species)?.[2];
  const usual = field.catalogue.growth[growth];
  return [el("h1", { class: "finding" }, shoots.length
    ? say("field.answer.shoots", { tree: look.tree.label, length: length(shoots.reduce((sum, each) => sum + each, 0) / shoots.length) })
    : say("field.answer.no_shoots", { tree: look.tree.label })),
  usual ? el("p", {}, say("field.answer.class", { class: growth, low: told(kind, usual[0], field.system()), high: told(kind, usual[1], field.system()) })) : null,
  el("p", {}, laterTold(field.self.sheets_missing))];
}

// missing: sheets that the server was still making when it was last asked; not known where it never was.
const laterTold = (missing) => (missing ? say("field.answer.making", { count: missing }) : say(missing === 0 ? "field.answer.no_sheet" : "field.answer.later"));

function warnings(field, look) {
  const stops = look.read("probe_stop"), planted = look.all.filter((each) => each.kind === "planting_year" && each.value).at(-1);
  const young = planted && Number(field.day().slice(0, 4)) - planted.value < SETTLING_YEARS;
  return [stops.length && stops.every((each) => each.choice === "gave_up") ? el("p", { class: "caution" }, say("field.look.too_dry")) : null,
    young ? el("p", { class: "caution" }, say("field.answer.planted", { year: planted.value })) : null];
}

function nextReadings(field, look, { next = [] }) {
  if (!next.length) return null;
  const named = ({ kind }) => field.kinds[kind]?.label ?? kind;
  const minutes = (each) => say("field.answer.minutes", { count: Math.ceil(each.minutes) });
  return el("section", { class: "next-reading" }, el("h2", {}, say("field.answer.next")),
    el("p", {}, el("b", {}, named(next[0])), say("field.answer.settles", { times: next[0].times, minutes: minutes(next[0]) })),
    el("ul", { class: "list" }, next.slice(1).map((each) => el("li", {}, el("span", {}, named(each)), el("span", {}, minutes(each))))));
}

// Where a reading is offered, taking it is the main key; else the next tree.
function keys(field, look, found) {
  const card = nextCard(look), offered = Boolean(found?.next?.length);
  const first = card && look.today.length < CARDS.length;
  const on = first ? `#/look/${look.property}/${look.tree.id}/${card}` : `#/walk/${look.property}/${look.tree.id}`;
  const more = offered ? say("field.answer.take") : say(first ? "field.tree.look" : "field.tree.walk_key");
  const next = el("a", { class: offered ? "key" : "key weld", href: `#/trees/${look.property}` }, say("field.answer.next_tree"));
  const take = el("a", { class: offered ? "key weld" : "key", href: on }, more);
  const undo = askedLine(look, "");
  return [undo.querySelector(".undo") ? undo : null, el("div", { class: "last" }, offered ? [next, take] : [take, next])];
}
