// Trees: the properties on this phone; the trees of one, with New tree by the phone's own tags; New property.

import { newId } from "./canonical.js";
import { button, el, key, put } from "./dom.js";
import { hearGround } from "./hearing.js";
import { namesHere } from "./here.js";
import { readCount } from "./look_saved.js";
import { once, sentOnce } from "./once.js";
import { visitNow } from "./saving.js";
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
    el("div", { class: "keys" }, key("#/trees/new", say("field.trees.new_property"), jobs.size ? "" : "weld")));
}

async function treesOf(main, property, field) {
  const ground = await field.book.ofProperty(property);
  field.head(ground.property.name || say("field.unnamed"), say("field.today.trees", { count: ground.trees.length }));
  const read = readToday(ground, field.day());
  const species = new Map(ground.readings.filter((each) => each.kind === "species" && each.stands)
    .map((each) => [each.of, each.choice]));
  const row = ({ id, label }) => el("li", {},
    el("a", { href: `#/tree/${property}/${id}` }, el("b", {}, label), " ", el("small", {}, species.get(id) ?? "")),
    el("span", { class: "beside" },
      read.has(id) ? say("field.trees.read_today", { count: readCount(read.get(id)) }) : ""));
  const trees = ground.trees.toSorted((one, other) => natural(one.label, other.label));
  put(main, el("h1", { class: "finding" }, trees.length ? say("field.trees.at") : say("field.trees.empty")),
    el("ul", { class: "list" }, trees.map(row)),
    el("div", { class: "keys" },
      key(`#/trees/${property}/new`, say("field.trees.new_tree"), trees.length ? "" : "weld")));
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
  const said = el("p", { class: "fault", role: "status" });
  const begin = (system) => once(async () => {
    await field.set({ system });
    await visitNow(field, property);
    field.go("trees", property);
  }, said);
  const keys = ["us", "metric"].map((system) =>
    button(begin(system), say(`field.trees.tape_${system}`), field.system() === system ? "weld" : null));
  const tape = field.system() === "us" ? "field.trees.inches" : "field.trees.centimetres";
  put(main, el("h1", { class: "finding" }, say(tape)),
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
  field.head(say("field.trees.new_property"));
  const input = el("input", { id: "property-name", maxlength: 120, autocomplete: "off", required: true });
  const said = el("p", { class: "fault", role: "status" });
  let told = "";
  const store = sentOnce(async () => {
    const name = input.value.trim(), doubt = nameDoubt(name, known);
    if (doubt && (doubt !== told || !name)) {
      told = doubt;
      put(said, doubt);
      return false;
    }
    const property = newId();
    const body = { slot: newId(), name, weather_station: "", system: field.system(), invented: false };
    await field.book.keep({ property, events: [{ kind: "property_opened", body }] });
    field.self = await field.book.setSelf(({ own }) => ({ own: { ...own, [property]: true } }));
    field.go("trees", property, "start");
    return true;
  }, said);
  put(main, el("form", { class: "flow", novalidate: true, on: { submit: store } },
    el("h1", { class: "finding" }, el("label", { for: "property-name" }, say("field.trees.name"))), input, said,
    el("p", { class: "help" }, say("field.trees.name_help")),
    el("button", { class: "weld" }, say("field.trees.start_here"))));
}

// The next tag of this phone's own series that no tree here has.
function nextTag({ start: { phone } }, trees) {
  const letters = phone?.letters ?? "", tag = new RegExp(`\\b${letters}(\\d+)\\b`);
  const taken = trees.map(({ label }) => Number(tag.exec(label)?.[1] ?? 0));
  return `${letters}${Math.max(0, ...taken) + 1}`;
}

async function newTree(main, property, field) {
  const { property: { name }, trees, places = [] } = await field.book.ofProperty(property);
  field.head(name || say("field.unnamed"), say("field.trees.new_tree"));
  const named = say("field.trees.label", { tag: nextTag(field, trees) });
  const label = el("input", { id: "tree-label", maxlength: 120, autocomplete: "off", value: named });
  const kinds = field.kinds.place_kind.choices, place = placeChoice(places, kinds);
  const said = el("p", { class: "fault", role: "status" }), start = el("button", { class: "weld" });
  const showStart = () => put(start, say(place.value ? "field.trees.first_look" : "field.trees.place_missing"));
  place.addEventListener("change", showStart);
  showStart();
  const store = sentOnce(async () => {
    if (!place.value) {
      place.focus();
      put(said, say("field.trees.place_help"));
      return false;
    }
    const tree = newId(), { at, events } = placeOf(place.value, kinds);
    const body = { slot: newId(), tree, label: label.value.trim() || named, place: at };
    await field.book.keep({ property, events: [...events, { kind: "tree_opened", body }] });
    field.go("look", property, tree);
    return true;
  }, said);
  put(main, el("form", { class: "flow", on: { submit: store } },
    el("h1", { class: "finding" }, say("field.trees.which_new")),
    el("label", { for: "tree-label" }, say("field.trees.tag")), label,
    el("p", { class: "help" }, say("field.trees.tag_help")),
    el("label", { for: "tree-place" }, say("field.trees.place")), place, said, start));
}

// Nothing is chosen before somebody chooses.
const placeChoice = (places, kinds) => el("select", { id: "tree-place" },
  el("option", { value: "" }, say("field.trees.place_choose")),
  places.map(({ id, name }) => el("option", { value: id }, name)),
  Object.entries(kinds).map(([code, what]) =>
    el("option", { value: `new ${code}` }, say("field.trees.new_place", { what }))));

// The place that was chosen; a new one with its event.
function placeOf(chosen, kinds) {
  const [kind, code] = chosen.split(" ");
  if (kind !== "new") return { at: chosen, events: [] };
  const at = newId(), body = { slot: newId(), place: at, name: kinds[code], place_kind: code };
  return { at, events: [{ kind: "place_opened", body }] };
}
