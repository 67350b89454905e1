// The card of the species: what was used last and what stands beside it first, then any name that is known.

import { el, put } from "./dom.js";
import { once } from "./look_choices.js";
import { askedLine, savedRows, tellSaved } from "./look_saved.js";
import { save } from "./saving.js";
import { say } from "./words.js";

const FIRST = 5, USED = 2, MOST = 12, KEPT = 8;
const fold = (text) => text.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase();

export function speciesCard(host, question, look) {
  const { field } = look;
  const saved = el("p", { class: "count" }), list = el("div", { class: "names" });
  const read = look.read("species").map((reading) => ({ told: reading.choice ?? reading.typed, other: "", readings: [reading] }));
  put(question, el("h1", {}, say("field.look.species")), read.length ? savedRows(read) : null, saved,
    el("p", { class: "hint" }, say("field.look.species_hint")));
  const choose = async ([botanical]) => {
    await save(field, { property: look.property, of: look.tree.id, entries: [{ kind: "species", choice: botanical, typed: botanical }] });
    const { settings = {} } = await field.book.self();
    const species = [botanical, ...(settings.species ?? []).filter((each) => each !== botanical)].slice(0, KEPT);
    field.self = await field.book.setSelf({ settings: { ...settings, species } });
    await tellSaved(saved, 1, 1);
    await look.onward();
  };
  const shown = (found) => put(list, found.length || !search.value.trim() ? found.map((each) => nameKey(each, once(choose, each, saved)))
    : el("p", { role: "status" }, say("field.look.no_name", { typed: search.value.trim() })));
  const search = el("input", {
    type: "search", autocomplete: "off", autocapitalize: "none", spellcheck: "false", "aria-label": say("field.look.search"),
    placeholder: say("field.look.search"), on: {
      input: () => shown(search.value.trim() ? matching(field, search.value) : likely(look)),
      keydown: ({ key }) => key === "Enter" && list.querySelectorAll("button").length === 1 && list.querySelector("button").click(),
    },
  });
  host.append(askedLine(look, say("field.look.one_tap"), read), list, el("div", { class: "last" }, search, notSure(look, saved),
    el("button", { type: "button", on: { click: look.onward } }, say("field.pad.next"))));
  shown(likely(look));
}

const notSure = (look, saved) => el("button", { type: "button", class: "unread", on: { click: once(async () => {
  await save(look.field, { property: look.property, of: look.tree.id, entries: [{ kind: "species", nothing: "not read", typed: "not read" }] });
  await look.onward();
}, null, saved) } }, say("field.pad.not_read"));

function nameKey([botanical, common], chosen) {
  const [first] = common.split("|");
  const genus = botanical.endsWith(" sp.");
  return el("button", { type: "button", on: { click: chosen } }, el("b", {}, first || botanical), " ",
    el("small", {}, genus ? say("field.look.genus", { genus: botanical.replace(" sp.", "") }) : botanical));
}

// The two used last on this phone, those of the other trees here, the most frequent first, then what else was used.
function likely({ field, ground }) {
  const counts = new Map();
  for (const each of ground.readings) {
    if (each.kind === "species" && each.stands && each.choice) counts.set(each.choice, (counts.get(each.choice) ?? 0) + 1);
  }
  const near = [...counts].sort((one, other) => other[1] - one[1]).map(([name]) => name);
  const used = field.self.settings?.species ?? [];
  const names = [...new Set([...used.slice(0, USED), ...near, ...used])];
  const known = new Map(field.catalogue.species.map((each) => [each[0], each]));
  return names.map((name) => known.get(name)).filter(Boolean).slice(0, FIRST);
}

// Names that begin with what was typed stand before those that only hold it.
function matching(field, typed) {
  const sought = fold(typed.trim());
  const rank = ([botanical, common]) => {
    const names = [botanical, ...common.split("|")].map(fold);
    if (names.some((each) => each.startsWith(sought))) return 0;
    return names.some((each) => each.split(/[ -]/).some((word) => word.startsWith(sought))) ? 1 : 2;
  };
  return field.catalogue.species.map((each) => [rank(each), each]).filter(([at]) => at < 2)
    .sort((one, other) => one[0] - other[0]).slice(0, MOST).map(([, each]) => each);
}
