// Today: the visits that are open, the properties that are this person's, and what was last heard.

import { el, icon, put } from "./dom.js";
import { namesHere, rivalsHere } from "./here.js";
import { nearestFirst } from "./nearest.js";
import { endVisit } from "./saving.js";
import { say } from "./words.js";

export async function show(main, args, field) {
  field.head(say("web.place.today"), field.start.who ? say("field.today.who", { name: field.start.who.name }) : "");
  const { visits = {} } = await field.book.self();
  const names = await namesHere(field), rivals = await rivalsHere(field);
  const jobs = field.start.properties ?? [];
  const open = Object.keys(visits).filter((id) => visits[id].day === field.day());
  const named = (id) => names.get(id) ?? say("field.unnamed");
  const rows = jobs.filter((each) => !open.includes(each.id)).toSorted((one, other) => other.today - one.today).map(startRow);
  const list = el("div", {});
  const inOrder = (sorted) => oneMainKey(put(list, sorted), !open.length);
  inOrder(rows);
  const nobody = !field.start.who;
  put(main, el("h1", { class: "finding" }, open.length ? say("field.today.open", { names: open.map(named).join(", ") }) : say("field.today.none")),
    nobody ? signIn() : null, rivals.map((each) => rivalLine(field, each, named)), open.map((id, at) => openKeys(field, id, named(id), at === 0)), nearestFirst(field, rows, inOrder), list,
    el("div", { class: "keys" }, el("a", { class: nobody || rows.length || open.length ? "key" : "key weld", href: "#/trees/new" }, say("field.trees.new_property")),
      el("a", { class: "key", href: "#/settings" }, say("field.settings.title"))));
}

// Two phones corrected one reading: which is right, somebody has to say.
const rivalLine = (field, { property, reading }, named) => el("p", { class: "notice needs" }, icon("needs"),
  el("a", { class: "key", href: `#/reading/${property}/${reading.id}` }, say("field.today.rivals", { what: field.kinds[reading.kind]?.label ?? reading.kind, property: named(property) })));

const signIn = () => el("p", { class: "notice" }, say("field.today.nobody"), " ",
  el("a", { class: "key weld", href: "/sign-in" }, say("field.today.sign_in")));

function openKeys(field, id, name, first) {
  return el("section", { class: "visit" }, el("h2", {}, name), el("div", { class: "keys" },
    el("a", { class: first ? "key weld" : "key", href: `#/trees/${id}` }, say("field.today.go_on")),
    el("button", { type: "button", on: { click: async () => { await endVisit(field, id); field.go("today", Date.now()); } } }, say("field.today.end"))));
}

const startRow = (job) => el("section", { class: "visit", "data-property": job.id }, el("h2", {}, job.name),
  el("p", {}, say("field.today.trees", { count: job.trees }), job.today ? ` · ${say("field.today.stop")}` : ""),
  el("a", { class: "key", href: `#/trees/${job.id}/start` }, say("field.today.start")));

function oneMainKey(list, first) {
  [...list.querySelectorAll(".key")].forEach((key, at) => key.classList.toggle("weld", first && at === 0));
}
