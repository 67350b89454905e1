// The card of the species: what was used last and what stands beside it first, then any name that is known.

import { button, el, put } from "./dom.js";
import { askedLine, savedRows, tellSaved } from "./look_saved.js";
import { once } from "./once.js";
import { save } from "./saving.js";
import { nothingWords, readingTold } from "./told.js";
import { say } from "./words.js";

const FIRST = 5, USED = 2, MOST = 12, KEPT = 8;
const fold = (text) => text.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase();

export function speciesCard(host, question, look) {
  const { field } = look;
  const saved = el("p", { class: "count" }), list = el("div", { class: "names" });
  const read = look.read("species").map((reading) => ({ told: readingTold(reading), other: "", readings: [reading] }));
  put(question, el("h1", {}, say("field.look.species")), read.length ? savedRows(read) : null, saved,
    el("p", { class: "hint" }, say("field.look.species_hint")));
  const choose = async ([botanical]) => {
    await keep(look, { choice: botanical, typed: botanical });
    const others = (field.self.settings?.species ?? []).filter((each) => each !== botanical);
    await field.set({ species: [botanical, ...others].slice(0, KEPT) });
    tellSaved(saved, 1, 1);
    await look.onward();
  };
  const leave = async () => {
    await keep(look, { nothing: "not read", typed: "not read" });
    await look.onward();
  };
  const shown = () => {
    const typed = search.value.trim(), found = typed ? matching(field, typed) : likely(look);
    if (typed && !found.length) return put(list, el("p", { role: "status" }, say("field.look.no_name", { typed })));
    return put(list, found.map((each) => nameKey(each, once(() => choose(each), saved))));
  };
  const onlyOne = ({ key }) => {
    const [name, ...more] = list.querySelectorAll("button");
    if (key === "Enter" && name && !more.length) name.click();
  };
  const search = el("input", {
    type: "search", autocomplete: "off", autocapitalize: "none", spellcheck: "false",
    "aria-label": say("field.look.search"), placeholder: say("field.look.search"),
    on: { input: shown, keydown: onlyOne },
  });
  host.append(askedLine(look, say("field.look.one_tap"), read), list, el("div", { class: "last" }, search,
    button(once(leave, saved), nothingWords("not read"), "unread"), button(look.onward, say("field.pad.next"))));
  shown();
}

const keep = (look, told) => save(look.field, {
  property: look.property, of: look.tree.id, entries: [{ kind: "species", ...told }],
});

function nameKey([botanical, common], chosen) {
  const [first] = common.split("|");
  const genus = botanical.endsWith(" sp.") && say("field.look.genus", { genus: botanical.replace(" sp.", "") });
  return button(chosen, [el("b", {}, first || botanical), " ", el("small", {}, genus || botanical)]);
}

// The two used last on this phone, those of the other trees here, the most frequent first, then what else was used.
function likely({ field, ground }) {
  const counts = new Map();
  for (const { kind, stands, choice } of ground.readings) {
    if (kind === "species" && stands && choice) counts.set(choice, (counts.get(choice) ?? 0) + 1);
  }
  const near = [...counts].sort((one, other) => other[1] - one[1]).map(([name]) => name);
  const used = field.self.settings?.species ?? [];
  const names = [...new Set([...used.slice(0, USED), ...near, ...used])];
  const known = new Map(field.catalogue.species.map((each) => [each[0], each]));
  return names.map((name) => known.get(name)).filter(Boolean).slice(0, FIRST);
}

// Names that begin with what was typed stand before those that only hold it.
function matching(field, typed) {
  const sought = fold(typed);
  const rank = ([botanical, common]) => {
    const names = [botanical, ...common.split("|")].map(fold);
    if (names.some((each) => each.startsWith(sought))) return 0;
    return names.some((each) => each.split(/[ -]/).some((word) => word.startsWith(sought))) ? 1 : 2;
  };
  return field.catalogue.species.map((each) => [rank(each), each]).filter(([at]) => at < 2)
    .sort((one, other) => one[0] - other[0]).slice(0, MOST).map(([, each]) => each);
}
