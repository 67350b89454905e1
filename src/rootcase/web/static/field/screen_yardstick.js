// The yardstick visit: whether this tree is fit to be what another is compared with, for its growth or for its soil.

import { newId } from "./canonical.js";
import { byWords, choiceRow } from "./choice_row.js";
import { button, el, key, put } from "./dom.js";
import { treeNow } from "./forms.js";
import { once } from "./once.js";
import { readingTold } from "./told.js";
import { show as written } from "./units.js";
import { say } from "./words.js";

const TIMES = 1.5, SIDES = 1, DIEBACK = 0.1, WEEK_DAYS = 7, DAY_MS = 86_400_000, ENOUGH = 3;
const FED = ["nobody", "somebody", "unknown"], USES = ["growth", "soil"], WALKS = ["tree", "shoots", "crown"];

export async function show(main, [property, id, other = ""], field) {
  const look = await treeNow(field, property, id);
  field.head(look.tree.label, say("field.yardstick.title"));
  const behind = other && await treeNow(field, property, other);
  put(main, el("p", { class: "caution" }, say("field.yardstick.leave")),
    behind ? fitness(field, look, behind) : choose(look));
}

// Trees of the kind that have none come first.
function choose({ property, tree, ground, standing }) {
  const kindOf = ({ id }) => standing.findLast((each) => each.kind === "species" && each.of === id)?.choice ?? "";
  const own = kindOf(tree), genus = (name) => name.split(" ")[0];
  const has = new Set(Object.keys(ground.compared_with ?? {}));
  const far = (kind) => (kind === own ? 0 : genus(kind) === genus(own) ? 1 : 2);
  const rank = (each) => (own ? far(kindOf(each)) : 2) + (has.has(each.id) ? 3 : 0);
  const trees = ground.trees.filter((each) => each.id !== tree.id)
    .toSorted((one, other) => rank(one) - rank(other));
  const row = (each) => el("li", {}, el("a", { href: `#/yardstick/${property}/${tree.id}/${each.id}` }, each.label),
    el("span", { class: "beside" }, has.has(each.id) ? say("field.yardstick.has") : kindOf(each)));
  return [el("h1", { class: "finding" }, say("field.yardstick.for_which", { tree: tree.label })),
    el("ul", { class: "list" }, trees.map(row))];
}

function fitness(field, look, behind) {
  const lines = checks(field, look, behind), at = `${look.property}/${look.tree.id}`;
  const said = el("p", { class: "count", role: "status" }), words = say("field.yardstick.why");
  const fed = choiceRow(byWords(FED, (each) => say(`field.yardstick.fed.${each}`)));
  const use = choiceRow(byWords(USES, (each) => say(`field.yardstick.use.${each}`)),
    { chosen: lines.some((each) => each.isShade) ? "soil" : "growth" });
  const why = el("input", { maxlength: 200, autocomplete: "off", "aria-label": words, placeholder: words });
  const store = once(async () => {
    const wrong = wrongIn(fed.chosen(), why.value.trim());
    if (wrong) return put(said, wrong);
    const reason = `${why.value.trim()}; ${say(`field.yardstick.fed.${fed.chosen()}`)}`;
    const events = named(look, behind, say(`field.yardstick.use.${use.chosen()}`), reason);
    await field.book.keep({ property: look.property, events });
    put(said, say("field.state.phone"));
    return field.go("tree", look.property, look.tree.id);
  }, said);
  const trees = { tree: look.tree.label, other: behind.tree.label };
  return [el("h1", { class: "finding" }, say("field.yardstick.fit", trees)),
    el("ul", { class: "list" }, lines.map(lineTold)), asked("fed", fed), asked("use", use),
    warnings(field, look, behind, lines), why, said,
    el("div", { class: "keys" }, WALKS.map((name) => key(`#/form/${at}/${name}`, say(`field.form_name.${name}`))),
      key(`#/pit/${at}`, say("field.pit.title"))),
    el("div", { class: "keys lower" }, button(store, say("field.yardstick.key", trees), "weld"))];
}

function wrongIn(fed, why) {
  if (!fed) return say("field.yardstick.ask_fed");
  if (fed === "somebody") return say("field.yardstick.not_fed");
  return why ? "" : say("field.yardstick.say_why");
}

const asked = (name, { keys }) => el("fieldset", { class: "beside-number" },
  el("legend", {}, say(`field.yardstick.${name}.ask`)), keys);

const lineTold = ({ what, fits, told }) => el("li", { class: "gap" }, el("b", {}, what), el("span", {}, told),
  el("span", { class: "beside" }, say(`field.yardstick.${fits}`)));

// Kind, size, light, dieback: each fits, does not fit, or is not read.
function checks(field, look, behind) {
  const last = (here, code) => here.read(code).findLast((each) => each.value != null || each.choice);
  const told = (code, reading) => {
    if (!reading) return say("field.yardstick.unread");
    return reading.value == null ? readingTold(reading) : written(field.kinds[code], reading.value, field.system());
  };
  const pair = (code, isFit) => {
    const own = last(look, code), theirs = last(behind, code);
    const fits = !own || !theirs ? "unread" : isFit(own, theirs) ? "fits" : "differs";
    const both = say("field.yardstick.pair", { own: told(code, own), theirs: told(code, theirs) });
    return { what: field.kinds[code].label, fits, told: both, own, theirs };
  };
  const light = pair("crown_exposure", (own, theirs) => Math.abs(own.value - theirs.value) <= SIDES);
  const dieback = last(look, "crown_dieback");
  return [pair("species", (own, theirs) => own.choice === theirs.choice),
    pair("dbh", ({ value: own }, { value: theirs }) => Math.max(own, theirs) <= TIMES * Math.min(own, theirs)),
    { ...light, isShade: light.fits === "differs" },
    { what: field.kinds.crown_dieback.label, told: told("crown_dieback", dieback),
      fits: !dieback ? "unread" : dieback.value < DIEBACK ? "fits" : "differs" }];
}

function warnings(field, look, behind, lines) {
  const own = look.tree.label, other = behind.tree.label, told = [], light = lines.find((each) => each.isShade);
  if (light) {
    const sides = { own: light.own.value, theirs: light.theirs.value };
    told.push(say("field.yardstick.light", { tree: own, other, ...sides }));
  }
  const trees = yardstickOf(behind)?.tree_ids ?? [];
  if (new Set([...trees, look.tree.id]).size < ENOUGH) told.push(say("field.yardstick.one_tree"));
  const day = behind.read("shoot_length_last").at(-1)?.day ?? behind.read("dbh").at(-1)?.day;
  const weeks = day ? Math.round((Date.parse(field.day()) - Date.parse(day)) / DAY_MS / WEEK_DAYS) : 0;
  if (weeks > 1) told.push(say("field.yardstick.later", { weeks, other }));
  return told.map((words) => el("p", { class: "caution" }, words));
}

const yardstickOf = ({ ground, tree }) =>
  (ground.yardsticks ?? []).find((each) => each.id === ground.compared_with?.[tree.id]);

// The yardstick that the tree behind is compared with takes this one in; where it has none a new one is named.
function named(look, behind, use, reason) {
  const { tree } = look, known = yardstickOf(behind), species = look.read("species").at(-1)?.choice ?? tree.label;
  const { id: yardstick, label } = known ?? { id: newId(), label: say("field.yardstick.label", { species, use }) };
  const body = { slot: newId(), yardstick, label, tree: tree.id, reason: `${use}: ${reason}` };
  const joins = { kind: "yardstick_named", body };
  if (known) return [joins];
  return [joins, { kind: "compared_with", body: { slot: newId(), tree: behind.tree.id, yardstick, label } }];
}
