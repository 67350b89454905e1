// Today: the visits that are open, the properties that are this person's, and what was last heard.

import { el, put } from "./dom.js";
import { endVisit } from "./saving.js";
import { say } from "./words.js";

export async function show(main, args, field) {
  field.head(say("web.place.today"), field.start.who ? say("field.today.who", { name: field.start.who.name }) : "");
  const { visits = {} } = await field.book.self();
  const known = await field.book.grounds();
  const jobs = field.start.properties ?? [];
  const open = Object.keys(visits).filter((id) => visits[id].day === field.day());
  const named = (id) => jobs.find((each) => each.id === id)?.name ?? known.find((each) => each.id === id)?.property.name ?? say("field.unnamed");
  put(main, el("h1", { class: "finding" }, open.length ? say("field.today.open", { names: open.map(named).join(", ") }) : say("field.today.none")),
    signIn(field), open.map((id) => openKeys(field, id, named(id))),
    jobs.filter((each) => !open.includes(each.id)).map((job) => startRow(field, job)),
    el("div", { class: "keys" }, el("a", { class: "key", href: "#/trees/new" }, say("field.trees.new_property")),
      el("a", { class: "key", href: "#/settings" }, say("field.settings.title"))));
}

const signIn = (field) => field.start.who ? null : el("p", { class: "notice" }, say("field.today.nobody"), " ",
  el("a", { class: "key", href: "/sign-in" }, say("field.today.sign_in")));

function openKeys(field, id, name) {
  return el("section", { class: "visit" }, el("h2", {}, name), el("div", { class: "keys" },
    el("a", { class: "key weld", href: `#/trees/${id}` }, say("field.today.go_on")),
    el("button", { type: "button", on: { click: async () => { await endVisit(field, id); field.go("today", Date.now()); } } }, say("field.today.end"))));
}

const startRow = (field, job) => el("section", { class: "visit" }, el("h2", {}, job.name),
  el("p", {}, say("field.today.trees", { count: job.trees }), job.today ? ` · ${say("field.today.stop")}` : ""),
  el("a", { class: "key", href: `#/trees/${job.id}/start` }, say("field.today.start")));
