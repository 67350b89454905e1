// Pits of a tree: the crown from above with each spot, a new one by the side it lies on, and first of all the buried
// lines.

import { button, el, key, put, tell } from "./dom.js";
import {
  concern, depthTold, depthsOf, formNamed, formNow, isUnderground, locate, smellsOfFuel, treeNow,
} from "./forms.js";
import { once } from "./once.js";
import { newPit } from "./opening.js";
import { save } from "./saving.js";
import { dayTold, say } from "./words.js";

const SIDES = ["n", "ne", "e", "se", "s", "sw", "w", "nw"];
const GRID = ["nw", "n", "ne", "w", "", "e", "sw", "s", "se"];
const TURN = 360, RADIUS = 70, AT_EDGE = 0.8, FARTHEST = 1.3;
const ROD = "rod"; // a push of the rod digs nothing

export async function show(main, [property, id, wanted = "-", spot = "-"], field) {
  const look = await treeNow(field, property, id);
  const pit = look.pits.find((each) => each.id === spot);
  field.head(look.tree.label, pit?.label ?? say("field.pit.title"));
  if (concern(look)) {
    return put(main, el("p", { class: "caution" }, say("field.tree.concern", { tree: look.tree.label })), back(look));
  }
  const lines = locate(field, look), said = el("p", { class: "count", role: "status" });
  const again = () => show(main, [property, id, wanted, spot], field);
  const mayRead = wanted === ROD || lines.valid;
  const finding = pit ? say("field.pit.at", { pit: pit.label }) : say("field.pit.where");
  return put(main, el("h1", { class: "finding" }, finding),
    fromAbove(look, pit), said,
    wanted === ROD ? el("p", { class: "caution" }, say("field.pit.rod")) : linesTold(field, look, lines, said, again),
    mayRead && (pit ? formsOf(field, look, pit) : spots(field, look, wanted, said)), back(look));
}

const back = ({ property, tree }) =>
  el("div", { class: "keys lower" }, key(`#/walk/${property}/${tree.id}`, say("field.walk.title")));

// Digging waits for a number whose last day has not passed.
export function linesTold(field, look, lines, said, again) {
  if (lines.valid) {
    const told = say("field.pit.lines", { number: lines.number, day: dayTold(lines.last) });
    return el("p", { class: "caution" }, told, " ", lines.asked ? "" : say("field.pit.private"));
  }
  const { locate_ticket: ticket, locate_expires: expires } = field.kinds;
  const number = el("input", {
    maxlength: 60, autocomplete: "off", "aria-label": ticket.label, placeholder: ticket.label,
  });
  const last = el("input", { type: "date", min: field.day(), "aria-label": expires.label });
  const keep = once(async () => {
    const typed = number.value.trim(), wrong = wrongIn(typed, last.value, field.day());
    if (wrong) return tell(said, wrong);
    await save(field, { property: look.property, of: look.tree.place_id, entries: [
      { kind: "locate_ticket", choice: typed, typed },
      { kind: "locate_expires", choice: last.value, typed: last.value }] });
    return again();
  }, said);
  return el("section", { class: "flow caution lines" }, el("p", {}, el("b", {}, say("field.pit.no_lines"))),
    lines.last ? el("p", {}, say("field.pit.over", { day: dayTold(lines.last) })) : "",
    el("label", {}, ticket.label, number), el("label", {}, expires.label, last),
    el("p", {}, say("field.pit.private")), button(keep, say("field.pit.keep_number"), "weld"));
}

function wrongIn(number, last, day) {
  if (!number) return say("field.pit.number_missing");
  if (!last) return say("field.pit.day_missing");
  return last < day ? say("field.pit.day_over", { day: dayTold(last) }) : "";
}

function spots(field, look, wanted, said) {
  const at = `${look.property}/${look.tree.id}`, isDirect = !["-", "depth"].includes(wanted);
  const to = (spot) => (isDirect ? `#/form/${at}/${wanted}/-/${spot}/-` : `#/pit/${at}/-/${spot}`);
  const open = (side) => once(async () => {
    const { id, before } = newPit(look);
    const value = SIDES.indexOf(side) * (TURN / SIDES.length);
    const entries = [{ kind: "pit_bearing", value, typed: say(`field.pit.side.${side}`) }];
    await save(field, { property: look.property, of: id, before, entries });
    location.hash = to(id);
  }, said);
  const row = ({ id, label }) => el("li", {}, el("a", { href: to(id) }, label),
    el("span", { class: "beside" }, say("field.trees.read_today", { count: look.countToday(id) })));
  const sideKey = (side) => (side ? button(open(side), say(`field.pit.side.${side}`))
    : el("b", {}, say("field.pit.trunk")));
  return el("section", {}, el("ul", { class: "list" }, look.pits.map(row)),
    el("h2", {}, say("field.pit.new")), el("div", { class: "compass" }, GRID.map(sideKey)));
}

// What is read at a pit, moisture before hardness; a smell of fuel ends all of it.
function formsOf(field, look, pit) {
  if (smellsOfFuel(look, pit.id)) {
    return el("p", { class: "caution stop", role: "alert" }, say("field.pit.stop", { pit: pit.label }));
  }
  const row = (name, step, depth) => {
    const { open, later, done } = formNow(field, look, formNamed(name), { spot: pit.id, depth });
    const told = depth ? say("field.pit.depth", { depth: depthTold(look.system, depth) })
      : say(`field.form_name.${name}`);
    const progress = open.length ? say("field.walk.progress", { done, of: open.length })
      : say("field.walk.not_today", { count: later.length });
    return el("li", {}, el("a", { href: `#/form/${look.property}/${look.tree.id}/${name}/-/${pit.id}/${step}` }, told),
      el("span", { class: "beside" }, progress));
  };
  const rows = ({ name }) => (name === "depth" ? depthsOf(look).map((depth, step) => row(name, step, depth))
    : [row(name, "-", null)]);
  return el("ul", { class: "list" }, field.catalogue.walk.forms.filter(isUnderground).flatMap(rows));
}

// The crown from above, north up; a spot whose side and distance are known stands where it lies.
function fromAbove(look, now) {
  const marks = marksOf(look, now);
  const pits = marks.map((each) => each.label).join(", ") || say("field.pit.none");
  const view = { class: "above", viewBox: "-100 -100 200 200", role: "img" };
  return el("svg", { ...view, "aria-label": say("field.pit.picture", { pits }) },
    el("circle", { class: "crown", r: RADIUS }), el("circle", { class: "trunk", r: 6 }),
    el("path", { class: "north", d: "M0 -78V-96M-5 -90L0 -97L5 -90" }),
    marks.map(({ isNow, number, x, y }) => el("g", { class: isNow ? "mark asked" : "mark done" },
      el("circle", { cx: x, cy: y, r: 10 }),
      el("text", { class: "number", x, y: y + 5, "text-anchor": "middle" }, String(number)))));
}

function marksOf(look, now) {
  const spread = look.read("crown_spread").filter((each) => each.value != null).map((each) => each.value / 2);
  const crown = spread.length && spread.reduce((sum, each) => sum + each, 0) / spread.length;
  return look.pits.flatMap((pit, at) => {
    const of = (kind) => look.read(kind, { spot: pit.id }).findLast((each) => each.value != null)?.value;
    const bearing = of("pit_bearing"), distance = of("pit_distance");
    if (bearing == null) return [];
    const far = RADIUS * (crown && distance != null ? Math.min(distance / crown, FARTHEST) : AT_EDGE);
    const angle = (bearing * 2 * Math.PI) / TURN;
    const where = { x: far * Math.sin(angle), y: -far * Math.cos(angle) };
    return [{ ...where, number: at + 1, isNow: pit === now, label: pit.label }];
  });
}
