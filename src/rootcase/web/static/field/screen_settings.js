// What this phone is set to: the units of the tape, the hand, the true size of its screen, the tools on the truck.

import { el, put } from "./dom.js";
import { PX_PER_MM } from "./pad.js";
import { openToday } from "./saving.js";
import { say } from "./words.js";

const CARD_MM = 53.98; // ISO/IEC 7810, ID-1: the short side of a bank card (memory)
const STEP_PX = 2;

export async function show(main, args, field) {
  field.head(say("field.settings.title"));
  const { settings = {} } = await field.book.self();
  const set = async (told) => {
    field.self = await field.book.setSelf({ settings: { ...(await field.book.self()).settings, ...told } });
    document.body.dataset.hand = field.hand();
  };
  const visiting = Object.keys(field.self.visits ?? {}).some((property) => openToday(field, property));
  put(main, el("h1", { class: "finding" }, say("field.settings.finding")), choice("units", ["us", "metric"], field.system(), (system) => set({ system })),
    visiting ? el("p", { class: "help" }, say("field.settings.visit_keeps")) : null,
    choice("hand", ["right", "left"], field.hand(), (hand) => set({ hand })),
    choice("near", ["yes", "no"], settings.near ? "yes" : "no", (near) => set({ near: near === "yes" })), cardSize(settings.px_per_mm ?? PX_PER_MM, (px_per_mm) => set({ px_per_mm })),
    el("a", { class: "key", href: "#/phone" }, say("field.settings.phone")));
}

function choice(name, choices, chosen, set) {
  return el("fieldset", {}, el("legend", {}, say(`field.settings.${name}`)), el("div", { class: "choices" }, choices.map((each) =>
    el("label", {}, el("input", { type: "radio", name, checked: each === chosen, on: { change: () => set(each) } }), say(`field.settings.${name}_${each}`)))));
}

// A bank card held lengthwise against the glass: the frame is made as high as the card's short side.
function cardSize(first, set) {
  let px = first;
  const frame = el("rect", { class: "card", x: 1, y: 1, width: 120 });
  const box = el("svg", { class: "calibration", width: 122, role: "img", "aria-label": say("field.settings.card") }, frame);
  const draw = () => {
    frame.setAttribute("height", px * CARD_MM);
    box.setAttribute("height", px * CARD_MM + 2);
  };
  const move = (by) => async () => {
    px += by / CARD_MM;
    draw();
    await set(px);
  };
  draw();
  return el("fieldset", {}, el("legend", {}, say("field.settings.card")), el("p", { class: "help" }, say("field.settings.card_help")),
    el("div", { class: "calibrating" }, box, el("div", { class: "keys" },
      el("button", { type: "button", class: "again", on: { click: move(STEP_PX) } }, say("field.settings.higher")),
      el("button", { type: "button", class: "again", on: { click: move(-STEP_PX) } }, say("field.settings.lower")))));
}
