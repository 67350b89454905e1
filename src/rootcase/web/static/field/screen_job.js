// The day's paper: what was signed for a property, what to look out for, and the log of what was put on.

import { newId } from "./canonical.js";
import { announce, button, el, key, put } from "./dom.js";
import { halfName } from "./half_typed.js";
import { namesHere } from "./here.js";
import { sentOnce } from "./once.js";
import { dayTold, say } from "./words.js";

const EXTRACT = "extract"; // code of the remedy
const LONGEST = 400; // as ground/length.py, of a line

export async function show(main, [property], field) {
  const ground = await field.book.ofProperty(property);
  const log = logged(ground, await field.book.events(property));
  const { sheet } = ground;
  field.head((await namesHere(field)).get(property) ?? "", say("field.job.title"));
  const finding = sheet ? say("field.job.finding", { count: sheet.work.length }) : say("field.job.none");
  put(main, el("h1", { class: "finding" }, finding),
    ground.extract?.missing ? el("p", { class: "notice" }, ground.extract.missing) : null,
    ...arriving(ground, field.day()), sheet ? el("p", { class: "help" }, sheet.signed) : null,
    sheet?.alone ? el("p", {}, sheet.alone) : null,
    ...(sheet?.work ?? []).map((work) => atTree(field, property, ground, work, log)),
    ...(sheet?.trials ?? []).map(([doubt, ...lines]) => el("section", {}, el("h2", {}, doubt), list(lines))),
    el("p", { class: "help" }, say("field.job.codes_first")));
}

export function arriving({ gate, contacts = [], stop_day: stop }, day) {
  const today = stop === day;
  const ring = (phone) => [" ", key(`tel:${phone.replace(/[^+\d]/g, "")}`, say("field.job.ring", { phone }))];
  const people = (today ? contacts : []).map(({ role, name, phone }) =>
    el("li", {}, `${role}: ${name}`, phone ? ring(phone) : null));
  return [
    el("p", { class: "notice" }, say("field.job.look_up")),
    gate && today ? el("p", {}, say("field.job.gate"), " ", el("b", {}, gate)) : null,
    people.length ? el("ul", { class: "list" }, people) : null,
  ];
}

function atTree(field, property, ground, work, log) {
  const { more_cautions: others } = work;
  const more = others.length ? el("details", {},
    el("summary", {}, say("field.job.more_cautions", { count: others.length })), list(others)) : null;
  const host = el("div", {});
  const open = async () => put(host, await form(field, property, ground, work, host));
  field.half.get(nameOf(field, property, work)).then((half) => half && open());
  return el("section", { class: "visit" }, el("h2", {}, `${work.tree}: ${work.remedy}`),
    work.cautions.length ? el("div", { class: "notice" }, list(work.cautions)) : null, more,
    list(work.doses), work.beside.length ? list(work.beside) : null,
    list(log.filter((each) => each.tree_id === work.tree_id).map((each) => toldOf(each, work))),
    host, el("div", { class: "keys" }, button(open, say("field.job.log"))));
}

// A plain record: as typed, with its unit; the paper's own figures stand above it.
async function form(field, property, { sheet, extract }, work, host) {
  const name = nameOf(field, property, work);
  const half = (await field.half.get(name)) ?? {};
  const remedy = el("select", { name: "remedy" },
    work.put_on_as.map(([code, words]) => el("option", { value: code }, words)));
  if (half.remedy) remedy.value = half.remedy;
  const load = loadsFor(work, extract, half.load);
  const boxes = Object.fromEntries(["amount", "area", "not_done", "note"].map((each) =>
    [each, el("input", { name: each, maxlength: LONGEST, autocomplete: "off", value: half[each] ?? "" })]));
  const inBoxes = () => Object.fromEntries(Object.entries(boxes).map(([each, box]) => [each, box.value.trim()]));
  const from = () => (load && remedy.value === EXTRACT ? { load: load.value } : {});
  const typed = () => ({ remedy: remedy.value, ...from(), ...inBoxes() });
  const said = el("p", { role: "status" });
  const keep = sentOnce(() => save(field, { property, sheet, work, name, said }, typed()), said);
  const input = () => (Object.values(inBoxes()).some(Boolean) ? field.half.put(name, typed()) : field.half.drop(name));
  const close = async () => {
    await field.half.drop(name);
    put(host);
  };
  return el("form", { class: "visit", on: { submit: keep, input } },
    el("label", { class: "names" }, say("field.job.remedy"), remedy),
    load ? el("label", { class: "names" }, say("field.job.load"), load) : null,
    ...Object.entries(boxes).map(([each, box]) => el("label", { class: "names" }, say(`field.job.${each}`), box)), said,
    el("div", { class: "keys" }, el("button", { class: "weld" }, say("field.job.keep")),
      button(close, say("field.job.close"))));
}

// The day's tanks to pick from where extract is put on; a recall finds the tree by it. What was chosen before stays.
function loadsFor(work, extract, chosen) {
  const told = extract?.loads ?? [];
  const gone = chosen && told.every(({ id }) => id !== chosen);
  const loads = gone ? [...told, { id: chosen, told: say("field.job.gone_load") }] : told;
  if (!loads.length || !work.put_on_as.some(([code]) => code === EXTRACT)) return null;
  const load = el("select", { name: "load" }, el("option", { value: "" }, say("field.job.no_load")),
    loads.map(({ id, told: words }) => el("option", { value: id }, words)));
  if (chosen) load.value = chosen;
  return load;
}

async function save(field, { property, sheet, work, name, said }, typed) {
  if (!typed.amount && !typed.not_done) {
    put(said, say("field.job.wants"));
    return false;
  }
  const told = Object.fromEntries(Object.entries(typed).filter(([, text]) => text));
  const by = field.start.who?.code ?? "";
  const body = { slot: newId(), tree: work.tree_id, plan: sheet.mark, day: field.day(), by, ...told };
  await field.book.keep({ property, events: [{ kind: "put_on_logged", body }], half: name });
  announce(say("field.job.saved"));
  field.go("job", property, Date.now());
  return true;
}

// What the server told, and what only this phone has said so far.
function logged(ground, own) {
  const known = new Set((ground.put_on ?? []).map((each) => each.id));
  const here = own.filter((each) => each.kind === "put_on_logged" && !known.has(each.id))
    .map(({ id, body }) => ({
      not_done: "", note: "", ...body, id, tree_id: body.tree, amount_typed: body.amount ?? "",
      area_typed: body.area ?? "",
    }));
  return [...here.reverse(), ...(ground.put_on ?? [])];
}

function toldOf({ day, remedy, amount_typed: amount, area_typed: area, not_done: why, note, by }, work) {
  const name = work.put_on_as.find(([code]) => code === remedy)?.[1] ?? remedy;
  const what = why ? say("field.job.told_not", { why }) : [amount, area].filter(Boolean).join(", ");
  return say("field.job.told", { day: dayTold(day), remedy: name, what: [what, note].filter(Boolean).join("; "), by });
}

const nameOf = (field, property, work) => halfName(field, "job", property, work.tree_id);

const list = (lines) => (lines.length ? el("ul", {}, lines.map((line) => el("li", {}, line))) : null);
