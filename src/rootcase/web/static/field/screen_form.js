// A form, one question at a time: #/form/PROPERTY/TREE/FORM/KIND/SPOT/STEP, where - is none of these.

import { el, put } from "./dom.js";
import { concern, depthTold, depthsOf, formNamed, formNow, isOfSamples, isUnderground, outOfSeason, readingTold, smellsOfFuel, treeNow } from "./forms.js";
import { once } from "./look_choices.js";
import { keep, question } from "./question.js";
import { samplesOf } from "./screen_sample.js";
import { laterKey, nextForm } from "./screen_walk.js";
import { wordsFor } from "./units.js";
import { say } from "./words.js";

const NONE = "-";
let told = [];

export async function show(main, args, field) {
  const [property, tree, name, code = NONE, spot = NONE, step = NONE] = args;
  const look = await treeNow(field, property, tree), form = formNamed(name);
  const at = { spot: spot === NONE ? "" : spot, depth: step === NONE ? null : depthsOf(look)[step] };
  if (isUnderground(form) && !at.spot) return location.replace(`#/pit/${property}/${tree}/${name}`);
  if (concern(look) && !form.outside && name !== "tree") return location.replace(`#/walk/${property}/${tree}`);
  if (isOfSamples(form) && !at.spot) return samplesOf(main, look, field);
  if (isUnderground(form) && smellsOfFuel(look, at.spot)) return location.replace(`#/pit/${property}/${tree}/-/${at.spot}`);
  const now = formNow(field, look, form, at);
  const ask = code === NONE ? now.left[0] : now.asks.find((each) => each.kind.kind === code);
  field.head(look.tree.label, ask ? whereIn(now, ask) : say(`field.form_name.${name}`));
  const notes = told;
  told = [];
  if (!ask) return finished(main, { field, look, now, at, step, notes });
  const section = el("section", { class: "question" }), host = el("div", { class: "look form" }, section);
  put(main, notes, host);
  section.append(el("p", { class: "still" }, standing(field, look, at)));
  const onward = () => goOnward(field, [property, tree, name], [spot, step], ask);
  const q = {
    field, look, ask, of: subject(look, ask.kind, at.spot), spot: at.spot, depth: at.depth, step,
    tell: (nodes) => { told.push(...nodes); }, again: () => show(main, args, field), onward,
  };
  question(host, section, q);
  section.append(...beside(q));
}

function whereIn(now, ask) {
  const among = ask.why ? now.later : now.open;
  return say(ask.why ? "field.form.of_later" : "field.form.of", { form: say(`field.form_name.${now.name}`), at: among.indexOf(ask) + 1, of: among.length });
}

const subject = (look, kind, spot) => ({ tree: look.tree.id, place: look.tree.place_id, pit: spot, sample: spot })[kind.of] ?? "";

// The next question in order that is not answered, among those of today or among the others.
async function goOnward(field, [property, tree, name], [spot, step], { kind: { kind: code }, why }) {
  const look = await treeNow(field, property, tree);
  if (code === "structural_concern" && concern(look)) return field.go("walk", property, tree);
  const now = formNow(field, look, formNamed(name), { spot: spot === NONE ? "" : spot, depth: step === NONE ? null : depthsOf(look)[step] });
  const after = now.asks.findIndex((each) => each.kind.kind === code);
  const next = now.asks.slice(after + 1).find((each) => !each.done && Boolean(each.why) === Boolean(why));
  field.go("form", property, tree, name, next?.kind.kind ?? "end", spot, step);
}

// Where one stands carries over, and is said.
function standing(field, look, at) {
  if (!at.spot) return "";
  const label = [...look.ground.pits, ...look.ground.samples].find((each) => each.id === at.spot)?.label ?? "";
  return at.depth ? say("field.form.still_depth", { spot: label, depth: depthTold(look.system, at.depth) }) : say("field.look.still", { spot: label });
}

function beside(q) {
  const { kind } = q.ask, notes = [];
  if (outOfSeason(q.field, q.look, kind)) notes.push(el("p", { class: "said doubt" }, say("field.form.out_of_season")));
  if (kind.kind.startsWith("infiltration") && q.look.today("soil_moisture_feel", { spot: q.spot }).some((each) => each.choice === "saturated")) {
    notes.push(el("p", { class: "caution" }, say("field.form.drips")));
  }
  const same = carried(q);
  if (same) notes.push(el("button", { type: "button", on: { click: once(() => sameAgain(q, same), null, notes[0] ?? el("p")) } }, say("field.form.same", { spot: same.label, value: readingTold(same) })));
  return notes;
}

// Cover and surface of the pit before: one tap says the same of this one.
function carried(q) {
  if (q.ask.kind.of !== "pit" || q.depth || q.ask.count || ["pit_distance", "pit_bearing", "probe_depth", "pit_photo"].includes(q.ask.kind.kind)) return null;
  const last = q.look.today(q.ask.kind.kind).filter((each) => each.of !== q.spot && !each.nothing).at(-1);
  return last && { ...last, label: q.look.pits.find((pit) => pit.id === last.of)?.label ?? "" };
}

async function sameAgain(q, { typed, value, choice, sign }) {
  await keep(q, [{ typed, value, choice, sign }]);
  await q.onward();
}

// The form is through: deeper at the same pit, the next form, or the list.
function finished(main, { field, look, now, at, step, notes }) {
  const { property, tree } = look, here = `#/form/${property}/${tree.id}`;
  const keys = [], deeper = depthsOf(look)[Number(step) + 1];
  if (now.name === "depth" && deeper) keys.push([`${here}/depth/-/${at.spot}/${Number(step) + 1}`, say("field.form.deeper", { depth: depthTold(look.system, deeper) })]);
  if (isUnderground(now)) keys.push([`#/pit/${property}/${tree.id}/-/${at.spot}`, say("field.form.this_pit")]);
  const next = nextForm(field, look, now.name);
  if (next) keys.push([`${here}/${next.name}`, say("field.form.next", { form: say(`field.form_name.${next.name}`), minutes: next.minutes })]);
  keys.push([`#/walk/${property}/${tree.id}`, say("field.walk.title")]);
  const open = now.left.map((each) => el("li", {}, el("a", { href: `${here}/${now.name}/${each.kind.kind}/${at.spot || NONE}/${step}` }, wordsFor(look.system, each.kind.label))));
  const later = laterKey(look, [now], (form, ask) => `${here}/${form.name}/${ask.kind.kind}/${at.spot || NONE}/${step}`);
  put(main, notes, el("h1", { class: "finding" }, open.length ? say("field.form.left", { count: open.length }) : say("field.form.done", { form: say(`field.form_name.${now.name}`) })),
    el("ul", { class: "list" }, open), later, el("div", { class: "keys lower" }, keys.map(([href, words], n) => el("a", { class: n ? "key" : "key weld", href }, words))));
}
