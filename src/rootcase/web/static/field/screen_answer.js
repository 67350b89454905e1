// The first answer, looked up in the newest sheet on this phone; without one only what the shoots say.

import { firstAnswer, readSheet, sheetFor } from "./answer.js";
import { el, key, put } from "./dom.js";
import { askedLine } from "./look_saved.js";
import { CARDS, cardOf, lookAt, nextCard } from "./screen_look.js";
import { blankBar, kindBar, lossBar } from "./spans.js";
import { interval, number, show as told } from "./units.js";
import { dayTold, say } from "./words.js";

const SHOWN = 3, SETTLING_YEARS = 6; // JUDGEMENT: a tree of usual size has rooted in after some years
const HIDDEN = ["none", "part"];

export async function show(main, [property, id], field) {
  const undone = (kind) => field.go("look", property, id, cardOf(kind) ?? "");
  const look = { field, undone, ...await lookAt(field, property, id) };
  field.head(look.tree.label, say("field.answer.title"));
  const found = await answerOf(look);
  put(main, found ? causes(look, found) : sharesOnly(look), warnings(look), found ? nextReadings(field, found) : null,
    keys(look, found));
}

// The readings of this look, as the sheets take them.
function fiveOf(look) {
  const choice = (kind) => look.read(kind).at(-1)?.choice ?? "";
  const numbers = (kind) => look.read(kind).filter((each) => each.value != null);
  const stops = look.read("probe_stop");
  const stopOf = (push) => stops.find((stop) => stop.of === push.of && stop.series === push.series)?.choice ?? "";
  return {
    species: choice("species"), position: choice("shoot_position"), ground: choice("ground_under_crown"),
    flare: choice("root_flare_state"), shoots_mm: numbers("shoot_length_last").map((each) => each.value),
    probes: numbers("probe_depth").map((each) => ({ depth_mm: each.value, stop: stopOf(each) })),
  };
}

const growthOf = ({ catalogue }, species) => catalogue.species.find(([name]) => name === species)?.[2];
const newestOf = (look, kind) => look.all.filter((each) => each.kind === kind && (each.choice || each.value)).at(-1);

async function answerOf(look) {
  const { field, ground, tree } = look, readings = fiveOf(look);
  const sheet = sheetFor(field.self.sheets ?? [], {
    yardstick: ground.compared_with?.[tree.id], place: tree.place_id, station: ground.property?.weather_station,
    texture: newestOf(look, "texture_feel")?.choice, growthClass: growthOf(field, readings.species) ?? "medium",
  });
  const bytes = sheet && await field.book.sheet(sheet.name);
  return bytes ? firstAnswer(readSheet(bytes), readings) : null;
}

const percent = (share) => `${number(100 * share)} %`;

function causes({ field, tree, ...look }, found) {
  const { share, low, high, limits, made } = found;
  const first = limits.toSorted((one, other) => (other.chance ?? 0) - (one.chance ?? 0) || other.mean - one.mean)
    .slice(0, SHOWN);
  const finding = share == null ? say("field.answer.no_shoots", { tree: tree.label }) : say("field.answer.share", {
    tree: tree.label, share: percent(share), low: number(100 * low), high: number(100 * high),
  });
  const ownRow = () => {
    const told = `${percent(share)} (${interval(100 * low, 100 * high)})`;
    return [row(say("field.answer.this_tree"), "", told), kindBar(share, low, high)];
  };
  const limitRow = (limit) => {
    const name = sentence(say(`limit.${limit.name}`));
    return [row(name, lossTold(limit), wordOf(field, limit.chance)), lossBar(limit)];
  };
  return [el("h1", { class: "finding" }, finding),
    el("p", { class: "made" }, say("field.answer.made", { day: dayTold(made) })),
    share == null ? null : ownRow(), first.map(limitRow), flareRow(field, look, found), mind(first[0])];
}

const sentence = (words) => words.charAt(0).toUpperCase() + words.slice(1);
const minus = (points) => number(-points);
const lossTold = ({ mean, low, high }) =>
  say("field.answer.loss", { mean: minus(mean), low: minus(high), high: minus(low) });
const row = (name, beside, word) => el("div", { class: "answer-row" },
  el("span", {}, el("b", {}, name), " ", el("small", {}, beside)), el("b", {}, word));

function wordOf({ catalogue }, chance) {
  const { likely, maybe } = catalogue.words_from;
  if (chance == null || chance <= maybe) return say("quantity.not_known");
  return say(chance > likely ? "field.answer.likely" : "field.answer.maybe", { chance: chance.toFixed(2) });
}

function flareRow(field, look, { buriedFlare }) {
  const seen = look.read("root_flare_state").at(-1)?.choice;
  if (seen === "all_round") return null;
  const told = HIDDEN.includes(seen) ? "field.answer.flare_hidden" : "field.answer.flare_not_looked";
  return [row(say("field.answer.flare"), "", wordOf(field, buriedFlare)), blankBar(), el("p", {}, say(told))];
}

const mind = (limit) => (limit ? el("p", {}, say(`report.change_mind.${limit.name}`)) : null);

// No model on the phone: the shoots, and what the growth class is known to grow.
function sharesOnly(look) {
  const { field, tree } = look, { shoots_mm: shoots, species } = fiveOf(look);
  const length = (mm, both) => told(field.kinds.shoot_length_last, mm, field.system(), { both });
  const mean = shoots.reduce((sum, each) => sum + each, 0) / shoots.length;
  const growth = growthOf(field, species), usual = field.catalogue.growth[growth]?.map((mm) => length(mm, false));
  const finding = shoots.length ? say("field.answer.shoots", { tree: tree.label, length: length(mean, true) })
    : say("field.answer.no_shoots", { tree: tree.label });
  return [el("h1", { class: "finding" }, finding),
    usual ? el("p", {}, say("field.answer.class", { class: growth, low: usual[0], high: usual[1] })) : null,
    el("p", {}, laterTold(field.self.sheets_missing))];
}

// missing: sheets that the server was still making when it was last asked; not known where it never was.
function laterTold(missing) {
  if (missing) return say("field.answer.making", { count: missing });
  return say(missing === 0 ? "field.answer.no_sheet" : "field.answer.later");
}

function warnings(look) {
  const stops = look.read("probe_stop"), planted = newestOf(look, "planting_year");
  const young = planted && Number(look.field.day().slice(0, 4)) - planted.value < SETTLING_YEARS;
  const told = [
    stops.length && stops.every((each) => each.choice === "gave_up") && say("field.look.too_dry"),
    young && say("field.answer.planted", { year: planted.value }),
  ];
  return told.filter(Boolean).map((words) => el("p", { class: "caution" }, words));
}

function nextReadings({ kinds }, { next = [] }) {
  if (!next.length) return null;
  const [first, ...more] = next.map(({ kind, times, minutes }) => ({
    named: kinds[kind]?.label ?? kind, times, minutes: say("field.answer.minutes", { count: Math.ceil(minutes) }),
  }));
  return el("section", { class: "next-reading" }, el("h2", {}, say("field.answer.next")),
    el("p", {}, el("b", {}, first.named), say("field.answer.settles", first)),
    el("ul", { class: "list" }, more.map(({ named, minutes }) =>
      el("li", {}, el("span", {}, named), el("span", {}, minutes)))));
}

// Where a reading is offered, taking it is the main key; else the next tree.
function keys(look, found) {
  const card = nextCard(look), isOffered = Boolean(found?.next?.length);
  const isFirst = card && look.today.length < CARDS.length;
  const on = isFirst ? `#/look/${look.property}/${look.tree.id}/${card}` : `#/walk/${look.property}/${look.tree.id}`;
  const more = isOffered ? "field.answer.take" : isFirst ? "field.tree.look" : "field.tree.walk_key";
  const next = key(`#/trees/${look.property}`, say("field.answer.next_tree"), isOffered ? "" : "weld");
  const take = key(on, say(more), isOffered ? "weld" : "");
  const undo = askedLine(look, "");
  return [undo.querySelector(".undo") ? undo : null,
    el("div", { class: "last" }, isOffered ? [next, take] : [take, next])];
}
