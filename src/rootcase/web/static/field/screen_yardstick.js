// The yardstick visit: whether this tree is fit to be what another is compared with, for its growth or for its soil.

import { newId } from "./canonical.js";
import { el, put } from "./dom.js";
import { treeNow } from "./forms.js";
import { once } from "./look_choices.js";
import { choiceRow } from "./question.js";
import { show as written } from "./units.js";
import { say } from "./words.js";

const TIMES = 1.5, SIDES = 1, DIEBACK = 0.1, WEEK_DAYS = 7, DAY_MS = 86_400_000, ENOUGH = 3;

export async function show(main, [property, id, other = ""], field) {
  const look = await treeNow(field, property, id);
  field.head(look.tree.label, say("field.yardstick.title"));
  const behind = other && await treeNow(field, property, other);
  put(main, el("p", { class: "caution" }, say("field.yardstick.leave")), behind ? fitness(main, field, look, behind) : choose(field, look));
}

// Trees of the kind that have none come first.
function choose(field, look) {
  const kindOf = (tree) => look.standing.findLast((each) => each.kind === "species" && each.of === tree.id)?.choice ?? "";
  const own = kindOf(look.tree), has = new Set(Object.keys(look.ground.compared_with ?? {}));
  const genus = (name) => name.split(" ")[0];
  const rank = (tree) => (kindOf(tree) === own && own ? 0 : own && genus(kindOf(tree)) === genus(own) ? 1 : 2) + (has.has(tree.id) ? 3 : 0);
  const trees = look.ground.trees.filter((tree) => tree.id !== look.tree.id).toSorted((one, two) => rank(one) - rank(two));
  return [el("h1", { class: "finding" }, say("field.yardstick.for_which", { tree: look.tree.label })),
    el("ul", { class: "list" }, trees.map((tree) => el("li", {}, el("a", { href: `#/yardstick/${look.property}/${look.tree.id}/${tree.id}` }, tree.label),
      el("span", { class: "beside" }, has.has(tree.id) ? say("field.yardstick.has") : kindOf(tree)))))];
}

function fitness(main, field, look, behind) {
  const lines = checks(field, look, behind), said = el("p", { class: "count", role: "status" });
  const fed = choiceRow({ choices: Object.fromEntries(["nobody", "somebody", "unknown"].map((each) => [say(`field.yardstick.fed.${each}`), ""])) });
  const use = choiceRow({ choices: Object.fromEntries(["growth", "soil"].map((each) => [say(`field.yardstick.use.${each}`), ""])) }, null,
    say(`field.yardstick.use.${lines.some((each) => each.shade) ? "soil" : "growth"}`));
  const why = el("input", { maxlength: 200, autocomplete: "off", "aria-label": say("field.yardstick.why"), placeholder: say("field.yardstick.why") });
  const store = once(async () => {
    if (!fed.chosen()) return put(said, say("field.yardstick.ask_fed"));
    if (fed.chosen() === say("field.yardstick.fed.somebody")) return put(said, say("field.yardstick.not_fed"));
    if (!why.value.trim()) return put(said, say("field.yardstick.say_why"));
    await field.book.keep({ property: look.property, photos: [], events: named(look, behind, use.chosen(), `${why.value.trim()}; ${fed.chosen()}`) });
    put(said, say("field.state.phone"));
    return field.go("tree", look.property, look.tree.id);
  }, null, said);
  const walk = (name) => el("a", { class: "key", href: `#/form/${look.property}/${look.tree.id}/${name}` }, say(`field.form_name.${name}`));
  return [el("h1", { class: "finding" }, say("field.yardstick.fit", { tree: look.tree.label, other: behind.tree.label })),
    el("ul", { class: "list" }, lines.map(({ what, fits, told }) => el("li", { class: "gap" }, el("b", {}, what), el("span", {}, told), el("span", { class: "beside" }, say(`field.yardstick.${fits}`))))),
    el("fieldset", { class: "beside-number" }, el("legend", {}, say("field.yardstick.fed.ask")), fed.keys),
    el("fieldset", { class: "beside-number" }, el("legend", {}, say("field.yardstick.use.ask")), use.keys),
    ...warnings(field, look, behind, lines), why, said, el("div", { class: "keys" }, walk("tree"), walk("shoots"), walk("crown"), el("a", { class: "key", href: `#/pit/${look.property}/${look.tree.id}` }, say("field.pit.title"))),
    el("div", { class: "keys lower" }, el("button", { type: "button", class: "weld", on: { click: store } }, say("field.yardstick.key", { other: behind.tree.label })))];
}

// Kind, size, light, dieback: each fits, does not fit, or is not read.
export function checks(field, look, behind) {
  const last = (here, code) => here.read(code).findLast((each) => each.value != null || each.choice);
  const pair = (code, fits, extra = {}) => {
    const [own, theirs] = [last(look, code), last(behind, code)], kind = field.kinds[code];
    const told = [own, theirs].map((each) => (!each ? say("field.yardstick.unread") : each.value == null ? each.choice : written(kind, each.value, field.system())));
    return { what: kind.label, fits: own && theirs ? (fits(own, theirs) ? "fits" : "differs") : "unread", told: say("field.yardstick.pair", { own: told[0], theirs: told[1] }), own, theirs, ...extra };
  };
  const dieback = last(look, "crown_dieback");
  const light = pair("crown_exposure", (own, theirs) => Math.abs(own.value - theirs.value) <= SIDES);
  return [pair("species", (own, theirs) => own.choice === theirs.choice),
    pair("dbh", (own, theirs) => Math.max(own.value, theirs.value) <= TIMES * Math.min(own.value, theirs.value)),
    { ...light, shade: light.fits === "differs" },
    { what: field.kinds.crown_dieback.label, fits: !dieback ? "unread" : dieback.value < DIEBACK ? "fits" : "differs", told: dieback ? written(field.kinds.crown_dieback, dieback.value, field.system()) : say("field.yardstick.unread") }];
}

function warnings(field, look, behind, lines) {
  const told = [], light = lines.find((each) => each.shade);
  if (light) told.push(say("field.yardstick.light", { tree: look.tree.label, own: light.own.value, other: behind.tree.label, theirs: light.theirs.value }));
  const trees = (look.ground.yardsticks ?? []).find((each) => each.id === look.ground.compared_with?.[behind.tree.id])?.tree_ids ?? [];
  if (new Set([...trees, look.tree.id]).size < ENOUGH) told.push(say("field.yardstick.one_tree"));
  const day = behind.read("shoot_length_last").at(-1)?.day ?? behind.read("dbh").at(-1)?.day;
  const weeks = day ? Math.round((Date.parse(field.day()) - Date.parse(day)) / DAY_MS / WEEK_DAYS) : 0;
  if (weeks > 1) told.push(say("field.yardstick.later", { weeks, other: behind.tree.label }));
  return told.map((words) => el("p", { class: "caution" }, words));
}

// The yardstick that the tree behind is compared with takes this one in; where it has none a new one is named.
function named(look, behind, use, reason) {
  const { ground, tree } = look, known = (ground.yardsticks ?? []).find((each) => each.id === ground.compared_with?.[behind.tree.id]);
  const species = look.read("species").at(-1)?.choice ?? tree.label;
  const yardstick = known?.id ?? newId(), label = known?.label ?? say("field.yardstick.label", { species, use });
  const joins = { kind: "yardstick_named", body: { slot: newId(), yardstick, label, tree: tree.id, reason: `${use}: ${reason}` } };
  return known ? [joins] : [joins, { kind: "compared_with", body: { slot: newId(), tree: behind.tree.id, yardstick, label } }];
}
