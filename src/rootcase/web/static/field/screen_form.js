// A form, one question at a time: #/form/PROPERTY/TREE/FORM/KIND/SPOT/STEP, where - is none of these.

import { button, el, key, put } from "./dom.js";
import {
  concern, depthTold, depthsOf, formNamed, formNow, isOfSamples, isUnderground, outOfSeason, smellsOfFuel, treeNow,
} from "./forms.js";
import { once } from "./once.js";
import { keep, question } from "./question.js";
import { samplesOf } from "./screen_sample.js";
import { laterKey, nextForm, nextTold } from "./screen_walk.js";
import { readingTold } from "./told.js";
import { wordsFor } from "./units.js";
import { say } from "./words.js";

const NONE = "-";
const OF_EACH_PIT = ["pit_distance", "pit_bearing", "probe_depth", "pit_photo"];
let told = [];

export async function show(main, args, field) {
  const [property, tree, name, code = NONE, spot = NONE, step = NONE] = args;
  const look = await treeNow(field, property, tree), form = formNamed(name), at = whereAt(look, spot, step);
  const elsewhere = barred(look, form, at);
  if (elsewhere) return location.replace(elsewhere);
  if (isOfSamples(form) && !at.spot) return samplesOf(main, look, field);
  const now = formNow(field, look, form, at);
  const ask = code === NONE ? now.left[0] : now.asks.find((each) => each.kind.kind === code);
  field.head(look.tree.label, ask ? whereIn(now, ask) : say(`field.form_name.${name}`));
  const notes = told;
  told = [];
  if (!ask) return put(main, notes, finished(field, look, now, at));
  const section = el("section", { class: "question" }), host = el("div", { class: "look form" }, section);
  put(main, notes, host);
  section.append(el("p", { class: "still" }, standing(look, at)));
  const q = {
    field, look, ask, of: subject(look, ask.kind, at.spot), spot: at.spot, depth: at.depth, step,
    tell: (nodes) => { told.push(...nodes); }, again: () => show(main, args, field),
    onward: () => goOnward(field, [property, tree, name], [spot, step], ask),
  };
  question(host, section, q);
  section.append(...beside(q));
}

const whereAt = (look, spot, step) => ({
  spot: spot === NONE ? "" : spot, step, depth: step === NONE ? null : depthsOf(look)[step],
});

// Where one is led instead: to a spot, to the list at a tree that could fail, to the pit that smells of fuel.
function barred(look, form, { spot }) {
  const at = `${look.property}/${look.tree.id}`;
  if (isUnderground(form) && !spot) return `#/pit/${at}/${form.name}`;
  if (concern(look) && !form.outside && form.name !== "tree") return `#/walk/${at}`;
  return isUnderground(form) && smellsOfFuel(look, spot) ? `#/pit/${at}/-/${spot}` : "";
}

function whereIn(now, ask) {
  const among = ask.why ? now.later : now.open;
  return say(ask.why ? "field.form.of_later" : "field.form.of", {
    form: say(`field.form_name.${now.name}`), at: among.indexOf(ask) + 1, of: among.length,
  });
}

const subject = ({ tree }, kind, spot) =>
  ({ tree: tree.id, place: tree.place_id, pit: spot, sample: spot })[kind.of] ?? "";

// The next question in order that is not answered, among those of today or among the others.
async function goOnward(field, [property, tree, name], [spot, step], { kind: { kind: code }, why }) {
  const look = await treeNow(field, property, tree);
  if (code === "structural_concern" && concern(look)) return field.go("walk", property, tree);
  const { asks } = formNow(field, look, formNamed(name), whereAt(look, spot, step));
  const after = asks.findIndex((each) => each.kind.kind === code);
  const next = asks.slice(after + 1).find((each) => !each.done && Boolean(each.why) === Boolean(why));
  field.go("form", property, tree, name, next?.kind.kind ?? "end", spot, step);
}

// Where one stands carries over, and is said.
function standing({ ground, system }, { spot, depth }) {
  if (!spot) return "";
  const { label = "" } = [...ground.pits, ...ground.samples].find((each) => each.id === spot) ?? {};
  if (!depth) return say("field.look.still", { spot: label });
  return say("field.form.still_depth", { spot: label, depth: depthTold(system, depth) });
}

function beside(q) {
  const { field, look, spot, ask: { kind } } = q, notes = [];
  if (outOfSeason(field, look, kind)) notes.push(el("p", { class: "said doubt" }, say("field.form.out_of_season")));
  const isWet = look.today("soil_moisture_feel", { spot }).some((each) => each.choice === "saturated");
  if (kind.kind.startsWith("infiltration") && isWet) notes.push(el("p", { class: "caution" }, say("field.form.drips")));
  const same = carried(q);
  if (!same) return notes;
  const said = el("p", { role: "status" });
  const words = say("field.form.same", { spot: same.label, value: readingTold(same) });
  return [...notes, button(once(() => sameAgain(q, same), said), words), said];
}

// Cover and surface of the pit before: one tap says the same of this one.
function carried({ ask: { kind, count }, look, spot, depth }) {
  if (kind.of !== "pit" || depth || count || OF_EACH_PIT.includes(kind.kind)) return null;
  const last = look.today(kind.kind).filter((each) => each.of !== spot && !each.nothing).at(-1);
  return last && { ...last, label: look.pits.find((pit) => pit.id === last.of)?.label ?? "" };
}

async function sameAgain(q, { typed, value, choice, sign }) {
  await keep(q, [{ typed, value, choice, sign }]);
  await q.onward();
}

// The form is through: deeper at the same pit, the next form, or the list.
function finished(field, look, now, { spot, step }) {
  const at = `${look.property}/${look.tree.id}`, form = say(`field.form_name.${now.name}`);
  const to = (its, { kind }) => `#/form/${at}/${its.name}/${kind.kind}/${spot || NONE}/${step}`;
  const left = now.left.map((ask) =>
    el("li", {}, el("a", { href: to(now, ask) }, wordsFor(look.system, ask.kind.label))));
  const keys = waysOn(field, look, now, { spot, step }, at);
  return [
    el("h1", { class: "finding" },
      left.length ? say("field.form.left", { count: left.length }) : say("field.form.done", { form })),
    el("ul", { class: "list" }, left), laterKey(look, [now], to),
    el("div", { class: "keys lower" }, keys.map(([href, words], n) => key(href, words, n ? "" : "weld"))),
  ];
}

function waysOn(field, look, now, { spot, step }, at) {
  const deeper = Number(step) + 1, depth = now.name === "depth" && depthsOf(look)[deeper];
  const next = nextForm(field, look, now.name);
  return [
    depth && [`#/form/${at}/depth/-/${spot}/${deeper}`,
      say("field.form.deeper", { depth: depthTold(look.system, depth) })],
    isUnderground(now) && [`#/pit/${at}/-/${spot}`, say("field.form.this_pit")],
    next && [`#/form/${at}/${next.name}`, nextTold(next)],
    [`#/walk/${at}`, say("field.walk.title")],
  ].filter(Boolean);
}
