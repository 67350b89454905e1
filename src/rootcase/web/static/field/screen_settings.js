// What this phone is set to: the units of the tape, the hand, the true size of its screen, the tools on the truck.

import { button, el, key, put } from "./dom.js";
import { PX_PER_MM } from "./pad.js";
import { openToday } from "./saving.js";
import { say } from "./words.js";

const CARD_MM = 53.98; // ISO/IEC 7810, ID-1: the short side of a bank card (memory)
const STEP_PX = 2;

export async function show(main, args, field) {
  field.head(say("field.settings.title"));
  const { settings = {} } = await field.book.self();
  const setHand = async (hand) => {
    await field.set({ hand });
    document.body.dataset.hand = hand;
  };
  const isVisiting = Object.keys(field.self.visits ?? {}).some((property) => openToday(field, property));
  put(main, el("h1", { class: "finding" }, say("field.settings.finding")),
    choice("units", ["us", "metric"], field.system(), (system) => field.set({ system })),
    isVisiting ? el("p", { class: "help" }, say("field.settings.visit_keeps")) : null,
    choice("hand", ["right", "left"], field.hand(), setHand),
    choice("near", ["yes", "no"], settings.near ? "yes" : "no", (near) => field.set({ near: near === "yes" })),
    cardSize(settings.px_per_mm ?? PX_PER_MM, (px_per_mm) => field.set({ px_per_mm })),
    key("#/phone", say("field.settings.phone")));
}

function choice(name, choices, chosen, set) {
  const label = (each) => el("label", {},
    el("input", { type: "radio", name, checked: each === chosen, on: { change: () => set(each) } }),
    say(`field.settings.${name}_${each}`));
  return el("fieldset", {}, el("legend", {}, say(`field.settings.${name}`)),
    el("div", { class: "choices" }, choices.map(label)));
}

// A bank card held lengthwise against the glass: the frame is made as high as the card's short side.
function cardSize(first, set) {
  let px = first;
  const frame = el("rect", { class: "card", x: 1, y: 1, width: 120 });
  const words = say("field.settings.card");
  const box = el("svg", { class: "calibration", width: 122, role: "img", "aria-label": words }, frame);
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
  return el("fieldset", {}, el("legend", {}, words),
    el("p", { class: "help" }, say("field.settings.card_help")), el("div", { class: "calibrating" }, box,
      el("div", { class: "keys" }, button(move(STEP_PX), say("field.settings.higher"), "again"),
        button(move(-STEP_PX), say("field.settings.lower"), "again"))));
}
