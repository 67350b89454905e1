// Pits of a tree: the crown from above with each spot, a new one by the side it lies on, and first of all the buried lines.

import { newId } from "./canonical.js";
import { announce, el, put } from "./dom.js";
import { concern, depthTold, depthsOf, formNow, formNamed, isUnderground, locate, smellsOfFuel, treeNow } from "./forms.js";
import { once } from "./look_choices.js";
import { save } from "./saving.js";
import { dayTold, say } from "./words.js";

const SIDES = ["n", "ne", "e", "se", "s", "sw", "w", "nw"], GRID = ["nw", "n", "ne", "w", "", "e", "sw", "s", "se"];
const TURN = 360, RADIUS = 70, AT_EDGE = 0.8;

export async function show(main, [property, id, wanted = "-", spot = "-"], field) {
  const look = await treeNow(field, property, id);
  const pit = look.pits.find((each) => each.id === spot);
  field.head(look.tree.label, pit?.label ?? say("field.pit.title"));
  if (concern(look)) return put(main, el("p", { class: "caution" }, say("field.tree.concern", { tree: look.tree.label })), back(look));
  const lines = locate(field, look), said = el("p", { class: "count", role: "status" });
  put(main, el("h1", { class: "finding" }, pit ? say("field.pit.at", { pit: pit.label }) : say("field.pit.where")), fromAbove(look, pit), said,
    wanted === "rod" ? el("p", { class: "caution" }, say("field.pit.rod")) : linesTold(field, look, lines, said, () => show(main, [property, id, wanted, spot], field)),
    wanted !== "rod" && !lines.valid ? null : pit ? formsOf(field, look, pit) : spots(field, look, wanted, said), back(look));
}

const back = (look) => el("div", { class: "keys lower" }, el("a", { class: "key", href: `#/walk/${look.property}/${look.tree.id}` }, say("field.walk.title")));

// Digging waits for a number whose last day has not passed.
function linesTold(field, look, lines, said, again) {
  if (lines.valid) {
    return el("p", { class: "caution" }, say("field.pit.lines", { number: lines.number, day: dayTold(lines.last) }), " ", lines.asked ? "" : say("field.pit.private"));
  }
  const number = el("input", { maxlength: 60, autocomplete: "off", "aria-label": field.kinds.locate_ticket.label, placeholder: field.kinds.locate_ticket.label });
  const last = el("input", { type: "date", min: field.day(), "aria-label": field.kinds.locate_expires.label });
  const keep = once(async () => {
    const wrong = !number.value.trim() ? say("field.pit.number_missing") : !last.value ? say("field.pit.day_missing")
      : last.value < field.day() ? say("field.pit.day_over", { day: dayTold(last.value) }) : "";
    if (wrong) return announce(put(said, wrong).textContent);
    await save(field, { property: look.property, of: look.tree.place_id, entries: [
      { kind: "locate_ticket", choice: number.value.trim(), typed: number.value.trim() },
      { kind: "locate_expires", choice: last.value, typed: last.value }] });
    return again();
  }, null, said);
  return el("section", { class: "flow caution lines" }, el("p", {}, el("b", {}, say("field.pit.no_lines"))), lines.last ? el("p", {}, say("field.pit.over", { day: dayTold(lines.last) })) : "",
    el("label", {}, field.kinds.locate_ticket.label, number), el("label", {}, field.kinds.locate_expires.label, last),
    el("p", {}, say("field.pit.private")), el("button", { type: "button", class: "weld", on: { click: keep } }, say("field.pit.keep_number")));
}

function spots(field, look, wanted, said) {
  const direct = !["-", "depth"].includes(wanted);
  const to = (spot) => (direct ? `#/form/${look.property}/${look.tree.id}/${wanted}/-/${spot}/-` : `#/pit/${look.property}/${look.tree.id}/-/${spot}`);
  const open = async (side) => {
    const { id, before } = newSpot(look);
    const value = SIDES.indexOf(side) * (TURN / SIDES.length);
    await save(field, { property: look.property, of: id, before, entries: [{ kind: "pit_bearing", value, typed: say(`field.pit.side.${side}`) }] });
    location.hash = to(id);
  };
  const read = (pit) => look.standing.filter((each) => each.of === pit.id && each.day === field.day()).length;
  return el("section", {}, el("ul", { class: "list" }, look.pits.map((pit) => el("li", {}, el("a", { href: to(pit.id) }, pit.label),
    el("span", { class: "beside" }, say("field.trees.read_today", { count: read(pit) }))))),
  el("h2", {}, say("field.pit.new")), el("div", { class: "compass" }, GRID.map((side) => (side
    ? el("button", { type: "button", on: { click: once(open, side, said) } }, say(`field.pit.side.${side}`)) : el("b", {}, say("field.pit.trunk"))))));
}

function newSpot(look) {
  const labels = new Set(look.ground.pits.map((pit) => pit.label.toLowerCase()));
  let number = 1;
  while (labels.has(say("field.spot", { tree: look.tree.label, number }).toLowerCase())) number += 1;
  const id = newId(), label = say("field.spot", { tree: look.tree.label, number });
  return { id, label, before: [{ kind: "pit_opened", body: { slot: newId(), pit: id, label, tree: look.tree.id } }] };
}

// What is read at a pit, moisture before hardness; a smell of fuel ends all of it.
function formsOf(field, look, pit) {
  if (smellsOfFuel(look, pit.id)) return el("p", { class: "caution stop", role: "alert" }, say("field.pit.stop", { pit: pit.label }));
  const row = (name, step, depth) => {
    const now = formNow(field, look, formNamed(name), { spot: pit.id, depth });
    const told = depth ? depthTold(look.system, depth) : say(`field.form_name.${name}`);
    return el("li", {}, el("a", { href: `#/form/${look.property}/${look.tree.id}/${name}/-/${pit.id}/${step}` }, depth ? say("field.pit.depth", { depth: told }) : told),
      el("span", { class: "beside" }, now.open.length ? say("field.walk.progress", { done: now.done, of: now.open.length }) : say("field.walk.not_today", { count: now.later.length })));
  };
  const forms = field.catalogue.walk.forms.filter(isUnderground);
  return el("ul", { class: "list" }, forms.flatMap(({ name }) => (name === "depth" ? depthsOf(look).map((depth, step) => row(name, step, depth)) : [row(name, "-", null)])));
}

// The crown from above, north up; a spot whose side and distance are known stands where it lies.
function fromAbove(look, now) {
  const spread = look.read("crown_spread").filter((each) => each.value != null).map((each) => each.value / 2);
  const crown = spread.length ? spread.reduce((sum, each) => sum + each, 0) / spread.length : 0;
  const marks = look.pits.map((pit, at) => {
    const of = (kind) => look.read(kind, { spot: pit.id }).findLast((each) => each.value != null)?.value;
    const bearing = of("pit_bearing"), distance = of("pit_distance");
    if (bearing == null) return null;
    const far = RADIUS * (crown && distance != null ? Math.min(distance / crown, 1.3) : AT_EDGE), angle = (bearing * 2 * Math.PI) / TURN;
    return { number: at + 1, now: pit === now, x: far * Math.sin(angle), y: -far * Math.cos(angle), label: pit.label };
  }).filter(Boolean);
  return el("svg", { class: "above", viewBox: "-100 -100 200 200", role: "img", "aria-label": say("field.pit.picture", { pits: marks.map((each) => each.label).join(", ") || say("field.pit.none") }) },
    el("circle", { class: "crown", r: RADIUS }), el("circle", { class: "trunk", r: 6 }), el("path", { class: "north", d: "M0 -78V-96M-5 -90L0 -97L5 -90" }),
    marks.map((each) => el("g", { class: each.now ? "mark asked" : "mark done" }, el("circle", { cx: each.x, cy: each.y, r: 10 }),
      el("text", { class: "number", x: each.x, y: each.y + 5, "text-anchor": "middle" }, String(each.number)))));
}
