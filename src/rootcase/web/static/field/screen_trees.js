// Trees: the properties on this phone; the trees of one, with New tree by the phone's own tags; New property.

import { newId } from "./canonical.js";
import { el, put } from "./dom.js";
import { hearGround } from "./hearing.js";
import { namesHere } from "./here.js";
import { once, sentOnce } from "./look_choices.js";
import { readCount } from "./look_saved.js";
import { openVisit } from "./saving.js";
import { say } from "./words.js";

const natural = new Intl.Collator("en", { numeric: true }).compare;

export async function show(main, [property, action], field) {
  if (property === "new") return newProperty(main, field);
  if (!property) return properties(main, field);
  const heard = hearGround(field, property);
  if (!(await field.book.grounds()).some((each) => each.id === property)) await heard;
  if (action === "new") return newTree(main, property, field);
  if (action === "start") return startVisit(main, property, field);
  return treesOf(main, property, field);
}

async function properties(main, field) {
  const jobs = await namesHere(field);
  field.head(say("web.place.trees"), say("field.trees.on_phone", { count: jobs.size }));
  put(main, el("h1", { class: "finding" }, jobs.size ? say("field.trees.which") : say("field.trees.none")),
    el("ul", { class: "list" }, [...jobs].map(([id, name]) => el("li", {}, el("a", { href: `#/trees/${id}` }, name)))),
    el("div", { class: "keys" }, el("a", { class: jobs.size ? "key" : "key weld", href: "#/trees/new" }, say("field.trees.new_property"))));
}

async function treesOf(main, property, field) {
  const ground = await field.book.ofProperty(property);
  field.head(ground.property?.name ?? say("field.unnamed"), say("field.today.trees", { count: ground.trees.length }));
  const read = readToday(ground, field.day());
  const species = new Map(ground.readings.filter((each) => each.kind === "species" && each.stands).map((each) => [each.of, each.choice]));
  const trees = ground.trees.toSorted((one, other) => natural(one.label, other.label));
  put(main, el("h1", { class: "finding" }, trees.length ? say("field.trees.at") : say("field.trees.empty")),
    el("ul", { class: "list" }, trees.map((tree) => el("li", {},
      el("a", { href: `#/tree/${property}/${tree.id}` }, el("b", {}, tree.label), " ", el("small", {}, species.get(tree.id) ?? "")),
      el("span", { class: "beside" }, read.has(tree.id) ? say("field.trees.read_today", { count: readCount(read.get(tree.id)) }) : "")))),
    el("div", { class: "keys" }, el("a", { class: trees.length ? "key" : "key weld", href: `#/trees/${property}/new` }, say("field.trees.new_tree"))));
}

// What stands of today by tree, its pits with it.
function readToday(ground, day) {
  const trees = new Map(ground.pits.map((pit) => [pit.id, pit.tree_id])), read = new Map();
  for (const each of ground.readings) {
    const tree = trees.get(each.of) ?? each.of;
    if (each.stands && each.day === day) read.set(tree, [...(read.get(tree) ?? []), each]);
  }
  return read;
}

// Asked once a visit: the unit of the tape, where person or phone changed.
async function startVisit(main, property, field) {
  const ground = await field.book.ofProperty(property);
  field.head(ground.property.name, say("field.today.start"));
  const begin = async (system) => {
    const self = await field.book.self();
    field.self = await field.book.setSelf({ settings: { ...self.settings, system } });
    const { events, keep } = await openVisit(field, property);
    if (events.length) await field.book.keep({ property, events, photos: [] });
    await keep?.();
    field.go("trees", property);
  };
  const said = el("p", { class: "fault", role: "status" });
  const keys = ["us", "metric"].map((system) => el("button", {
    type: "button", class: field.system() === system ? "weld" : "", on: { click: once(begin, system, said) } }, say(`field.trees.tape_${system}`)));
  put(main, el("h1", { class: "finding" }, say(field.system() === "us" ? "field.trees.inches" : "field.trees.centimetres")),
    el("p", { class: "caution" }, say("field.trees.look_up")), said, el("div", { class: "keys lower" }, keys));
}

// A name that another one here has tells nobody which is meant: said once, and not barred.
function nameDoubt(name, known) {
  if (!name) return say("field.trees.name_missing");
  return known.has(folded(name)) ? say("field.trees.name_taken", { name }) : "";
}

const folded = (name) => name.toLowerCase().split(/\s+/).join(" ");

async function newProperty(main, field) {
  const known = new Set([...(await namesHere(field)).values()].map(folded));
  let told = "";
  field.head(say("field.trees.new_property"));
  const name = el("input", { id: "property-name", maxlength: 120, autocomplete: "off", required: true });
  const said = el("p", { class: "fault", role: "status" });
  const form = el("form", { class: "flow", novalidate: true }, el("h1", { class: "finding" }, el("label", { for: "property-name" }, say("field.trees.name"))), name, said,
    el("p", { class: "help" }, say("field.trees.name_help")), el("button", { class: "weld" }, say("field.trees.start_here")));
  form.addEventListener("submit", sentOnce(async () => {
    const doubt = nameDoubt(name.value.trim(), known);
    if (doubt && doubt !== told) {
      told = doubt;
      put(said, doubt);
      return false;
    }
    if (!name.value.trim()) return false;
    const property = newId();
    const body = { slot: newId(), name: name.value.trim(), weather_station: "", system: field.system(), invented: false };
    await field.book.keep({ property, events: [{ kind: "property_opened", body }], photos: [] });
    const self = await field.book.self();
    await field.book.setSelf({ own: { ...self.own, [property]: true } });
    field.go("trees", property, "start");
    return true;
  }, said));
  put(main, form);
}

// The next tag of this phone's own series that no tree here has.
export function nextTag(letters, trees) {
  const taken = trees.map((tree) => new RegExp(`\\b${letters}(\\d+)\\b`).exec(tree.label)?.[1]).filter(Boolean).map(Number);
  return `${letters}${Math.max(0, ...taken) + 1}`;
}

async function newTree(main, property, field) {
  const ground = await field.book.ofProperty(property);
  const places = ground.places ?? [];
  field.head(ground.property.name, say("field.trees.new_tree"));
  const tag = nextTag(field.start.phone?.letters ?? "", ground.trees);
  const label = el("input", { id: "tree-label", maxlength: 120, autocomplete: "off", value: say("field.trees.label", { tag }) });
  const kinds = field.kinds.place_kind.choices;
  const place = el("select", { id: "tree-place" }, el("option", { value: "" }, say("field.trees.place_choose")), places.map((each) => el("option", { value: each.id }, each.name)),
    Object.keys(kinds).map((code) => el("option", { value: `new ${code}` }, say("field.trees.new_place", { what: kinds[code] }))));
  const said = el("p", { class: "fault", role: "status" }), start = el("button", { class: "weld" });
  const tell = () => put(start, say(place.value ? "field.trees.first_look" : "field.trees.place_missing"));
  place.addEventListener("change", tell);
  tell();
  const form = el("form", { class: "flow" }, el("h1", { class: "finding" }, say("field.trees.which_new")),
    el("label", { for: "tree-label" }, say("field.trees.tag")), label, el("p", { class: "help" }, say("field.trees.tag_help")),
    el("label", { for: "tree-place" }, say("field.trees.place")), place, said, start);
  form.addEventListener("submit", sentOnce(async () => {
    if (!place.value) {
      place.focus();
      put(said, say("field.trees.place_help"));
      return false;
    }
    const tree = newId(), events = [];
    const [kind, code] = place.value.split(" ");
    const at = kind === "new" ? newId() : place.value;
    if (kind === "new") events.push({ kind: "place_opened", body: { slot: newId(), place: at, name: kinds[code], place_kind: code } });
    events.push({ kind: "tree_opened", body: { slot: newId(), tree, label: label.value.trim() || say("field.trees.label", { tag }), place: at } });
    await field.book.keep({ property, events, photos: [] });
    field.go("look", property, tree);
    return true;
  }, said));
  put(main, form);
}
