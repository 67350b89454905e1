// Today: the visits that are open, the properties that are this person's, and what was last heard.

import { button, el, icon, key, put } from "./dom.js";
import { namesHere, rivalsHere } from "./here.js";
import { nearestFirst } from "./nearest.js";
import { endVisit, openToday } from "./saving.js";
import { roundsToday } from "./screen_round.js";
import { say } from "./words.js";

export async function show(main, args, field) {
  const { who, properties: jobs = [] } = field.start;
  field.head(say("web.place.today"), who ? say("field.today.who", { name: who.name }) : "");
  const names = await namesHere(field), rivals = await rivalsHere(field);
  const named = (id) => names.get(id) ?? say("field.unnamed");
  const self = await field.book.self();
  const open = Object.keys(self.visits ?? {}).filter((id) => openToday({ ...field, self }, id));
  const rows = jobs.filter((each) => !open.includes(each.id))
    .toSorted((one, other) => other.today - one.today).map(startRow);
  const list = el("div", {});
  const round = await roundsToday(field);
  const inOrder = (sorted) => oneMainKey(put(list, sorted), !open.length && !round?.isToday);
  inOrder(rows);
  const openNames = open.map(named).join(", ");
  const finding = open.length ? say("field.today.open", { names: openNames }) : say("field.today.none");
  const isFirst = who && !rows.length && !open.length;
  put(main, round?.nodes, round?.isToday ? open.length > 0 && el("h2", {}, finding)
    : el("h1", { class: "finding" }, finding),
    who ? null : signIn(),
    rivals.map((each) => rivalLine(field, each, named)),
    open.map((id, at) => openKeys(field, id, named(id), at === 0 && !round?.isToday)),
    nearestFirst(field, rows, inOrder), list,
    el("div", { class: "keys" }, key("#/trees/new", say("field.trees.new_property"), isFirst ? "weld" : ""),
      key("#/settings", say("field.settings.title"))));
}

// Two phones corrected one reading: which is right, somebody has to say.
function rivalLine({ kinds }, { property, reading }, named) {
  const told = { what: kinds[reading.kind]?.label ?? reading.kind, property: named(property) };
  return el("p", { class: "notice needs" }, icon("needs"),
    key(`#/reading/${property}/${reading.id}`, say("field.today.rivals", told)));
}

const signIn = () => el("p", { class: "notice" }, say("field.today.nobody"), " ",
  key("/sign-in", say("field.today.sign_in"), "weld"));

function openKeys(field, id, name, isFirst) {
  const end = async () => {
    await endVisit(field, id);
    field.go("today", Date.now());
  };
  return el("section", { class: "visit" }, el("h2", {}, name), el("div", { class: "keys" },
    key(`#/trees/${id}`, say("field.today.go_on"), isFirst ? "weld" : ""), button(end, say("field.today.end"))));
}

const startRow = (job) => el("section", { class: "visit", "data-property": job.id }, el("h2", {}, job.name),
  el("p", {}, say("field.today.trees", { count: job.trees }), job.today ? ` · ${say("field.today.stop")}` : ""),
  key(`#/trees/${job.id}/start`, say("field.today.start")));

function oneMainKey(list, isHere) {
  [...list.querySelectorAll(".key")].forEach((each, at) => each.classList.toggle("weld", isHere && at === 0));
}
